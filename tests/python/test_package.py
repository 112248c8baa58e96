"""What the package shows of itself, and what loading it costs."""

from __future__ import annotations

import ast
import inspect
import subprocess
import sys
from pathlib import Path

import shimwise as sw

PACKAGE = Path(sw.__file__).parent
HEAVY = ("pandas", "xarray", "scipy", "matplotlib", "zarr", "dask")


def test_dir_shows_the_public_names_alone() -> None:
    assert dir(sw) == sorted(sw.__all__)
    assert all(hasattr(sw, name) for name in sw.__all__)
    modules = [name for name in dir(sw) if inspect.ismodule(getattr(sw, name))]
    assert modules == ["plots"]


def results(car: sw.Car, plan: sw.Plan, folder: Path) -> list[object]:
    """One of each class that a public call returns or takes."""
    files = sw.demo_files()
    readings = sw.load_readings(files.readings, car)
    measured = readings.reduce()
    baseline = sw.accept(car, readings, "invented", folder / "baseline.toml")
    return [
        *(baseline, sw.compare(car, baseline, readings), sw.history(folder), sw.restore(car, baseline)),
        *(readings.read(), readings.level(), sw.skid(files.skid)),
        *(sw.Between(-0.5, 0.5), sw.Among([[2.0, 0.5], [2.0]])),
        *(car, car.front_left, readings, measured, sw.load_targets(files.targets, car), plan),
        *(plan.closest, plan.card()),
        *(car.at_rest(), car.on_solid_struts(), car.rest_effects(), car.at_rest().forces("rear_left")),
        *(car.front_left.recipes({"toe": 0.1}), car.recipe({"rake": 1.0})),
        car.expect(measured, {"front_left.track rod": 1.0}),
        sw.fit_points(car, "front_left", {"track_rod.inner.z": (-1.0, 1.0)}, travel_mm=[-10.0, 10.0]),
        *(sw.closest_integers([[2.0]], [3.2], [range(3)]), sw.fewest_touched([[2.0]], 1.0, 3.0, [range(3)], 1.0)),
        sw.Problem("car.toml", 3, 0, "name", "", "is missing"),
        *(sw.InputError("no such corner"), sw.OutOfReach("does not close")),
    ]


def test_every_public_class_has_a_repr_and_a_docstring(car: sw.Car, plan: sw.Plan, tmp_path: Path) -> None:
    found = results(car, plan, tmp_path)
    kinds = {type(one) for one in found}
    assert {kind for kind in map(sw.__dict__.get, sw.__all__) if inspect.isclass(kind)} <= kinds
    for one in found:
        assert type(one).__doc__, type(one)
        assert " object at 0x" not in repr(one), type(one)


def test_loading_the_package_loads_nothing_heavy_and_takes_under_0_3_s() -> None:
    """Processor time, so that a busy machine is no failure; the least of three."""
    code = (
        "import sys, time; start = time.process_time(); import shimwise; took = time.process_time() - start\n"
        f"print(took, *(name for name in {HEAVY} if name in sys.modules))"
    )
    runs = [subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True) for _ in range(3)]
    took = [run.stdout.split() for run in runs]
    assert all(len(words) == 1 for words in took), took
    assert min(float(words[0]) for words in took) < 0.3


def sources() -> dict[str, ast.Module]:
    """The package's modules, parsed, by their dotted names."""
    found = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
        found[".".join(parts).removesuffix(".__init__")] = ast.parse(path.read_text(encoding="utf-8"))
    return found


def imported(node: ast.AST) -> list[str]:
    if isinstance(node, ast.Import):
        return [alias.name for alias in node.names]
    return [node.module or ""] if isinstance(node, ast.ImportFrom) else []


def heavy(name: str, modules: dict[str, ast.Module]) -> bool:
    """A heavy package, or a module of this package that needs one as soon as it is loaded."""
    if name not in modules:
        return name.partition(".")[0] in HEAVY
    below = [one for node in modules[name].body for one in imported(node) if one != "shimwise"]
    return any(heavy(one, modules) for one in below)


def test_inside_functions_only_heavy_packages_are_imported() -> None:
    modules = sources()
    inside = {
        (module, name)
        for module, tree in modules.items()
        for function in ast.walk(tree)
        if isinstance(function, ast.FunctionDef)
        for node in ast.walk(function)
        for name in imported(node)
    }
    assert ("shimwise.standing.rest", "pandas") in inside
    assert {(module, name) for module, name in inside if not heavy(name, modules)} == set()


def test_nothing_is_taken_from_the_package_itself_but_modules() -> None:
    """The import linter is told to leave such imports out, for it does not know the compiled part."""
    modules = sources()
    known = {name.removeprefix("shimwise.") for name in modules} | {"_core"}
    for module, tree in modules.items():
        for node in ast.walk(tree):
            if isinstance(node, ast.ImportFrom) and node.module == "shimwise":
                assert {alias.name for alias in node.names} <= known, module
            assert not (isinstance(node, ast.Import) and "shimwise" in imported(node)), module
