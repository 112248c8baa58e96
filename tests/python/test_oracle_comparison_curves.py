"""Curves, steering, forces and the table's own rates against the independent oracle: demo and seeded random corners.

The corners are those of test_oracle_comparison, with struts of every kind. Tolerances: places of a solved pose 1e-9 mm;
loads and forces, that follow from poses without a difference, 1e-9 of the largest of their kind; what the oracle finds
by differences as far as its own answers at two steps agree over all 200 corners, with a margin of three or more.
"""

from __future__ import annotations

import importlib.resources
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import shimwise as sw

sys.path.insert(0, str(Path(__file__).parents[1] / "oracle"))

from car_table import CORNER_NAMES, corner_tables, read_car
from corner import HOLDS, OUTPUTS, Corner
from curves import CURVES, curves, instant_twist
from effects_per_travel import effects_per_travel
from forces import ARMS, Forces, forces
from random_struts import random_car_with_struts
from reference import RACK_MM, corner_of
from steering import STEERING, steering
from strut import strut_of
from vectors import Array

TEST = "test_oracle_comparison"
TRAVEL_MM = np.array([-24.0, -16.0, -8.0, 0.0, 8.0, 16.0, 24.0])
STEER_RACK_MM = np.array([-12.0, -6.0, -0.5, 0.0, 0.5, 6.0, 12.0])
STATES = [(0.0, 0.0), (-12.0, RACK_MM), (15.0, -RACK_MM)]
LOAD_N = (900.0, -1600.0, 2600.0)

PLACE_MM = 1e-9
ROLL_CENTRE_MM = 1e-8
STEER_DEG = 1e-9
LOAD = 1e-9
RATE = 1e-9
SPIN_PER_MM = 1e-13
TABLE_RATE, TABLE_RATE_FLOOR = 1e-6, 1e-9
POINT_OF_AXIS = ("instant_axis_x_mm", "instant_axis_y_mm", "instant_axis_z_mm", "instant_axis_pitch_mm_per_rad")


# The library: the one place that knows its calls ---------------------------------------------------------------------


def library_curves(car: sw.Car, name: str, rack_mm: float) -> dict[str, Array]:
    found = getattr(car, name).curves(travel_mm=TRAVEL_MM, rack_mm=rack_mm)
    return {curve: np.asarray(found[curve], dtype=float).reshape(len(TRAVEL_MM)) for curve in CURVES}


def library_steering(car: sw.Car) -> dict[str, Array]:
    found = car.steering(rack_mm=STEER_RACK_MM)
    return {output: np.asarray(found[output], dtype=float).reshape(len(STEER_RACK_MM)) for output in STEERING}


def library_forces(car: sw.Car, name: str, travel_mm: float, rack_mm: float) -> Forces:
    found = getattr(car, name).forces(load_N=LOAD_N, travel_mm=travel_mm, rack_mm=rack_mm)

    def rows(table: Any) -> dict[str, Array]:
        return {str(point): table.loc[point, ["x", "y", "z"]].to_numpy(dtype=float) for point in table.index}

    return Forces(
        axial={str(member): float(tension) for member, tension in found.axial_N.items()},
        on_upright=rows(found.on_upright_N),
        on_chassis=rows(found.on_chassis_N),
        along_pickups={arm: -float(found.along_pickups_N[arm]) for arm in ARMS},  # it counts + from rear to front
        rocker_moment=np.asarray(found.rocker_moment_Nmm, dtype=float),
    )


def library_effects_per_travel(
    car: sw.Car, name: str, hold: str, adjusters: list[str], travel_mm: float, rack_mm: float
) -> Array:
    found = getattr(car, name).effects_per_travel(hold, travel_mm=travel_mm, rack_mm=rack_mm)
    table = found.xs("mm", level="per").loc[adjusters, list(OUTPUTS)]
    return np.asarray(table, dtype=float)


# Comparisons ---------------------------------------------------------------------------------------------------------


def compare_curves(car: sw.Car, path: Path, name: str, case: str) -> None:
    corner = corner_of(path, name)
    strut = strut_of(corner_tables(read_car(path))[name], corner)
    axle, _side = name.split("_")
    for rack in (0.0, RACK_MM):
        expected, found = curves(corner, strut, axle, TRAVEL_MM, rack), library_curves(car, name, rack)
        # A spin known to SPIN_PER_MM gives a direction and a place the less exactly, the farther away the axis is.
        reach = 1 / np.linalg.norm(instant_twist(corner, *corner.sweep(TRAVEL_MM, rack))[0], axis=1)
        allowed: dict[str, Any] = {curve: RATE * np.maximum(1.0, np.max(np.abs(expected[curve]))) for curve in CURVES}
        allowed |= dict.fromkeys(("contact_x_mm", "wheelbase_change_mm"), PLACE_MM)
        allowed["roll_centre_height_mm"] = ROLL_CENTRE_MM
        allowed |= {f"instant_axis_along_{i}": 1e-12 + SPIN_PER_MM * reach for i in "xyz"}
        allowed |= dict.fromkeys(POINT_OF_AXIS, PLACE_MM + SPIN_PER_MM * reach**2)
        for curve in CURVES:
            error = np.abs(found[curve] - expected[curve])
            assert np.all(error <= allowed[curve]), f"{case}, rack {rack} mm: {curve} differs by {np.max(error)}"


def compare_steering(car: sw.Car, path: Path, case: str) -> None:
    expected, found = steering(read_car(path), STEER_RACK_MM), library_steering(car)
    centre = STEER_RACK_MM == 0.0
    for output in STEERING:
        error = np.max(np.abs(found[output] - expected[output]))
        assert error <= STEER_DEG, f"{case}: {output} differs by {error}"
        assert np.all(found[output][centre] == 0.0), f"{case}: {output} at the rack's centre"


def compare_forces(car: sw.Car, path: Path, name: str, case: str) -> None:
    corner = corner_of(path, name)
    for travel, rack in STATES:
        placed = corner.place(*corner.sweep([travel], rack))
        at = {point: place[0] for point, place in placed.at.items()}
        expected = forces(corner, at, placed.contact[0], LOAD_N)
        found = library_forces(car, name, travel, rack)
        largest = max(float(np.max(np.abs(force))) for force in [*expected.on_chassis.values(), LOAD_N])
        for part in ("axial", "on_upright", "on_chassis", "along_pickups"):
            one: Mapping[str, Any] = getattr(found, part)
            other: Mapping[str, Any] = getattr(expected, part)
            assert other.keys() <= one.keys(), f"{case}: no {part} of {sorted(other.keys() - one.keys())}"
            assert part != "axial" or one.keys() == other.keys(), f"{case}: {sorted(one)} are no two-force members"
            for key in other:
                error = np.max(np.abs(one[key] - other[key]))
                assert error <= LOAD * largest, f"{case} at {travel}, {rack} mm: {part} {key} differs by {error} N"
        if corner.has_rocker:
            error = np.max(np.abs(found.rocker_moment - expected.rocker_moment))
            lever = np.max(np.abs(at["rocker.spring"] - at["rocker.axis_point"]))
            assert error <= LOAD * largest * lever, f"{case} at {travel}, {rack} mm: moment differs by {error} N mm"


def compare_effects_per_travel(car: sw.Car, path: Path, name: str, case: str) -> None:
    corner: Corner = corner_of(path, name)
    for travel, rack in STATES[:2]:
        q, parts = corner.sweep([travel], rack)
        for hold in HOLDS:
            reference = effects_per_travel(corner, q, parts, rack, hold)[0]
            table = library_effects_per_travel(car, name, hold, corner.adjuster_names, travel, rack)
            allowed = np.maximum(TABLE_RATE * np.max(np.abs(reference), axis=0), TABLE_RATE_FLOOR)
            places = [
                f"{corner.adjuster_names[row]} -> {OUTPUTS[column]}: {table[row, column]} for {reference[row, column]}"
                for row, column in np.argwhere(~(np.abs(table - reference) <= allowed))
            ]
            assert not places, f"{case} at {travel}, {rack} mm, hold {hold}: " + "; ".join(places)


CORNER_COMPARISONS = (compare_curves, compare_forces, compare_effects_per_travel)


@pytest.mark.parametrize("compare", CORNER_COMPARISONS)
@pytest.mark.parametrize("name", CORNER_NAMES)
def test_demo_corner(compare: Callable[..., None], name: str) -> None:
    with importlib.resources.as_file(importlib.resources.files("shimwise") / "data" / "wren.toml") as path:
        compare(sw.load_car(path), path, name, f"demo {name}")


def test_demo_steering() -> None:
    with importlib.resources.as_file(importlib.resources.files("shimwise") / "data" / "wren.toml") as path:
        compare_steering(sw.load_car(path), path, "demo")


def test_random_corners(tmp_path: Path, size: Callable[[int, int], int]) -> None:
    count = size(8, 200)
    for index in range(count // 2):
        text, cases = random_car_with_struts(TEST, index)
        path = tmp_path / f"car_{index}.toml"
        path.write_text(text, encoding="utf-8")
        car = sw.load_car(path)
        label = f"random_car_with_struts({TEST!r}, {index})"
        compare_steering(car, path, label)
        for case in cases:
            for compare in CORNER_COMPARISONS:
                compare(car, path, case.name, f"{label}.{case.name}")
    print(f"{count} random corners compared at {len(TRAVEL_MM)} travels")
