"""Checks on the oracle's steering: published ideal angles, a wheel that steers by formula, mirror image, signs."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))

from steering import STEERING, corners_of, ideal_outer_deg, steering, track_over_wheelbase

RACKS = np.array([-18.0, -7.0, 0.0, 7.0, 18.0])


def corner(x_mm, rod_outer_x, moves):
    """An upright steering axis at y = 600 and a wheel upright on it, so that the rack turns it in the x-y plane."""

    def at(x, y, z):
        return [x + x_mm, y, z]

    return {
        "wheel": {"centre": at(0.0, 640.0, 225.0), "toe_deg": 0.0, "camber_deg": 0.0},
        "upper_wishbone": {"front": at(110, 270, 330), "rear": at(-120, 270, 330), "outer": at(0, 600, 335)},
        "lower_wishbone": {"front": at(140, 215, 120), "rear": at(-150, 215, 120), "outer": at(0, 600, 112)},
        "track_rod": {"inner": at(60, 230, 150), "outer": at(rod_outer_x, 590, 150), "inner_moves": moves},
        "spring": {"outer": at(0, 480, 130), "outer_on": "lower_wishbone", "chassis": at(0, 330, 430)},
    }


CAR = {
    "setup_wheel": {"front": {"radius_mm": 255.0}, "rear": {"radius_mm": 265.0}},
    "rack": {"direction": [0.0, 1.0, 0.0]},
    "front_left": corner(0.0, 95.0, "rack"),
    "rear_left": corner(-2400.0, 95.0, "fixed"),
}


def steered_deg(rack_mm):
    """Left wheel: the rod's end turns about the axis until the rod fits again, A cos + B sin = C."""
    outer, inner = np.array([95.0, -10.0]), np.array([60.0, -370.0])
    length = np.linalg.norm(outer - inner)
    inner = inner + [0.0, rack_mm]
    A, B = 2 * outer @ inner, 2 * (outer[0] * inner[1] - outer[1] * inner[0])
    C = outer @ outer + inner @ inner - length**2
    roots = np.arctan2(B, A) + np.array([1, -1]) * np.arccos(C / np.hypot(A, B))
    return np.degrees(min(np.angle(np.exp(1j * roots)), key=abs))


def test_steer_by_formula_and_mirror_image():
    found = steering(CAR, RACKS)
    left = np.array([steered_deg(rack) for rack in RACKS])
    right = -np.array([steered_deg(-rack) for rack in RACKS])
    assert np.all(np.abs(found["left_deg"] - left) < 1e-10)
    assert np.all(np.abs(found["right_deg"] - right) < 1e-10)
    # The rack to the left steers to the left: its sign is the sign of both.
    assert np.all(np.sign(found["left_deg"])[[0, 1, 3, 4]] == np.sign(RACKS)[[0, 1, 3, 4]])
    assert np.all(np.abs(found["inner_deg"] - np.abs(np.where(RACKS > 0, left, right))) < 1e-10)
    assert np.all(np.abs(found["outer_deg"] - np.abs(np.where(RACKS > 0, right, left))) < 1e-10)


def test_straight_ahead_is_exactly_nothing():
    found = steering(CAR, [0.0])
    assert all(found[name][0] == 0.0 for name in STEERING)


@pytest.mark.parametrize(("inner", "outer"), [(10.0, 9.204256078556), (20.0, 17.115238008653), (30.0, 24.133261210456)])
def test_ideal_at_half_a_wheelbase_of_track(inner, outer):
    """cot(outer) - cot(inner) = track/wheelbase = 0.5. DERIVED."""
    assert abs(ideal_outer_deg(np.array([inner]), 0.5)[0] - outer) < 1e-11
    cot = 1 / np.tan(np.radians([outer, inner]))
    assert abs(cot[0] - cot[1] - 0.5) < 1e-10


def test_the_ideal_turns_both_wheels_about_one_point_on_the_rear_axle():
    found = steering(CAR, RACKS)
    corners = corners_of(CAR)
    assert abs(track_over_wheelbase(corners) - 2 * 640.0 / 2400.0) < 1e-12
    turning = RACKS != 0.0
    inner, ideal = (2400.0 / np.tan(np.radians(found[name][turning])) for name in ("inner_deg", "ideal_outer_deg"))
    assert np.all(np.abs(ideal - inner - 1280.0) < 1e-6)
    assert np.all(found["ackermann_error_deg"] == found["outer_deg"] - found["ideal_outer_deg"])
    assert np.max(np.abs(found["ackermann_error_deg"])) > 0.1


def test_track_and_wheelbase_come_from_all_four_contacts():
    """Shifting one corner's x by 30 mm changes the wheelbase by 15; the front wheels alone give the track."""
    moved = CAR | {"front_right": {"wheel": {"centre": [30.0, -640.0, 225.0]}}}
    assert abs(track_over_wheelbase(corners_of(moved)) - 1280.0 / 2415.0) < 1e-12
    wider = CAR | {"rear_left": CAR["rear_left"] | {"wheel": CAR["rear_left"]["wheel"] | {"centre": [-2400, 700, 225]}}}
    assert abs(track_over_wheelbase(corners_of(wider)) - 1280.0 / 2400.0) < 1e-12
