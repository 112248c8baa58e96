"""Checks on the oracle itself: laws that its solver does not use."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))

from car_table import mirrored
from corner import HOLDS, OUTPUTS, Corner
from drawn_corner import DRAWN, WHEEL
from random_corners import (
    RACK_DIRECTION,
)
from vectors import rotation, unit


def test_links_keep_their_lengths_over_the_travel(drawn_by_lot):
    for case, corner in drawn_by_lot:
        q, parts = corner.sweep(np.linspace(-30, 30, 7))
        at = corner.joints(q, parts)
        for link, (a, b) in corner.links.items():
            lengths = np.linalg.norm(at[a] - at[b], axis=1)
            assert np.all(np.abs(lengths - parts.length[link]) < 1e-11), (case.seed, link)
        height = at["wheel.centre"][:, 2] - corner.drawn["wheel.centre"][2]
        assert np.all(np.abs(height - np.linspace(-30, 30, 7)) < 1e-11), case.seed


def test_bodies_stay_rigid(drawn_by_lot):
    """Distances between points of one body stay as drawn (shims in their own body aside, so settings at drawn)."""
    for case, corner in drawn_by_lot:
        q, parts = corner.sweep([-25.0, 25.0], amounts_mm=np.zeros(len(corner.adjusters)))
        at = corner.joints(q, parts)
        bodies = {
            "upright": ["upper_wishbone.outer", "lower_wishbone.outer", "track_rod.outer", "wheel.centre"],
            "rocker": ["rocker.axis_point", "pushrod.inner", "rocker.spring"] if corner.has_rocker else [],
        }
        for arm in ("upper_wishbone", "lower_wishbone"):
            bodies[arm] = [f"{arm}.{end}" for end in ("front", "rear", "outer")]
        carrier = corner.pushrod_on if corner.has_rocker else corner.spring_on
        bodies[carrier].append("pushrod.outer" if corner.has_rocker else "spring.outer")
        for points in bodies.values():
            for a in points:
                for b in points:
                    drawn = np.linalg.norm(corner.drawn[a] - corner.drawn[b])
                    assert np.all(np.abs(np.linalg.norm(at[a] - at[b], axis=1) - drawn) < 1e-10), (case.seed, a, b)


def test_a_carried_point_stays_in_the_outer_joints_frame_when_a_leg_changes():
    table = DRAWN | {
        "adjuster": [{"name": "leg", "changes": "lower_wishbone.rear_leg", "pitch_mm": 1.5, "ends": "one"}]
    }
    corner = Corner(table, WHEEL, RACK_DIRECTION, "left")
    q, parts = corner.present([4.0])

    def coordinates(points):
        front, rear, outer, carried = points
        x = unit(rear - front)
        y = unit(outer - front - x * (x @ (outer - front)))
        return np.array([x, y, np.cross(x, y)]) @ (carried - outer)

    names = ["lower_wishbone.front", "lower_wishbone.rear", "lower_wishbone.outer", "pushrod.outer"]
    at = corner.joints(q, parts)
    moved = coordinates([at[name][0] for name in names])
    assert np.all(np.abs(moved - coordinates([corner.drawn[name] for name in names])) < 1e-11)
    assert np.linalg.norm(at["lower_wishbone.outer"][0] - corner.drawn["lower_wishbone.outer"]) > 3.0


def test_right_side_is_the_mirror_image(drawn_by_lot):
    for case, _ in drawn_by_lot:
        rack = 7.0
        left = Corner(case.left, case.setup_wheel, RACK_DIRECTION, "left")
        right = Corner(mirrored(case.left), case.setup_wheel, RACK_DIRECTION, "right")
        one = left.outputs(*left.sweep([-20.0, 20.0], rack))
        other = right.outputs(*right.sweep([-20.0, 20.0], -rack))
        for name in OUTPUTS:
            assert np.all(np.abs(one[name] - other[name]) < 1e-9), (case.seed, name)


def test_rigid_motion_of_everything_changes_no_output(drawn_by_lot):
    Q = rotation(np.array([[0.4, -0.7, 1.1]]))[0]
    shift = np.array([300.0, -120.0, 80.0])

    def moved(key, value):
        if isinstance(value, dict):
            return {name: moved(name, item) for name, item in value.items()}
        if isinstance(value, list) and value and isinstance(value[0], dict):
            return [moved(key, item) for item in value]
        if isinstance(value, list) and len(value) == 3 and key not in ("fitted_mm", "box_mm"):
            image = Q @ np.array(value)
            return list(image if key in ("axis_direction", "direction") else image + shift)
        return value

    for case, corner in drawn_by_lot:
        table = moved("", case.table())
        table["wheel"]["axis"] = list(Q @ corner.axis_drawn)
        turned = Corner(table, case.setup_wheel, Q @ RACK_DIRECTION, case.side, frame=Q.T)
        # Offsets of the origin show in the two outputs that are places.
        at_origin = {"half_track_mm": corner.outboard * (Q.T @ shift)[1], "chassis_height_mm": -(Q.T @ shift)[2]}
        one = corner.outputs(*corner.sweep([-20.0, 20.0], 5.0))
        other = turned.outputs(*turned.sweep([-20.0, 20.0], 5.0))
        for name in OUTPUTS:
            difference = other[name] - at_origin.get(name, 0.0) - one[name]
            assert np.all(np.abs(difference) < 1e-9), (case.seed, name)


def test_there_and_back(drawn_by_lot):
    for case, corner in drawn_by_lot:
        q, parts = corner.present()
        for hold in HOLDS:
            value = float(corner.held(corner.place(q, parts), hold)[0][0])
            away = corner.follow(q, parts, hold, value + 6.0)
            assert np.max(np.abs(away - q)) > 1.0, (case.seed, hold)
            assert np.max(np.abs(corner.follow(away, parts, hold, value) - q)) < 1e-10, (case.seed, hold)


def test_rows_are_the_derivatives_of_the_equations(drawn_by_lot):
    step = 1e-4
    for case, corner in drawn_by_lot:
        q, parts = corner.sweep([-20.0, 20.0])
        for hold in HOLDS:
            rows = corner._by_unknowns(q, corner.equations(q, parts, hold, 0.0)[1])
            for i in range(corner.size):
                d = step * np.eye(corner.size)[i]
                over = corner.equations(q + d, parts, hold, 0.0)[0] - corner.equations(q - d, parts, hold, 0.0)[0]
                assert np.all(np.abs(over / (2 * step) - rows[:, :, i]) < 2e-4), (case.seed, hold, i)


def test_rates_along_the_null_motion_are_the_differences_of_a_sweep(drawn_by_lot):
    weights = np.array([1.0, -8.0, 8.0, -1.0]) / 12 / 0.05
    for case, corner in drawn_by_lot:
        found = corner.outputs(*corner.sweep([9.9, 9.95, 10.05, 10.1]))
        here = {name: value[0] for name, value in corner.outputs(*corner.sweep([10.0])).items()}
        contact = -weights @ found["chassis_height_mm"]
        expected = {
            "bump_steer_deg_per_mm": weights @ found["toe_deg"],
            "camber_gain_deg_per_mm": weights @ found["camber_deg"],
            "motion_ratio": -(weights @ found["spring_length_mm"]) / contact,
        }
        for name, value in expected.items():
            assert abs(here[name] - value) < 1e-9, (case.seed, name)


def test_sensitivities_agree_with_the_linear_solve(drawn_by_lot):
    """J dq = -(rate of the equations with the setting): the differences' independent witness, first-order outputs."""
    step = 1e-3
    for case, corner in drawn_by_lot:
        q, parts = corner.present()
        for hold in HOLDS:
            value = corner.held(corner.place(q, parts), hold)[0]
            rows = corner._by_unknowns(q, corner.equations(q, parts, hold, value)[1])
            table = corner.effects(q, parts, corner.now_mm, 0.0, hold)[0]
            scale = np.maximum(np.max(np.abs(table), axis=0), 1e-3)
            for j in range(len(corner.adjusters)):
                more, less = (corner.parts(corner.now_mm + s * step * np.eye(len(corner.now_mm))[j]) for s in (1, -1))
                rate = corner.equations(q, more, hold, value)[0] - corner.equations(q, less, hold, value)[0]
                dq = -np.linalg.solve(rows, rate[..., None])[..., 0]
                over, under = corner.outputs(q + dq / 2, more), corner.outputs(q - dq / 2, less)
                for i, name in enumerate(OUTPUTS):
                    linear = (over[name] - under[name])[0] / (2 * step)
                    assert abs(linear - table[j, i]) < 1e-6 * scale[i], (case.seed, hold, j, name)


def test_sensitivities_do_not_depend_on_the_step(drawn_by_lot):
    for case, corner in drawn_by_lot:
        q, parts = corner.sweep([-15.0, 15.0])
        for hold in HOLDS:
            fine = corner.effects(q, parts, corner.now_mm, 0.0, hold)
            coarse = corner.effects(q, parts, corner.now_mm, 0.0, hold, step_mm=0.1)
            scale = np.maximum(np.max(np.abs(fine), axis=1, keepdims=True), 1e-3)
            assert np.all(np.abs(fine - coarse) < 1e-6 * scale), (case.seed, hold)


def test_what_is_held_stays_and_a_platform_moves_nothing(drawn_by_lot):
    column = {name: i for i, name in enumerate(OUTPUTS)}
    for case, corner in drawn_by_lot:
        q, parts = corner.present()
        contact = corner.effects(q, parts, corner.now_mm, 0.0, "contact")[0]
        spring = corner.effects(q, parts, corner.now_mm, 0.0, "spring")[0]
        assert np.all(np.abs(contact[:, column["chassis_height_mm"]]) < 1e-10), case.seed
        assert np.all(np.abs(spring[:, column["spring_length_mm"]]) < 1e-10), case.seed
        assert np.all(np.abs(contact[corner.adjuster_names.index("platform")]) < 1e-10), case.seed
        assert np.any(np.abs(contact[corner.adjuster_names.index("track rod")]) > 1e-2), case.seed
