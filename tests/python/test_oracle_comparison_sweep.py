"""States drawn from sweeps against the independent SciPy oracle: corners for all that is held, cars at rest.

Each state is a car file of its own, saved or changed as a table, which the oracle (tests/oracle) solves by itself.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from rest_comparison import BAR, BAR_WEIGHED, agree_in_values
from sweep_kinds import drawn_about, in_a_list
from test_oracle_comparison import TOLERANCE

import shimwise as sw
from shimwise import _core

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "oracle"))

from car_table import CORNER_NAMES, Table, read_car
from corner import NotAssembled
from random_cars import random_car
from reference import OUTPUTS, corner_of
from rest import rest as oracle_rest
from rest_car import NotAtRest
from swept import swept

Size = Callable[[int, int], int]

DEMO = -1


def adjusters_of(car: sw.Car, corner: str) -> list[str]:
    """Those that turn a thread."""
    return [f"{corner}.{one.name}" for one in car.corner(corner).adjusters if isinstance(one.setting, _core.Thread)]


@pytest.mark.parametrize("corner", ["front_left", "rear_right"])
def test_a_corner_over_settings_points_travel_and_rack(car: sw.Car, corner: str, tmp_path: Path, size: Size) -> None:
    drawn = np.random.default_rng(21)
    count = size(6, 100)
    settings = {key: drawn.uniform(-0.6, 0.6, count) for key in adjusters_of(car, corner)}
    packs = drawn.uniform(1.0, 3.5, count)
    points = {f"{corner}.track_rod.inner.{axis}": drawn.uniform(-1.0, 1.0, count) for axis in "xyz"}
    travel, rack = drawn.uniform(-25.0, 25.0, count), drawn.uniform(-10.0, 10.0, count)
    found = sw.sweep(
        car,
        in_a_list(settings | points | {f"{corner}.camber shim": packs, "travel_mm": travel, "rack_mm": rack}),
        outputs=[f"{corner}.{column}" for column in OUTPUTS],
        moved="drawn",
        change=[*points],
    )
    assert not found.status.any()
    for i in range(count):
        by = {f"{corner}.track_rod.inner": tuple(float(points[f"{corner}.track_rod.inner.{a}"][i]) for a in "xyz")}
        one = car.with_points(by, moved="drawn").with_settings(
            {key: float(values[i]) for key, values in settings.items()} | {f"{corner}.camber shim": [float(packs[i])]}
        )
        path = tmp_path / f"{corner}_{i}.toml"
        one.save(path)
        oracle = corner_of(path, corner)
        expected = oracle.outputs(*oracle.sweep([0.0, float(travel[i])], float(rack[i])))
        for column in OUTPUTS:
            error = abs(float(found[f"{corner}.{column}"][i]) - float(expected[column][-1]))
            assert error <= 4.0 * TOLERANCE[column], f"{corner}, state {i}: {column} differs by {error}"


def test_the_car_at_rest_over_settings_pads_and_ballast(car: sw.Car, tmp_path: Path, size: Size) -> None:
    drawn = np.random.default_rng(22)
    count = size(3, 60)
    settings = {f"{corner}.pushrod": drawn.uniform(-1.5, 1.5, count) for corner in _core.CornerId.__members__}
    pads = {corner: drawn.uniform(-2.0, 2.0, count) for corner in _core.CornerId.__members__}
    fuel = drawn.uniform(0.0, 30.0, count)
    others = {f"pad.{corner}": values for corner, values in pads.items()} | {"ballast.fuel": fuel}
    found = sw.sweep(car, in_a_list(settings | others), outputs=["weight", "cross_weight", "toe"], hold="rest")
    assert not found.status.any()
    for i in range(count):
        path = tmp_path / f"rest_{i}.toml"
        car.with_settings({key: float(values[i]) for key, values in settings.items()}).save(path)
        on = {corner: float(values[i]) for corner, values in pads.items()}
        theirs = oracle_rest(read_car(path), on, ballast_kg={"fuel": float(fuel[i])})
        assert abs(float(found["cross_weight_percent"][i]) - 100.0 * theirs.cross_weight) <= 1e-7
        for corner, stands in theirs.corner.items():
            assert abs(float(found[f"{corner}.weight_kg"][i]) - stands.weight_kg) <= 1e-8 * stands.weight_kg
            assert abs(float(found[f"{corner}.toe_deg"][i]) - stands.ground["toe_deg"]) <= 1e-9


@pytest.mark.parametrize("moved", ["drawn", "built"])
@pytest.mark.parametrize("hold", ["wheel", "contact", "spring"])
def test_corners_set_in_every_way(hold: str, moved: str, tmp_path: Path, size: Size) -> None:
    """Every thread, pack and point a little off, wheel and rack by some millimetres."""
    for number in (DEMO, *range(size(1, 40))):
        car, table = car_of(number, tmp_path)
        by, how = drawn_about(car, hold, size(1, 4), 1 + number, moved)
        by |= {"travel_mm": 50.0 * by["travel_mm"], "rack_mm": 20.0 * by["rack_mm"]}
        found = sw.sweep(car, in_a_list(by), **how)
        assert not found.status.any()
        for i, changes in enumerate(states(by)):
            other = swept(table, changes, moved)
            for corner in CORNER_NAMES:
                for column, (value,) in other.outputs(table, corner, hold).items():
                    error = abs(float(found[f"{corner}.{column}"][i]) - float(value))
                    assert error <= 4.0 * TOLERANCE[column], f"{number}, {corner}, state {i}: {column} by {error}"


@pytest.mark.parametrize(("moved", "cars"), [("drawn", 50), ("built", 50), (None, 200)])
def test_cars_at_rest_set_in_every_way(moved: str | None, cars: int, tmp_path: Path, size: Size) -> None:
    """Every thread, pack, pad and ballast a little off, and the rack; points too where they move. Car 2 is weighed.

    Where a car rests as drawn (each fifth), "as drawn" is with its parts as they are built, and no shim is: these cars
    are left out where points are built.
    """
    for number in (DEMO, *range(1, 1 + size(2, cars))):
        car, table = car_of(number, tmp_path)
        if moved == "built" and "rests_as_drawn" in table["front_left"]["spring"]:
            continue
        by, how = drawn_about(car, "rest", size(1, 2), 100 + number, moved)
        by["rack_mm"] = 20.0 * by["rack_mm"]
        found = sw.sweep(car, in_a_list(by), **how)
        reasons = found.status.attrs["flag_meanings"].split()
        of_bar = BAR_WEIGHED if "scales_kg" in table["mass"] else BAR
        for i, changes in enumerate(states(by)):
            other, reason = swept(table, changes, moved or "built"), reasons[int(found.status[i])]
            assert (reason == "no_real_car") == (moved == "drawn" and not other.inside_dampers()), (number, i, reason)
            if reason == "reached":
                ours = {column: float(found[column][i]) for column in found.data_vars}
                agree_in_values(ours, other.rest(), of_bar)
            elif reason != "no_real_car":
                with pytest.raises((NotAtRest, NotAssembled)):
                    other.rest()
        assert (found.status == 0).any()


def car_of(number: int, folder: Path) -> tuple[sw.Car, Table]:
    """The demo car or a random one, and its file."""
    path = sw.demo_files().car if number == DEMO else folder / f"car_{number}.toml"
    if number != DEMO:
        path.write_text(random_car(number), encoding="utf-8")
    return sw.load_car(path), read_car(path)


def states(by: dict[str, np.ndarray]) -> list[dict[str, float]]:
    return [dict(zip(by, map(float, values), strict=True)) for values in zip(*by.values(), strict=True)]


@pytest.mark.parametrize("number", range(8))
def test_random_cars_set_in_every_way_are_what_calls_for_one_state_give(
    number: int, tmp_path: Path, size: Size
) -> None:
    """Pull rods, shims at pickups and brackets, struts without rockers, bars: the first eight cars have all kinds."""
    (car, _), count = car_of(number, tmp_path), size(3, 60)
    for hold in ("wheel", "contact", "spring", "rest"):
        by, how = drawn_about(car, hold, count, number)
        found = sw.sweep(car, in_a_list(by), **how)
        assert not found.status.any()
        for name in found.data_vars:
            assert np.isfinite(found[name].values).all(), name
        for i in range(count if hold in ("wheel", "rest") else 0):
            other, at = set_one_by_one(car, {key: float(values[i]) for key, values in by.items()})
            if hold == "rest":
                for column, value in other.at_rest(**at).values.items():
                    assert float(found[column][i]) == value, column
                continue
            rack_mm = float(by["rack_mm"][i]) if "rack_mm" in by else 0.0
            for corner in _core.CornerId.__members__:
                curves = other.corner(corner).curves(travel_mm=float(by["travel_mm"][i]), rack_mm=rack_mm)
                for column, value in curves.items():
                    error = abs(float(found[f"{corner}.{column}"][i]) - float(value))
                    assert error <= 1e-8 * max(1.0, abs(float(value))), (corner, column)


def set_one_by_one(car: sw.Car, by: dict[str, float]) -> tuple[sw.Car, dict[str, object]]:
    """The car with its points and adjusters so, by the calls for each; and what `at_rest` takes of the others."""
    moves: dict[str, list[float]] = {}
    settings: dict[str, object] = {}
    on: dict[str, dict[str, float]] = {"pads_mm": {}, "ballast_kg": {}}
    for one in _core.sweep_inputs(car.core, _core.SweepHold.__members__["rest"], _core.Moved.__members__["built"]):
        value = one.now + by.get(one.key, 0.0)
        kind, _, name = one.key.partition(".")
        if one.point:
            point, _, axis = one.key.rpartition(".")
            moves.setdefault(point, [0.0, 0.0, 0.0])["xyz".index(axis)] = by[one.key]
        elif one.adjuster:
            thread = isinstance(car.adjuster(one.key).setting, _core.Thread)
            settings[one.key] = value if thread else [value]
        elif kind in ("pad", "ballast"):
            on["pads_mm" if kind == "pad" else "ballast_kg"][name] = value
    other = car.with_points({key: (x, y, z) for key, (x, y, z) in moves.items()}, moved="built").with_settings(settings)
    return other, on | ({"rack_mm": by["rack_mm"]} if "rack_mm" in by else {})
