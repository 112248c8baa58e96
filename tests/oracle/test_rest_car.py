"""Checks on the oracle of a car at rest: what a file says becomes a car."""

from __future__ import annotations

import copy
import sys
import tomllib
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))

from car_table import CORNER_NAMES, corner_tables, read_car
from ideal_car import FIRST, HALF_BASE_MM, HALF_TRACK_MM, ideal
from random_cars import car_text, random_car, why_no_rest
from rest import found_rest, rest
from rest_car import NotAtRest, plumb_of, turn_of
from rest_corner import stored_Nmm
from strut import Law

DEMO = Path(__file__).parents[2] / "python" / "shimwise" / "data" / "wren.toml"


def test_a_car_that_rests_as_drawn_stands_as_drawn():
    car = read_car(DEMO)
    for axle in ("front", "rear"):
        car[f"{axle}_left"]["spring"].pop("load_at_drawn_N")
        car[f"{axle}_left"]["spring"]["rests_as_drawn"] = True
        car[f"{axle}_bar"]["connected"] = True
    car["front_third"]["gap_mm"] = -2.0
    found = rest(car)
    assert abs(found.cross_weight - 0.5) < 1e-10
    assert found.third_force_N["front"] > 100.0
    assert abs(found.roll_deg) < 1e-9
    for axle in ("front", "rear"):
        left, right = (found.corner[f"{axle}_{side}"] for side in ("left", "right"))
        assert abs(left.travel_mm) < 1e-8
        assert abs(right.travel_mm) < 1e-8
        assert left.load_N > right.load_N + 5.0  # centre of gravity 4 mm to the left
        assert abs(found.bar_torque_Nm[axle]) < 1e-8
    told = copy.deepcopy(car)
    for axle in ("front", "rear"):
        for side in ("left", "right"):
            load = found.corner[f"{axle}_{side}"].spring_load_N
            told.setdefault(f"{axle}_{side}", {}).setdefault("spring", {})["load_at_drawn_N"] = load
        told[f"{axle}_left"]["spring"].pop("rests_as_drawn")
    again = rest(told, {"rear_left": 2.0})
    assert abs(again.corner["rear_left"].load_N - rest(car, {"rear_left": 2.0}).corner["rear_left"].load_N) < 1e-6


def test_scales_give_the_centre_of_gravity_that_they_were_read_with():
    car = read_car(DEMO)
    before = rest(car)
    on_scales = copy.deepcopy(car)
    on_scales["mass"]["cg_height_mm"] = on_scales["mass"].pop("cg_mm")[2]
    on_scales["mass"]["scales_kg"] = {name: corner.weight_kg for name, corner in before.corner.items()}
    after = rest(on_scales)
    for name, corner in before.corner.items():
        assert abs(after.corner[name].load_N / corner.load_N - 1) < 1e-9
    assert abs(after.height_mm - before.height_mm) < 1e-8
    warped = copy.deepcopy(on_scales)  # what springs and settings do not allow stays out: only moments count
    for name, sign in zip(CORNER_NAMES, (1, -1, -1, 1), strict=True):
        warped["mass"]["scales_kg"][name] += sign * 3.0
    shifted = rest(warped)
    kg = warped["mass"]["scales_kg"]
    y = np.array([c.contact_mm[1] for c in shifted.corner.values()])
    difference = np.array([c.weight_kg - kg[name] for name, c in shifted.corner.items()])
    assert abs(difference @ y) < 1e-6
    assert np.max(np.abs(difference)) > 2.0


def test_a_car_that_rests_as_drawn_with_scales_has_their_cross_weight(cars):
    car = copy.deepcopy(cars[3])
    kg = {"front_left": 150.0, "front_right": 147.0, "rear_left": 128.0, "rear_right": 134.0}
    car["mass"]["cg_height_mm"] = car["mass"].pop("cg_mm")[2]
    car["mass"]["scales_kg"] = kg
    found = rest(car)
    for name, corner in found.corner.items():
        assert abs(corner.weight_kg / found.total_kg / (kg[name] / sum(kg.values())) - 1) < 1e-9


def test_ballast_and_settings_of_a_call_are_those_of_a_file(cars):
    car = cars[0]
    called = rest(car, None, {"front_left.track rod": 0.5, "rear_right.camber shim": [2.0, 0.5]}, {"driver": 20.0})
    told = copy.deepcopy(car)
    told |= corner_tables(told)
    for name, adjuster, key, value in (
        ("front_left", "track rod", "now_turns", 0.5),
        ("rear_right", "camber shim", "fitted_mm", [2.0, 0.5]),
    ):
        (there,) = (a for a in told[name]["adjuster"] if a["name"] == adjuster)
        there[key] = value
    gone = car["ballast"][0]["now_kg"] - 20.0
    mass, at = told["mass"], np.array(told["ballast"][0]["at_mm"])
    cg = (mass["total_kg"] * np.array(mass["cg_mm"]) - gone * at) / (mass["total_kg"] - gone)
    mass["total_kg"], mass["cg_mm"], told["ballast"][0]["now_kg"] = mass["total_kg"] - gone, list(cg), 20.0
    same = rest(told)
    assert abs(called.total_kg - same.total_kg) < 1e-9
    for name, corner in called.corner.items():
        assert abs(corner.load_N / same.corner[name].load_N - 1) < 1e-9
        assert abs(corner.ground["toe_deg"] - same.corner[name].ground["toe_deg"]) < 1e-9


def test_a_load_outside_and_a_strut_out_of_its_travel_are_refused_by_name():
    with pytest.raises(NotAtRest, match="rear_right: the spring would have to pull"):
        rest(ideal(weight_N=1000.0, x_mm=0.6 * HALF_BASE_MM, y_mm=0.6 * HALF_TRACK_MM))
    short = ideal(rate=50.0)
    short["front_left"]["damper"] = {"shortest_mm": 249.0, "longest_mm": 300.0}
    short["front_left"]["spring"]["load_at_drawn_N"] = 2000.0
    with pytest.raises(NotAtRest, match="front_left: the damper is"):
        rest(short)


def test_the_work_in_a_strut_is_the_area_under_its_law():
    law = Law(np.array([0.0, 5.0, 8.0]), np.array([0.0, 400.0, 1100.0]), 700.0 / 3)
    assert stored_Nmm(law, -1.0) == 0.0
    assert abs(stored_Nmm(law, 10.0) - (1000.0 + 2250.0 + 2 * 1100.0 + 700.0 / 3 * 2)) < 1e-9
    for squeeze in (0.1, 4.9, 6.0, 11.0):
        slope = (stored_Nmm(law, squeeze + 1e-3) - stored_Nmm(law, squeeze - 1e-3)) / 2e-3
        assert abs(slope - float(law(np.array([squeeze]))[0][0])) < 1e-6


def test_pose_is_pitch_after_roll_and_plumb_is_its_last_row():
    up, by_pitch, by_roll = plumb_of(0.3, -0.2)
    assert np.all(turn_of(0.3, -0.2)[2] == up)
    assert (turn_of(0.1, 0.0) @ [1.0, 0.0, 0.0])[2] < 0.0  # nose down
    assert (turn_of(0.0, 0.1) @ [0.0, 1.0, 0.0])[2] > 0.0  # left side up
    h = 1e-5
    assert np.all(np.abs((plumb_of(0.3 + h, -0.2)[0] - plumb_of(0.3 - h, -0.2)[0]) / (2 * h) - by_pitch) < 1e-9)
    assert np.all(np.abs((plumb_of(0.3, -0.2 + h)[0] - plumb_of(0.3, -0.2 - h)[0]) / (2 * h) - by_roll) < 1e-9)


def test_random_cars_have_every_kind_of_part(cars, size):
    """Drawn again they are the same; the first ones have all kinds; each rests clear of kinks."""
    texts = [car_text(car) for car in cars.values()]
    assert texts[1] == random_car(FIRST[1])
    joined = "\n".join(texts)
    for word in (
        "rests_as_drawn",
        "scales_kg",
        "free_length_mm",
        "load_at_drawn_N",
        "helper",
        "bump_rubber",
        "drop_link = {",
        "front_bar",
        "rear_bar",
        "blades_Nm_per_deg",
        "_third]",
        "chassis_twist_Nm_per_deg",
        "unsprung_cg_mm",
        'outer_on = "upright"',
        'outer_on = "upper_wishbone"',
        'outer_on = "lower_wishbone"',
    ):
        assert word in joined, word
    assert found_rest(cars[1])[1].pull_N.keys() == {"front_left", "front_right"}
    for number in range(size(1, 50)):
        assert why_no_rest(tomllib.loads(random_car(number))) == "", number
