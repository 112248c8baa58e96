"""Checks on the oracle's curves: linkages that move by formula, laws of a rigid body's motion, virtual work."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq

sys.path.insert(0, str(Path(__file__).parent))

from car_table import mirrored
from corner import Corner
from curves import CURVES, curves, instant_twist
from forces import forces
from random_corners import RACK_DIRECTION
from random_struts import random_car_with_struts
from strut import strut_of
from vectors import unit

DISC = {"radius_mm": 250.0}
TRAVELS = np.array([-18.0, -6.0, 0.0, 9.0, 21.0])
SIDES = pytest.mark.parametrize("side", ["left", "right"])
SPRING = {"rate_N_per_mm": 80.0, "load_at_drawn_N": 2500.0}
RUBBER = {"gap_mm": 0.0, "force_N_at_mm": [[0.0, 0.0], [30.0, 900.0]]}


def built(table, side="left"):
    table = table if side == "left" else mirrored(table)
    corner = Corner(table, DISC, RACK_DIRECTION, side)
    return corner, strut_of(table, corner)


def as_lists(table):
    """Points as a car file has them, so that they can be mirrored."""
    return {
        part: {key: list(map(float, value)) if isinstance(value, np.ndarray) else value for key, value in ends.items()}
        for part, ends in table.items()
    }


def swing_axle(through=(0.0, 200.0, 160.0), along=(1.0, 0.0, 0.0)):
    """Both wishbones and the track rod's inner end on one axis: the upright turns about it as one body."""
    point, d = np.array(through), unit(along)
    table = {
        "wheel": {"centre": [0.0, 640.0, 225.0], "toe_deg": 0.0, "camber_deg": -2.0},
        "upper_wishbone": {"front": point + 120 * d, "rear": point - 120 * d, "outer": [-8.0, 575.0, 335.0]},
        "lower_wishbone": {"front": point + 140 * d, "rear": point - 140 * d, "outer": [4.0, 610.0, 112.0]},
        "track_rod": {"inner": point + 60 * d, "outer": [84.0, 600.0, 146.0]},
        "spring": {"outer": [0.0, 480.0, 130.0], "outer_on": "lower_wishbone", "chassis": [0.0, 330.0, 430.0]} | SPRING,
        "bump_rubber": RUBBER,
    }
    return as_lists(table)


def parallel_arms(axis=(1.0, 0.0, 0.0), arm=(0.0, 350.0, 0.0)):
    """Equal parallel arms and a rod of their length: the upright shifts along a circle and never turns."""
    d, reach = unit(axis), np.array(arm)
    outer = {"upper_wishbone": [0.0, 590.0, 340.0], "lower_wishbone": [0.0, 590.0, 110.0]}
    table = {
        part: {"front": end - reach + 120 * d, "rear": end - reach - 120 * d, "outer": end}
        for part, end in ((part, np.array(end)) for part, end in outer.items())
    }
    rod = np.array([80.0, 590.0, 150.0])
    table["track_rod"] = {"inner": rod - reach, "outer": rod}
    table["wheel"] = {"centre": [0.0, 640.0, 225.0], "toe_deg": 0.3, "camber_deg": -2.0}
    table["spring"] = {"outer": [0.0, 590.0, 150.0], "outer_on": "upright", "chassis": [0.0, 590.0, 450.0]} | SPRING
    return as_lists(table)


# Linkages that move by formula ---------------------------------------------------------------------------------------


@SIDES
@pytest.mark.parametrize("along", [(1.0, 0.0, 0.0), (1.0, 0.35, -0.12)])
def test_instant_axis_of_a_swing_axle_is_its_axis(side, along):
    corner, strut = built(swing_axle(along=along), side)
    found = curves(corner, strut, "front", TRAVELS)
    centre = corner.joints(*corner.sweep(TRAVELS))["wheel.centre"]
    mirror = np.array([1.0, corner.outboard, 1.0])
    d, point = unit(along) * mirror, np.array([0.0, 200.0, 160.0]) * mirror
    foot = point + np.outer((centre - point) @ d, d)
    for i, name in enumerate("xyz"):
        # The left wheel rises when it turns about the axis that points forward.
        assert np.all(np.abs(found[f"instant_axis_along_{name}"] - corner.outboard * d[i]) < 1e-10)
        assert np.all(np.abs(found[f"instant_axis_{name}_mm"] - foot[:, i]) < 1e-7)
    assert np.all(np.abs(found["instant_axis_pitch_mm_per_rad"]) < 1e-7)


@SIDES
def test_roll_centre_and_wheel_rate_of_a_swing_axle(side):
    """Everything about a pivot in the y-z plane: r' = (-z, y), r'' = -r by its angle, with y counted outboard."""
    corner, strut = built(swing_axle(), side)
    found = curves(corner, strut, "front", TRAVELS)
    pivot = np.array([200.0, 160.0])
    for i, travel in enumerate(TRAVELS):
        centre = np.array([640.0, 225.0]) - pivot
        lift = brentq(lambda a, c=centre, t=travel: c @ [np.sin(a), np.cos(a)] - c[1] - t, -0.3, 0.3, xtol=1e-15)
        turn = np.array([[np.cos(lift), -np.sin(lift)], [np.sin(lift), np.cos(lift)]])
        leans = np.radians(2.0) + lift  # the wheel's axis rises outboard by this angle
        contact = pivot + turn @ centre + 250.0 * np.array([np.sin(leans), -np.cos(leans)])
        y, z = contact - pivot
        assert abs(found["roll_centre_height_mm"][i] - contact[0] * (160.0 - contact[1]) / (contact[0] - 200.0)) < 1e-8

        r = turn @ (np.array([480.0, 130.0]) - pivot)
        strut_vector = pivot + r - [330.0, 430.0]
        length = np.linalg.norm(strut_vector)
        swept = np.array([-r[1], r[0]])
        rate = strut_vector @ swept / length
        bend = (swept @ swept - strut_vector @ r - rate**2) / length
        ratio, gain = -rate / y, (-bend * y - rate * z) / y**3
        shorter = np.hypot(150.0, 300.0) - length
        rubber = 30.0 if shorter > 0 else 0.0
        load = 2500.0 + 80.0 * shorter + rubber * shorter
        expected = {
            "spring_load_N": load - rubber * shorter,
            "rubber_load_N": rubber * shorter,
            "motion_ratio_gain_per_mm": gain,
            "wheel_rate_spring_N_per_mm": 80.0 * ratio**2,
            "wheel_rate_load_N_per_mm": load * gain,
        }
        if travel != 0.0:  # as drawn the rubber just touches
            expected["wheel_rate_rubber_N_per_mm"] = rubber * ratio**2
            expected["wheel_rate_N_per_mm"] = (80.0 + rubber) * ratio**2 + load * gain
        for name, value in expected.items():
            assert abs(found[name][i] - value) < 1e-8 * max(1.0, abs(value)), (travel, name)


@SIDES
def test_roll_centre_of_level_parallel_arms_starts_at_the_ground_and_falls_in_bump(side):
    corner, strut = built(parallel_arms(), side)
    found = curves(corner, strut, "front", TRAVELS)
    angle = np.arcsin(TRAVELS / 350.0)
    half_track = corner.outputs(*corner.sweep(TRAVELS))["half_track_mm"]
    assert np.all(np.abs(found["roll_centre_height_mm"] + half_track * np.tan(angle)) < 1e-8)
    assert np.all(np.abs(found["wheelbase_change_mm"]) < 1e-10)


@SIDES
@pytest.mark.parametrize(("axle", "sign"), [("front", -1.0), ("rear", 1.0)])
def test_wheelbase_of_parallel_arms_whose_axes_rise_to_the_front(side, axle, sign):
    """The wheel rises square to the axes, so rearward by the tangent of their rise: shorter in front, longer behind."""
    rise = np.radians(6.0)
    corner, strut = built(parallel_arms(axis=(np.cos(rise), 0.0, np.sin(rise))), side)
    found = curves(corner, strut, axle, TRAVELS)
    assert np.all(np.abs(found["wheelbase_change_mm"] - sign * TRAVELS * np.tan(rise)) < 1e-9)
    drawn = corner.place(*corner.present()).contact[0, 0]
    assert np.all(np.abs(found["contact_x_mm"] - drawn + TRAVELS * np.tan(rise)) < 1e-9)


def test_wheelbase_is_counted_from_the_rack_at_its_centre():
    table = swing_axle(along=(1.0, 0.35, -0.12))
    table["track_rod"]["inner_moves"] = "rack"
    corner, strut = built(table)
    centred, racked = (curves(corner, strut, "front", [0.0], rack) for rack in (0.0, 9.0))
    assert centred["wheelbase_change_mm"][0] == 0.0
    moved = racked["contact_x_mm"][0] - centred["contact_x_mm"][0]
    assert abs(moved) > 0.5
    assert racked["wheelbase_change_mm"][0] == moved


# Laws ----------------------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def drawn_by_lot():
    found = []
    for index in range(3):
        for case in random_car_with_struts("test_curves", index)[1]:
            corner = Corner(case.table(), case.setup_wheel, RACK_DIRECTION, case.side)
            found.append((case, corner, strut_of(case.table(), corner)))
    return found


def test_every_point_of_the_upright_goes_round_the_instant_axis(drawn_by_lot):
    """Speed along the axis is the same for all, across it the distance from it times the spin; right-handed."""
    weights = np.array([1.0, -8.0, 8.0, -1.0]) / 12 / 0.1
    for case, corner, strut in drawn_by_lot:
        for rack in (0.0, 8.0):
            found = {name: value[0] for name, value in curves(corner, strut, case.axle, [10.0], rack).items()}
            along = np.array([found[f"instant_axis_along_{i}"] for i in "xyz"])
            point = np.array([found[f"instant_axis_{i}_mm"] for i in "xyz"])
            here, around = (corner.joints(*corner.sweep(t, rack)) for t in ([10.0], [9.8, 9.9, 10.1, 10.2]))
            spin = np.linalg.norm(instant_twist(corner, *corner.sweep([10.0], rack))[0][0])
            assert abs(np.linalg.norm(along) - 1.0) < 1e-12, case.seed
            assert abs((point - here["wheel.centre"][0]) @ along) < 1e-7, case.seed
            for name in ("upper_wishbone.outer", "lower_wishbone.outer", "track_rod.outer", "wheel.centre"):
                speed = weights @ around[name]
                pitch = found["instant_axis_pitch_mm_per_rad"]
                expected = spin * (np.cross(along, here[name][0] - point) + pitch * along)
                assert np.all(np.abs(speed - expected) < 1e-9), (case.seed, rack, name)


def test_wheel_rate_is_the_sum_of_its_parts(drawn_by_lot):
    for case, corner, strut in drawn_by_lot:
        found = curves(corner, strut, case.axle, TRAVELS)
        parts = sum(found[f"wheel_rate_{part}_N_per_mm"] for part in ("spring", "rubber", "load"))
        assert np.all(np.abs(found["wheel_rate_N_per_mm"] - parts) < 1e-8 * np.max(np.abs(parts))), case.seed


@SIDES
def test_roll_centre_by_virtual_work(side):
    """The load that leaves the strut alone goes through the roll centre: a planar linkage, forces from the assembly."""
    table = swing_axle()
    table["upper_wishbone"] |= {"front": [120.0, 260.0, 330.0], "rear": [-120.0, 260.0, 330.0]}
    table["upper_wishbone"]["outer"] = [0.0, 575.0, 345.0]
    table["track_rod"] = {"inner": [84.0, 200.0, 160.0], "outer": [84.0, 610.0, 112.0]}  # beside the lower arm
    corner, strut = built(table, side)
    found = curves(corner, strut, "front", TRAVELS)["roll_centre_height_mm"]
    q, parts = corner.sweep(TRAVELS)
    placed = corner.place(q, parts)
    assert np.max(np.abs(found)) > 20.0
    for i, height in enumerate(found):
        at, contact = {name: point[i] for name, point in placed.at.items()}, placed.contact[i]
        side_on, down_on = (forces(corner, at, contact, load).axial["spring"] for load in ((0, 1, 0), (0, 0, 1)))
        lifted = -side_on / down_on
        assert abs(height + contact[1] * lifted) < 1e-7, TRAVELS[i]


def test_right_side_is_the_mirror_image(drawn_by_lot):
    flipped = {"instant_axis_along_x", "instant_axis_along_z", "instant_axis_y_mm", "instant_axis_pitch_mm_per_rad"}
    for case, _corner, _strut in drawn_by_lot[:2]:
        found = []
        for table, side, rack in ((case.left, "left", 5.0), (mirrored(case.left), "right", -5.0)):
            corner = Corner(table, case.setup_wheel, RACK_DIRECTION, side)
            found.append(curves(corner, strut_of(table, corner), case.axle, [-12.0, 12.0], rack))
        left, right = found
        for name in CURVES:
            sign = -1.0 if name in flipped else 1.0
            scale = max(1.0, np.max(np.abs(left[name])))
            assert np.all(np.abs(left[name] - sign * right[name]) < 1e-9 * scale), (case.seed, name)


def test_no_curve_depends_on_the_step(drawn_by_lot):
    for case, corner, strut in drawn_by_lot:
        one, other = (curves(corner, strut, case.axle, [-20.0, 5.0, 20.0], step_mm=step) for step in (0.35, 0.25))
        for name in CURVES:
            scale = max(1.0, np.max(np.abs(one[name])))
            assert np.all(np.abs(one[name] - other[name]) < 1e-9 * scale), (case.seed, name)
