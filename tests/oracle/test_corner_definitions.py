"""Checks on the oracle itself: what its outputs mean, sign by sign."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq

sys.path.insert(0, str(Path(__file__).parent))

from adjusters import lead_mm
from car_table import mirrored
from corner import OUTPUTS, Corner
from drawn_corner import DRAWN, WHEEL
from random_corners import (
    RACK_DIRECTION,
)
from vectors import rotation, unit


@pytest.mark.parametrize(("side", "s"), [("left", 1.0), ("right", -1.0)])
def test_sign_cases(side, s):
    corner = Corner(DRAWN if side == "left" else mirrored(DRAWN), WHEEL, RACK_DIRECTION, side)
    lower, upper, contact = (np.array([p]) for p in ([10.0, s * 600, 0], [-10.0, s * 580, 300], [0.0, s * 640, -60]))
    toed = corner.alignment(unit([[0.01, s, 0.0]]), lower, upper, contact)
    assert abs(toed["toe_deg"][0] - 0.572939) < 5e-7
    assert abs(toed["camber_deg"][0]) < 1e-15
    cambered = corner.alignment(unit([[0.0, s, -0.01]]), lower, upper, contact)
    assert abs(cambered["camber_deg"][0] - 0.572939) < 5e-7
    assert abs(cambered["inclination_deg"][0] - 0.572939) < 5e-7
    # The axis leans back by 20 mm and inboard by 20 mm in 300 mm; at the ground it is at x = 14, 604 outboard.
    lean = np.degrees(np.arctan(20 / 300))
    assert abs(toed["caster_deg"][0] - lean) < 1e-12
    assert abs(toed["kingpin_inclination_deg"][0] - lean) < 1e-12
    assert abs(toed["trail_mm"][0] - 14.0) < 1e-12
    assert abs(toed["scrub_mm"][0] - 36.0) < 1e-12
    assert toed["half_track_mm"][0] == 640.0
    assert toed["chassis_height_mm"][0] == 60.0


def test_drawn_angles_come_back():
    corner = Corner(DRAWN, WHEEL, RACK_DIRECTION, "left")
    found = corner.outputs(*corner.present())
    assert abs(found["toe_deg"][0] - 0.10) < 1e-12
    assert abs(found["camber_deg"][0] + 2.6) < 1e-12


def test_camber_and_inclination_part_as_stated():
    """0.07 seconds of arc at 0.2 deg of toe; 0.2 deg at 20 deg of lock (at the camber of a race car, 2.6 to 3 deg)."""
    corner = Corner(DRAWN, WHEEL, RACK_DIRECTION, "left")
    somewhere = (np.array([[0.0, 600, 0]]), np.array([[0.0, 580, 300]]), np.array([[0.0, 640, -60]]))
    for toe, low, high in ((0.2, 0.05 / 3600, 0.09 / 3600), (20.0, 0.15, 0.25)):
        axis = unit([[np.tan(np.radians(toe)), 1.0, -np.tan(np.radians(3.0))]])
        found = corner.alignment(axis, *somewhere)
        assert low < abs(found["camber_deg"][0] - found["inclination_deg"][0]) < high


def test_contact_is_the_lowest_point_of_the_discs_edges(drawn_by_lot):
    angle = np.linspace(0, 2 * np.pi, 200_001)
    for case, corner in drawn_by_lot[:4]:
        q, parts = corner.sweep([-20.0, 20.0])
        placed = corner.place(q, parts)
        for axis, centre, contact in zip(placed.axis, placed.at["wheel.centre"], placed.contact, strict=True):
            one = unit(np.cross(axis, [1.0, 0.0, 0.0]))
            rim = corner.radius_mm * (np.outer(np.cos(angle), one) + np.outer(np.sin(angle), np.cross(axis, one)))
            faces = [corner.offset_mm + edge * corner.half_width_mm for edge in (-1, 1)]
            heights = np.stack([(centre + face * axis + rim)[:, 2] for face in faces])
            assert abs(np.min(heights) - contact[2]) < 1e-6, case.seed
            face, around = np.unravel_index(np.argmin(heights), heights.shape)
            lowest = centre + faces[face] * axis + rim[around]
            assert np.linalg.norm(lowest - contact) < 1e-2, case.seed


def test_an_upright_disc_stands_on_its_middle():
    for camber, aside in ((0.0, 6.0), (0.019, 6.0), (0.021, 11.0), (-0.021, 1.0)):
        table = DRAWN | {"wheel": {"centre": [0.0, 640.0, 225.0], "toe_deg": 0.0, "camber_deg": camber}}
        corner = Corner(table, WHEEL, RACK_DIRECTION, "left")
        placed = corner.place(np.zeros((1, 7)), corner.parts([0.0, 0.0]))
        foot = 640.0 - WHEEL["radius_mm"] * np.sin(np.radians(camber))
        assert abs(placed.contact[0, 1] - foot - aside) < 1e-5


def test_motion_ratio_is_positive_for_a_spring_that_shortens_in_bump():
    corner = Corner(DRAWN, WHEEL, RACK_DIRECTION, "left")
    found = corner.outputs(*corner.sweep([-10.0, 0.0, 10.0]))
    assert np.all(np.diff(found["spring_length_mm"]) < 0)
    assert np.all(np.diff(found["chassis_height_mm"]) < 0)
    assert np.all(found["motion_ratio"] > 0)


def test_thicker_shim_at_the_upright_is_more_positive_camber_and_a_longer_rod_ahead_is_toe_out():
    """The shim pushes the joint inboard on the upright, so its top goes outboard; both sides alike."""
    for side, table in (("left", DRAWN), ("right", mirrored(DRAWN))):
        corner = Corner(table, WHEEL, RACK_DIRECTION, side)
        q, parts = corner.present()
        per_mm = corner.effects(q, parts, corner.now_mm, 0.0, "contact")[0]
        assert per_mm[1, OUTPUTS.index("camber_deg")] > 0.1
        # A longer rod ahead of the axis pushes the front of the wheel outboard: toe-out.
        assert per_mm[0, OUTPUTS.index("toe_deg")] < -0.3


def test_rack_to_the_left_steers_both_wheels_to_the_left():
    """With the rod ahead of the axis the left wheel goes to toe-out and the right wheel to toe-in."""
    for side, table, sign in (("left", DRAWN, -1), ("right", mirrored(DRAWN), 1)):
        corner = Corner(table, WHEEL, RACK_DIRECTION, side)
        straight = corner.outputs(*corner.present())["toe_deg"][0]
        racked = corner.outputs(*corner.present(rack_mm=5.0))["toe_deg"][0]
        assert sign * (racked - straight) > 1.0


@pytest.mark.parametrize(
    ("thread", "lead"),
    [
        ({"thread": "M8x1.25", "ends": "left_and_right"}, 2.5),
        ({"thread": "3/8-24", "ends": "left_and_right"}, 2.1166667),
        ({"thread": "1/2-20", "ends": "left_and_right"}, 2.54),
        ({"thread": "3/8-24", "ends": "one"}, 1.0583333),
        ({"thread": "M12x1.75", "second_thread": "M12x1.25", "ends": "same_hand"}, 0.5),
        ({"pitch_mm": 1.5, "ends": "one"}, 1.5),
    ],
)
def test_lead_of_a_turn(thread, lead):
    assert abs(lead_mm(thread) - lead) < 5e-8


def test_caster_from_camber_at_two_steer_angles(drawn_by_lot):
    """SAE 850219 in its exact form: any rigid upright turned about its axis, C the inclination at its own toe-in T."""
    for case, corner in drawn_by_lot:
        placed = corner.place(*corner.present())
        lower, upper = placed.at["lower_wishbone.outer"], placed.at["upper_wishbone.outer"]
        found = corner.alignment(placed.axis, lower, upper, placed.contact)
        kingpin = np.radians(found["kingpin_inclination_deg"][0])
        steering = unit(upper - lower)

        def turned(angle, steering=steering, placed=placed, corner=corner, lower=lower, upper=upper):
            axis = np.einsum("nij,nj->ni", rotation(angle * steering), placed.axis)
            return corner.alignment(axis, lower, upper, placed.contact)

        for steer_deg in (2.0, 10.0, 20.0):
            inclination = {}
            for T in (steer_deg, -steer_deg):
                at = brentq(lambda a, T=T: turned(a)["toe_deg"][0] - T, -1.0, 1.0, xtol=1e-15, rtol=1e-15)
                inclination[T] = np.radians(turned(at)["inclination_deg"][0])
            T, (plus, minus) = np.radians(steer_deg), (inclination[steer_deg], inclination[-steer_deg])
            above = np.sin(minus) - np.sin(plus) + np.tan(kingpin) * np.cos(T) * (np.cos(minus) - np.cos(plus))
            caster = np.degrees(np.arctan(above / (np.sin(T) * (np.cos(plus) + np.cos(minus)))))
            assert abs(caster - found["caster_deg"][0]) < 1e-9, (case.seed, steer_deg)
