"""A car that was changed and saved is read as the same car: the same numbers to the bit."""

from __future__ import annotations

import sys
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import shimwise as sw
from shimwise import _core

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "record"))

from inputs import demo_inputs, random_inputs


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def bits(car: sw.Car) -> dict[str, Any]:
    """All that is computed of a car, by `repr`; the sentences of its doubts without the file's name."""
    travel = np.linspace(-6.0, 6.0, 5)
    found: dict[str, Any] = {
        "rest": lambda: car.at_rest(pads_mm={"front_left": 1.0}).as_dict(),
        "effects": lambda: car.effects("rest").to_dict(),
        "struts": lambda: car.on_solid_struts().as_dict(),
        "curves": lambda: [c.curves(travel_mm=travel, rack_mm=2.0).to_dict() for c in car.corners.values()],
        "recipes": lambda: [c.recipes().as_dict() for c in car.corners.values()],
        "doubts": lambda: [doubt.removeprefix(f"{car.file}: ") for doubt in car.doubts],
        "boxes and settings": car.settings.__getstate__,
        "instruments": car.core.instruments.__getstate__,
        "corners": lambda: [car.core.corner(c).__getstate__() for c in _core.CornerId.__members__.values()],
    }
    told = {}
    for what, call in found.items():
        try:
            told[what] = repr(call())
        except (sw.InputError, sw.OutOfReach) as failure:
            told[what] = str(failure).removeprefix(f"{car.file}: ")
    return told


def changed(car: sw.Car) -> sw.Car:
    """Turned, shimmed, its points moved in either way, its bars put on or off."""
    left = car.front_left.adjusters
    thread = next(a.name for a in left if isinstance(a.setting, _core.Thread))
    car = car.with_settings({f"front_left.{thread}": "+1 flat", f"front_right.{thread}": 0.1})
    for axle in car.bars:
        car = car.with_bars(**{axle: not car.bars[axle]})
    car = car.with_points({"rear_left.lower_wishbone.outer": (0.1, -0.2, 0.3)}, moved="built")
    return car.with_points({"front_right.track_rod.inner": (0.0, 0.1, -1.0 / 3.0)}, moved="drawn")


def demand_same(car: sw.Car, name: str) -> None:
    car.save(name)
    wanted = bits(car)
    for again in (sw.load_car(name), sw.load_car(car.as_dict()), sw.load_car(text=car.as_toml())):
        told = bits(again)
        assert [what for what in wanted if told[what] != wanted[what]] == []
    assert sw.load_car(name).as_toml() == car.as_toml() == Path(name).read_text(encoding="utf-8")


def test_the_demo_car_is_the_same_once_saved_and_so_is_a_changed_one() -> None:
    demo_inputs(sw.demo_files())
    car = sw.load_car("car.toml")
    demand_same(car, "same.toml")
    demand_same(car.with_settings("settings.toml").with_bars(front="hard"), "set.toml")
    demand_same(changed(car), "changed.toml")
    assert bits(changed(car)) != bits(car)


def test_random_cars_are_the_same_once_changed_and_saved(size: Callable[[int, int], int]) -> None:
    for number in range(size(3, 20)):
        random_inputs(number)
        car = sw.load_car("car.toml")
        demand_same(car, f"same {number}.toml")
        demand_same(changed(car), f"changed {number}.toml")


def test_what_fit_points_and_a_plan_leave_can_be_saved() -> None:
    car = sw.demo_car()
    fit = sw.fit_points(car, "front_left", {"track_rod.inner.z": (-1.0, 1.0)}, travel_mm=[-10.0, 0.0, 10.0])
    demand_same(fit.car, "fit.toml")
    files = sw.demo_files()
    plan = sw.plan(car, sw.load_readings(files.readings, car).reduce(), sw.load_targets(files.targets, car))
    demand_same(plan.car_after(), "after.toml")


def test_settings_are_saved_and_read_to_the_bit() -> None:
    car = sw.demo_car().with_settings({"front_left.track rod": 1.0 / 3.0, "rear_left.pushrod": 0.1})
    car.settings.save("friday.toml")
    again = sw.demo_car().with_settings("friday.toml")
    assert again.settings.__getstate__() == car.settings.__getstate__()
    assert '"rear_left.pushrod" = 0.1\n' in Path("friday.toml").read_text(encoding="utf-8")  # no 0.10000000000000001
    with pytest.raises(sw.InputError, match="exists already and is not written over"):
        car.settings.save("friday.toml")


def test_a_saved_car_is_a_new_file_whole(capsys: pytest.CaptureFixture[str]) -> None:
    sw.demo_car().save(Path("wren.toml"))
    assert [path.name for path in Path().iterdir()] == ["wren.toml"]
    with pytest.raises(sw.InputError, match=r"^wren\.toml: exists already and is not written over$"):
        sw.demo_car().save("wren.toml")
    with pytest.raises(sw.InputError, match="there is no folder nowhere"):
        sw.demo_car().save("nowhere/wren.toml")
    assert tomllib.loads(Path("wren.toml").read_text(encoding="utf-8")) == sw.demo_car().as_dict()
    assert capsys.readouterr() == ("", "")


def test_the_command_line_says_the_same_of_a_saved_car(shimwise: Callable[..., Any]) -> None:
    car = changed(sw.demo_car())
    car.save("saved.toml")
    said = shimwise("check", "saved.toml").stdout
    assert "front_left.track rod" in said
    again = sw.load_car("saved.toml")
    again.save("again.toml")
    assert Path("again.toml").read_text(encoding="utf-8") == Path("saved.toml").read_text(encoding="utf-8")
