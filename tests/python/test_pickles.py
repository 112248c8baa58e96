"""Every public object can be pickled, copied and sent to another process: the same numbers to the bit."""

from __future__ import annotations

import copy
import inspect
import pickle
import sys
import tomllib
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import shimwise as sw
from shimwise import _core

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "record"))

from calls import calls, members
from inputs import demo_inputs, random_inputs
from written import lines_of

Way = Callable[[Any], Any]

WAYS: dict[str, Way] = {"copied": copy.copy, "copied deeply": copy.deepcopy}
for protocol in range(2, pickle.HIGHEST_PROTOCOL + 1):
    WAYS[f"pickled by protocol {protocol}"] = lambda one, p=protocol: pickle.loads(pickle.dumps(one, p))  # noqa: S301

# Rows of the library's own lists, what is written of an amount, what is asked of a plan: no result holds one.
NEVER_KEPT = {"OutputInfo", "PlanOptions", "Usual", "Words"}


def said(one: Any) -> list[str]:
    """All that an object says, every number by `repr`; of the compiled part the bytes themselves."""
    core = getattr(one, "core", one)
    compiled = type(core).__module__.startswith("shimwise._core")
    state = repr(core.__getstate__()) if compiled else ""
    return [state, *lines_of(one if core is one and compiled else members(one))]


def demand_same(one: Any, ways: dict[str, Way]) -> None:
    before = said(one)
    for how, way in ways.items():
        other = way(one)
        assert type(other) is type(one)
        assert said(other) == before, f"{type(one).__name__} {how}"


def objects(car: sw.Car) -> list[Any]:
    """One of each kind that the public calls take and return, of the car and the files in the present folder."""
    readings = sw.load_readings("readings.toml", car)
    measured, targets = readings.reduce(), sw.load_targets("targets.toml", car)
    plan = sw.plan(car, measured, targets)
    key = f"rear_left.{car.rear_left.adjusters[0].name}"
    travel = np.linspace(-5.0, 5.0, 3)
    rest = car.at_rest(pads_mm={"front_left": 0.5})
    pads = {"height_mm": dict(zip(car.corners, (1.4, 0.1, -0.9, 0.0), strict=True)), "packing_mm": [0.2, 1.0]}
    table = tomllib.loads(Path("readings.toml").read_text(encoding="utf-8")) | {"pads": pads}
    uneven = sw.load_readings(table, car)
    return [
        *(uneven, uneven.level(there=uneven), sw.compare(car, readings, uneven)),
        sw.skid("skid.toml", lasts_km=100.0),
        *_over_weeks(car, readings),
        *(sw.Between(-0.5, 0.5), sw.Among([[2.0, 0.5], [2.0]])),
        *(car, car.rear_right, car.settings, car.adjuster(key), car.rear_right.effect_table()),
        *(
            readings,
            readings.read(),
            measured,
            targets,
            plan,
            plan["closest"],
            plan.card(),
            plan.settings_after(),
            plan.car_after(),
        ),
        *(rest, rest.forces("front_right"), car.on_solid_struts(), car.rest_effects()),
        *(car.front_left.recipes({"toe": 0.1}), car.recipe({"rake": 1.0}), car.front_right.forces(load_N=(0, 50, 900))),
        *(car.expect(measured, {key: 0.25}), sw.Problem("car.toml", 3, 0, "name", "", "is missing")),
        sw.fit_points(car, "front_left", {"track_rod.inner.z": (-1.0, 1.0)}, travel_mm=travel),
        *(sw.closest_integers([[2.0]], [3.2], [range(3)]), sw.fewest_touched([[2.0]], 1.0, 3.0, [range(3)], 1.0)),
    ]


def _over_weeks(car: sw.Car, readings: sw.Readings) -> list[object]:
    """A baseline, what is made of it, and of a folder of such."""
    Path("baselines").mkdir(exist_ok=True)
    out = Path(f"baselines/{len(list(Path('baselines').iterdir()))}.toml")
    baseline = sw.accept(car, readings, "invented", out)
    return [baseline, sw.restore(car, baseline), sw.history("baselines")]


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def test_every_public_object_of_the_demo_car_is_the_same_however_it_is_copied() -> None:
    demo_inputs(sw.demo_files())
    found = objects(sw.load_car("car.toml").with_settings("settings.toml"))
    kinds = {kind for kind in map(sw.__dict__.get, sw.__all__) if inspect.isclass(kind)}
    assert kinds - {type(one) for one in found} == {sw.InputError, sw.OutOfReach}
    for one in found:
        demand_same(one, WAYS)


def test_public_objects_of_random_cars_are_the_same_however_they_are_copied(size: Callable[[int, int], int]) -> None:
    for number in range(size(1, 20)):
        random_inputs(number)
        for one in objects(sw.load_car("car.toml")):
            demand_same(one, WAYS)


def test_whatever_a_public_call_answers_can_be_pickled() -> None:
    demo_inputs(sw.demo_files())
    car = sw.load_car("car.toml")
    for name, call in calls(car, car.with_settings("settings.toml"), whole=False):
        if name.startswith("plots"):
            continue
        try:
            found = call()
        except (sw.InputError, sw.OutOfReach) as error:
            found = error
        again = pickle.loads(pickle.dumps(found))  # noqa: S301
        assert list(lines_of(again)) == list(lines_of(found)), name


def test_what_went_wrong_can_be_pickled() -> None:
    Path("car.toml").write_text('format = "shimwise-car/1"\n', encoding="utf-8")
    with pytest.raises(sw.InputError) as broken:
        sw.load_car("car.toml")
    with pytest.raises(sw.OutOfReach) as far:
        sw.demo_car().front_left.curves(travel_mm=500.0)
    for way in WAYS.values():
        again = way(broken.value)
        assert str(again) == str(broken.value)
        assert [str(p) for p in again.problems] == [str(p) for p in broken.value.problems] != []
        assert str(way(far.value)) == str(far.value)


def test_every_class_of_the_compiled_part_has_a_state() -> None:
    kinds = {name: kind for name, kind in vars(_core).items() if inspect.isclass(kind)}
    without = {name for name, kind in kinds.items() if not hasattr(kind, "__setstate__")}
    assert without - {"InputError", "OutOfReach"} == NEVER_KEPT


def test_a_pickle_of_another_version_is_refused(car: sw.Car) -> None:
    data = pickle.dumps(car.core)
    version = _core.__version__.encode()
    with pytest.raises(sw.InputError, match=r"pickle: was written by shimwise 9\.9\.9, this is"):
        pickle.loads(data.replace(version, b"9.9.9"))  # noqa: S301


def test_broken_bytes_are_refused(car: sw.Car) -> None:
    version, state = car.settings.__getstate__()
    for broken in (state[:-1], state + b"\0", b"", b"\xff" * 40):
        with pytest.raises(ValueError, match="these are not the bytes of such a value"):
            _core.Settings.__new__(_core.Settings).__setstate__((version, broken))


def test_another_process_gives_the_same_numbers() -> None:
    demo_inputs(sw.demo_files())
    car = sw.load_car("car.toml").with_settings({"front_left.track rod": "+1 flat"})
    measured = sw.load_readings("readings.toml", car).reduce()
    targets = sw.load_targets("targets.toml", car)
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
        rest = pool.submit(sw.Car.at_rest, car, pads_mm={"front_left": 1.0})
        effects = pool.submit(sw.Corner.effects, car.front_left, "spring")
        plan = pool.submit(sw.plan, car, measured, targets)
        refused = pool.submit(sw.Car.corner, car, "front_middle")
        assert said(rest.result()) == said(car.at_rest(pads_mm={"front_left": 1.0}))
        assert list(lines_of(effects.result())) == list(lines_of(car.front_left.effects("spring")))
        assert said(plan.result()) == said(sw.plan(car, measured, targets))
        with pytest.raises(sw.InputError, match="front_middle"):
            refused.result()
