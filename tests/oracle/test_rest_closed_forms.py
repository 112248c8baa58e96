"""Checks on the oracle of a car at rest: closed forms."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))

from car_table import CORNER_NAMES
from ideal_car import HALF_BASE_MM, HALF_TRACK_MM, ideal, loads
from rest import found_rest, rest


def test_four_equal_springs_on_a_rectangle():
    """W/4 (1 + x x_i / a^2 + y y_i / b^2): Garcia, Wood, Barrera-Mora, Applied Mathematics 6 (2015) 599."""
    _, found = found_rest(ideal(weight_N=1000.0, x_mm=0.2 * HALF_BASE_MM, y_mm=0.2 * HALF_TRACK_MM))
    assert np.all(np.abs(loads(found) / [350.0, 250.0, 250.0, 150.0] - 1) < 1e-6)


@pytest.mark.parametrize(("front", "rear", "change"), [(5e5, 5e5, 50.0), (6e5, 4e5, 48.0)])
def test_one_corner_raised(front, rear, change):
    """lambda s with s = (1, -1, -1, 1) / track, lambda = delta s_j / sum(s_i^2 / k_i)."""
    _, found = found_rest(ideal(rate=front, rear_rate=rear), {"front_left": 4e-4})
    assert np.all(np.abs(loads(found) - 2500.0 - change * np.array([1, -1, -1, 1])) < 2500e-6)


@pytest.mark.parametrize(("front", "rear", "slope"), [(50.0, 50.0, 12.5), (60.0, 40.0, 12.0)])
def test_slope_of_loads_by_a_pad_with_real_rates(front, rear, slope):
    """On a wheel of no size: the contact of a large one goes fore and aft as the car pitches, and load with it."""
    car, h = ideal(rate=front, rear_rate=rear, radius_mm=1e-6), 0.2
    at = {k: loads(found_rest(car, {"front_left": k * h})[1]) for k in (-2, -1, 1, 2)}
    found = (at[-2] - 8 * at[-1] + 8 * at[1] - at[2]) / (12 * h)
    assert np.all(np.abs(found / (slope * np.array([1, -1, -1, 1])) - 1) < 1e-9)


def test_a_chassis_that_twists_is_in_series_with_the_springs():
    """1 / lambda gains 1 / (twist rate): each axle's pair of loads lambda / track has the moment lambda."""
    k, track = 5e5, 2 * HALF_TRACK_MM
    per_rad_Nmm = 0.8 * k * track**2 / 4
    places = {"ahead": 100.0, "front": 0.0, "mid": -HALF_BASE_MM, "rear": -2 * HALF_BASE_MM, "behind": -3000.0}
    points = {f"{name}_left": {"at_mm": [x, 500.0, 0.0]} for name, x in places.items()}
    car = ideal(rate=k, chassis_twist_Nm_per_deg=per_rad_Nmm / 1000 / np.degrees(1.0), ride_height_points=points)
    found = rest(car, {"front_left": 4e-4})
    lam = 4e-4 / track / (4 / (track**2 * k) + 1 / per_rad_Nmm)
    assert np.all(
        np.abs(np.array([c.load_N for c in found.corner.values()]) - 2500 - lam / track * np.array([1, -1, -1, 1]))
        < 2e-3
    )
    assert abs(found.twist_deg / np.degrees(lam / per_rad_Nmm) - 1) < 1e-6
    for name, share in (("ahead", 0.5), ("front", 0.5), ("mid", 0.0), ("rear", -0.5), ("behind", -0.5)):
        lean = (found.ride_height_mm[f"{name}_left"] - found.ride_height_mm[f"{name}_right"]) / 1000.0
        assert abs(lean - np.radians(found.ground_roll_deg + share * found.twist_deg)) < 1e-12, name
    rigid = rest(ideal(chassis_twist_Nm_per_deg=1e15), {"front_left": 4e-4})
    assert abs(rigid.corner["front_left"].load_N - 2550.0) < 2500e-6


def test_ground_is_the_best_plane_of_the_pads():
    """One pad of a rectangle 4 high: the plane is at 3, 1, 1, -1; on equal springs the chassis is parallel to it."""
    found = rest(ideal(), {"front_left": 4e-4})
    assert abs(np.radians(found.roll_deg) / (2e-4 / (2 * HALF_TRACK_MM)) - 1) < 1e-5
    assert abs(np.radians(found.pitch_deg) / (-2e-4 / (2 * HALF_BASE_MM)) - 1) < 1e-5
    assert abs(found.ground_roll_deg) < 1e-11
    assert abs(found.ground_pitch_deg) < 1e-11
    assert abs(found.height_mm - 30.0 - 2e-4) < 1e-8
    assert abs(found.ground_height_mm - 30.0) < 1e-8


def test_a_plate_that_leans_turns_the_ground_and_moves_load():
    """Pads on a plane that leans about x: in the ground frame only load moves, by weight height / track of the lean."""
    tilt = 1e-4
    car = ideal()
    car["mass"]["cg_mm"][2] = 370.0  # 400 mm over the ground
    pads = {name: tilt * HALF_TRACK_MM * (1 if "left" in name else -1) for name in CORNER_NAMES}
    found = rest(car, pads)
    down = 10000.0 * 400.0 * tilt / (2 * HALF_TRACK_MM)  # left side up: load goes right
    left = found.corner["front_left"].load_N + found.corner["rear_left"].load_N
    assert abs(left - 5000.0 + down) < 1e-3 * down
    assert abs(np.radians(found.roll_deg) - tilt) < 0.01 * tilt
    assert abs(np.radians(found.ground_roll_deg)) < 0.01 * tilt
    assert abs(found.corner["front_left"].ground["camber_deg"]) < 0.01 * np.degrees(tilt)
