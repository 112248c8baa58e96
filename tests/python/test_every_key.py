"""A key that docs/formats.md calls kept moves no output, and every other key moves one."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from documented_keys import CORNER, PAGE, documented, documented_targets
from every_key import CARS, READINGS, Table, key_of, other_value, readings_with_strings, skid, sweeps, targets
from toml_leaves import leaves, with_value

import shimwise as sw
from shimwise.data_of import data_of
from toml_text import toml_lines

KEYS = {file: documented(PAGE.read_text(encoding="utf-8"), file) for file in ("car", "readings")}
NAMES = {"format", "name", "ballast.name", f"{CORNER}.adjuster.name"}  # what a file and its parts are called
REFUSED = {f"{CORNER}.adjuster.{key}" for key in ("now_mm", "on")} | {f"{CORNER}.spring.rests_as_drawn"}  # one is right
PADS_MM = {"front_left": 3.0, "rear_right": -2.0}


def at_rest(car: sw.Car, **how: Any) -> list[Any]:
    told = car.at_rest(pads_mm=PADS_MM, **how).as_dict()
    return [told[part] for part in ("values", "about_chassis", "struts", "wheel_rates", "forces")]


def of_car(car: sw.Car) -> Iterator[Callable[[], Any]]:
    """All that is computed of a car alone."""
    yield lambda: at_rest(car)
    yield lambda: at_rest(car, ballast_kg={"fuel": 90.0})
    yield lambda: at_rest(car, on_tyres=True)
    yield lambda: at_rest(car, rack_mm=3.0)
    yield lambda: car.rest_effects(pads_mm=PADS_MM).as_dict()
    yield lambda: car.on_solid_struts().values
    yield lambda: [corner.alignment(travel_mm=5.0, rack_mm=3.0).to_dict()["data_vars"] for corner in corners(car)]
    yield lambda: [corner.curves(travel_mm=[-5.0, 5.0]).to_dict()["data_vars"] for corner in corners(car)]
    yield lambda: [data_of(corner.effect_table()) for corner in corners(car)]
    yield lambda: [corner.recipes().as_dict() for corner in corners(car)]


def of_morning(car: sw.Car, readings: Path) -> Iterator[Callable[[], Any]]:
    """All that is computed of a car and what was read of it."""
    taken = sw.load_readings(readings, car)
    measured = taken.reduce()
    name = next(
        adjuster.name for adjuster in car.rear_left.adjusters if adjuster.name in ("pushrod", "spring platform")
    )
    yield lambda: data_of(measured.core)
    yield lambda: taken.read().as_dict()["contradictions"]
    yield lambda: data_of(sw.compare(car, sw.load_readings(readings_with_strings(), car), taken).core)
    yield lambda: taken.level(tilt_mm_per_m=0.01, twist_mm=0.01).as_dict()["packing"]
    expected = car.expect(measured, {f"rear_left.{name}": 0.25})
    yield lambda: {key: told for key, told in expected.as_dict().items() if key != "doubts"}  # no output: a check
    plan = cached_plan(car, measured)
    yield lambda: data_of(plan().core)
    yield lambda: plan().card().as_dict()["steps"]


def cached_plan(car: sw.Car, measured: sw.Measured) -> Callable[[], sw.Plan]:
    return cache(lambda: sw.plan(car, measured, sw.load_targets(sw.demo_files().targets, car)))


def corners(car: sw.Car) -> list[sw.Corner]:
    return list(car.corners.values())


class Told:
    """Outputs of a car and its readings, worked out one after the other as they are asked for."""

    def __init__(self, car: Table, readings: Table) -> None:
        with TemporaryDirectory() as folder:
            paths = {name: Path(folder) / f"{name}.toml" for name in ("car", "readings")}
            for name, table in (("car", car), ("readings", readings)):
                paths[name].write_text(toml_lines(table), encoding="utf-8")
            self.car = sw.load_car(paths["car"])
            self.calls = [*of_car(self.car), *of_morning(self.car, paths["readings"])]
        self.outputs: dict[int, str] = {}

    def __getitem__(self, at: int) -> str:
        if at not in self.outputs:
            try:
                self.outputs[at] = repr(self.calls[at]())
            except (sw.InputError, sw.OutOfReach) as failure:
                self.outputs[at] = str(failure)
        return self.outputs[at]

    def differs(self, other: Told) -> bool:
        return any(self[at] != other[at] for at in range(len(self.calls)))


@cache
def base(car: str, readings: str) -> Told:
    return Told(CARS[car](), READINGS[readings]())


def changes(file: str, key: str) -> Iterator[tuple[str, str, Table, Table]]:
    """Every change of this key in the files that have it: which files, and the changed ones."""
    files = CARS if file == "car" else READINGS
    for name, make in files.items():
        table = make()
        for path, value in leaves(table):
            if key_of(path, KEYS[file]) == key:
                changed = with_value(table, path, other_value(key, value))
                if file == "car":
                    for readings in READINGS:
                        yield name, readings, changed, READINGS[readings]()
                else:
                    yield "rockers", name, CARS["rockers"](), changed


def wanted(kept: bool) -> list[Any]:
    return [
        pytest.param(file, key, id=f"{file}: {key}")
        for file, keys in KEYS.items()
        for key, is_kept in keys.items()
        if is_kept is kept and key not in NAMES | REFUSED
    ]


@pytest.mark.parametrize(("file", "key"), wanted(kept=True))
def test_a_key_that_is_kept_moves_nothing(file: str, key: str) -> None:
    changed = list(changes(file, key))
    assert changed
    for car, readings, *files in changed:
        assert not base(car, readings).differs(Told(*files)), (car, readings)


@pytest.mark.parametrize(("file", "key"), wanted(kept=False))
def test_every_other_key_moves_something(file: str, key: str) -> None:
    refused = []
    for car, readings, *files in changes(file, key):
        try:
            if base(car, readings).differs(Told(*files)):
                return
        except sw.InputError as failure:
            refused.append(str(failure))
    pytest.fail("\n".join(["nothing moves", *refused]))


@pytest.mark.parametrize("key", sorted(REFUSED))
def test_a_key_that_checks_others_refuses_another_value(key: str) -> None:
    changed = list(changes("car", key))
    assert changed
    for _, _, *files in changed:
        with pytest.raises(sw.InputError):
            Told(*files)


def test_springs_that_rest_as_drawn_have_other_loads() -> None:
    assert base("at rest as drawn", "strings").differs(base("rockers", "strings"))


@pytest.mark.parametrize("file", KEYS)
def test_the_files_have_no_key_that_is_not_documented(file: str) -> None:
    for make in (CARS if file == "car" else READINGS).values():
        for path, _ in leaves(make()):
            assert key_of(path, KEYS[file]) in KEYS[file], path


def test_every_target_moves_something(tmp_path: Path) -> None:
    car = sw.demo_car()
    measured = sw.load_readings(sw.demo_files().readings, car).reduce()

    def told(wanted: Table) -> str:
        path = tmp_path / "targets.toml"
        path.write_text(toml_lines(wanted), encoding="utf-8")
        return repr(data_of(sw.plan(car, measured, sw.load_targets(path, car)).core))

    table = targets()
    asked = [(path, value) for path, value in leaves(table) if path != ("format",)]
    assert {path[1] for path, _ in asked if path[0] != "ride_height"} == documented_targets(PAGE.read_text("utf-8"))
    for path, value in asked:
        alone = {"format": table["format"], path[0]: {path[1]: table[path[0]][path[1]]}}
        assert told(with_value(alone, path, other_value("", value))) != told(alone), path


def test_every_key_of_a_skid_moves_something() -> None:
    def told(table: Table) -> str:
        try:
            by_name = sw.skid(table, lasts_km=200.0).as_dict()
            return repr([by_name, sw.skid(table, sw.demo_car(), lasts_km=200.0).as_dict()])
        except sw.InputError as failure:
            return str(failure)

    table, keys = skid(), documented(PAGE.read_text("utf-8"), "skid")
    now, seen = told(table), {"format"}
    assert now.startswith("[")
    for path, value in leaves(table):
        parts = [str(part) for part in path if isinstance(part, str)]
        named = {"points": "points.<point>", "thickness_mm": "check.thickness_mm.<point>"}
        named["ride_height_mm"] = "check.ride_height_mm.<height>"
        key = next((named[part] for part in parts if part in named), ".".join(parts))
        assert key in keys, path
        of_old_skid = path[:2] == ("check", 0)  # left out, whatever stands there
        if key == "format" or of_old_skid:
            continue
        seen.add(key)
        assert told(with_value(table, path, other_value("", value))) != now, path
    assert seen == set(keys)


def test_every_key_of_a_sweep_moves_something() -> None:
    other: dict[str, Any] = {
        "outputs": ["front_left.caster"],
        "hold": "spring",
        "moved": "drawn",
        "by": "latin_hypercube",
        "points.of": ["front_left.track_rod.outer"],
        "input.name": "front_left.pushrod",
        "input.values": [0.5, 0.25],
        "input.among": [[2.0], [2.0, 0.2]],
        "input.along": "another",
    }

    def told(table: Table) -> str:
        try:
            return repr(sw.sweep_file(sw.demo_car(), table).to_dict())
        except sw.InputError as failure:
            return str(failure)

    keys, moving = documented(PAGE.read_text("utf-8"), "sweep"), {"format"}
    for table in sweeps():
        now = told(table)
        assert now.startswith("{"), now
        for path, value in leaves(table):
            key = ".".join(str(part) for part in path if isinstance(part, str))
            assert key in keys, path
            if key == "format":
                continue
            changed = with_value(table, path, copy.deepcopy(other[key]) if key in other else other_value("", value))
            if told(changed) != now:
                moving.add(key)
    assert moving == set(keys)
