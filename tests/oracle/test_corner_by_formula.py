"""Checks on the oracle itself: linkages solved by formula."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq

sys.path.insert(0, str(Path(__file__).parent))

from corner import Corner, NotAssembled
from drawn_corner import WHEEL
from random_corners import (
    RACK_DIRECTION,
)
from vectors import rotation


def four_bar(a, b, c, d, input_rad):
    """Output angles (two assemblies) of input a, coupler b, output c, ground d: P cos + Q sin = K, pivots on a line."""
    P, Q = 2 * c * (d - a * np.cos(input_rad)), -2 * c * a * np.sin(input_rad)
    K = b * b - a * a - c * c - d * d + 2 * a * d * np.cos(input_rad)
    middle, half = np.arctan2(Q, P), np.arccos(K / np.hypot(P, Q))
    return middle + half, middle - half


# Planar four-bar, a published answer to a question on a planar double wishbone: circle of 8 about (5, 7), of 13 about
# (0, 0), distance 7; {a, b1, b2} in degrees, sorted. SEEN.
FOUR_BAR = """0 0 277.628 5 8.14157 279.009 10 16.3816 281.034 15 24.8218 283.798 20 33.5778 287.445 25 42.7897 292.171
30 52.6316 298.233 35 63.3125 305.928 40 75.0545 315.54 45 88.0132 327.201 50 102.111 340.683 55 116.839 355.264
60 9.92425 131.266 65 23.8027 144.4 70 36.4951 155.625 75 47.9915 164.805 80 58.473 172.123 85 68.1628 177.873
90 77.2632 182.348"""


def planar_corner(pivot, a, b, angle_rad, other_rad, c, motion=None):
    """A double wishbone in the y-z plane: lower arm a about the origin, upper arm c about `pivot`, upright b."""
    lower, upper = (np.array([0.0, r * np.cos(t), r * np.sin(t)]) for r, t in ((a, angle_rad), (c, other_rad)))
    ground = np.array([0.0, *pivot])
    upper = upper + ground
    assert abs(np.linalg.norm(upper - lower) - b) < 1e-12
    x = np.array([100.0, 0.0, 0.0])
    Q, shift = (np.eye(3), np.zeros(3)) if motion is None else motion
    put = {
        "upper_wishbone": {"front": ground + x, "rear": ground - x, "outer": upper},
        "lower_wishbone": {"front": x, "rear": -x, "outer": lower},
        # A rod parallel to the lower arm and of its length keeps the upright from steering.
        "track_rod": {"inner": x / 2, "outer": lower + x / 2},
        "spring": {"outer": lower / 2, "chassis": lower / 2 + [30.0, 40.0, 90.0]},
        "wheel": {"centre": lower + [0.0, 20.0, 20.0]},
    }
    table = {part: {end: list(Q @ p + shift) for end, p in points.items()} for part, points in put.items()}
    table["spring"]["outer_on"] = "lower_wishbone"
    table["wheel"]["axis"] = list(Q @ [0.0, 1.0, 0.0])
    return Corner(table, WHEEL, RACK_DIRECTION, "left", frame=Q.T)


def planar_angles(corner, q, parts, motion=None):
    """Angles of the lower and the upper arm in their plane."""
    Q, shift = (np.eye(3), np.zeros(3)) if motion is None else motion
    at = {name: (p - shift) @ Q for name, p in corner.joints(q, parts).items()}
    arms = [at[f"{arm}.outer"] - at[f"{arm}.front"] for arm in ("lower_wishbone", "upper_wishbone")]
    return [np.arctan2(arm[:, 2], arm[:, 1]) for arm in arms]


def apart_deg(one_rad, other_rad):
    return np.abs(np.degrees(np.angle(np.exp(1j * (np.asarray(one_rad) - np.asarray(other_rad))))))


def test_four_bar_list_by_formula_and_as_a_corner():
    rows = np.array(FOUR_BAR.split(), dtype=float).reshape(-1, 3)
    assert len(rows) == 19
    line, ground = np.arctan2(7.0, 5.0), np.hypot(5.0, 7.0)
    for a, *printed in rows:
        # At a = 0 the list prints b1 = 0: the formula's own root may come out as 360 less rounding.
        found = np.array(four_bar(13.0, 7.0, 8.0, ground, np.radians(a) - line)) + line
        for b in printed:
            assert np.min(apart_deg(found, np.radians(b))) < 6e-4, (a, b)
    # Full precision at 30 and 90.
    for a, b in ((30, 52.63157459472272), (30, 298.23270770207057), (90, 77.26324430543906), (90, 182.34789787909133)):
        found = np.array(four_bar(13.0, 7.0, 8.0, ground, np.radians(a) - line)) + line
        assert np.min(apart_deg(found, np.radians(b))) < 1e-11, (a, b)
    scale = 20.0
    for root in (0, 1):
        drawn = four_bar(13.0, 7.0, 8.0, ground, np.radians(30.0) - line)[root] + line
        corner = planar_corner([5 * scale, 7 * scale], 13 * scale, 7 * scale, np.radians(30.0), drawn, 8 * scale)
        q, parts = corner.sweep(np.linspace(-25, 25, 6))
        lower, upper = planar_angles(corner, q, parts)
        assert np.ptp(np.degrees(lower)) > 5.0
        expected = np.array([four_bar(13.0, 7.0, 8.0, ground, t - line)[root] + line for t in lower])
        assert np.all(apart_deg(upper, expected) < 1e-10)


def test_norton_4_1_and_freudenstein_as_a_corner_and_after_a_rigid_motion():
    """Norton, Design of Machinery, Example 4-1 (lengths SEEN, answers RECALL, recomputed)."""
    a, b, c, d = 40.0, 120.0, 80.0, 100.0
    roots = np.degrees(four_bar(a, b, c, d, np.radians(40.0)))
    for printed in (57.3248800704, -98.0049640780):
        assert np.min(apart_deg(np.radians(roots), np.radians(printed))) < 1e-10
    K = (d / a, d / c, (a * a - b * b + c * c + d * d) / (2 * a * c))
    moved = (rotation(np.array([[0.5, 1.2, -0.8]]))[0], np.array([250.0, -90.0, 400.0]))
    for motion in (None, moved):
        for root in (0, 1):
            drawn = four_bar(a, b, c, d, np.radians(40.0))[root]
            corner = planar_corner([d, 0.0], a, b, np.radians(40.0), drawn, c, motion)
            q, parts = corner.sweep([-6.0, -3.0, 0.0, 3.0, 6.0])
            lower, upper = planar_angles(corner, q, parts, motion)
            left = K[0] * np.cos(upper) - K[1] * np.cos(lower) + K[2]
            assert np.all(np.abs(left - np.cos(lower - upper)) < 1e-12)
            expected = np.array([four_bar(a, b, c, d, t)[root] for t in lower])
            assert np.all(apart_deg(upper, expected) < 1e-10)


# Spatial pushrod and rocker: the standard case, mm (DERIVED; formula McCarthy & Soh, Geometric Design of Linkages, A).
RSSR = {"A0": [0.0, 330.0, 20.0], "O2": [0.0, 200.0, 300.0], "axis": [0.8, 0.0, 0.6], "B0": [-30.0, 260.0, 340.0]}
RSSR_TOGGLE_DEG = 8.905758210692502


def rocker_by_formula(arm_rad):
    """A cos psi + B sin psi = C for the arm about x through the origin: two roots in degrees, None past the toggle."""
    A0, O2, axis, B0 = (np.array(RSSR[name]) for name in ("A0", "O2", "axis", "B0"))
    end = rotation(np.array([[arm_rad, 0.0, 0.0]]))[0] @ A0 - O2
    arm = B0 - O2
    along = axis * (axis @ arm)
    A, B = 2 * end @ (arm - along), 2 * end @ np.cross(axis, arm)
    C = end @ end + arm @ arm - np.sum((A0 - B0) ** 2) - 2 * end @ along
    if A * A + B * B < C * C:
        return None
    middle, half = np.arctan2(B, A), np.arccos(C / np.hypot(A, B))
    return np.degrees(np.angle(np.exp(1j * np.array([middle + half, middle - half]))))


def rocker_corner():
    table = {
        "wheel": {"centre": [0.0, 640.0, 110.0], "toe_deg": 0.0, "camber_deg": -2.0},
        "upper_wishbone": {"front": [120.0, 60.0, 190.0], "rear": [-120.0, 60.0, 190.0], "outer": [-5.0, 575.0, 220.0]},
        "lower_wishbone": {"front": [150.0, 0.0, 0.0], "rear": [-150.0, 0.0, 0.0], "outer": [0.0, 600.0, 0.0]},
        "track_rod": {"inner": [80.0, 20.0, 60.0], "outer": [85.0, 595.0, 65.0]},
        "pushrod": {"outer": RSSR["A0"], "inner": RSSR["B0"], "outer_on": "lower_wishbone"},
        "rocker": {"axis_point": RSSR["O2"], "axis_direction": RSSR["axis"], "spring": [0.0, 210.0, 360.0]},
        "spring": {"chassis": [0.0, 40.0, 380.0]},
    }
    return Corner(table, WHEEL, RACK_DIRECTION, "left")


def test_rocker_list_by_formula_and_as_a_corner():
    printed = {-10: (-51.77740628, -156.95995621), -5: (-25.62563549,), 0: (0.0, 160.646943), 5: (30.3610966,)}
    for arm, roots in printed.items():
        found = rocker_by_formula(np.radians(arm))
        for root in roots:
            assert np.min(np.abs(found - root)) < 6e-7, (arm, root)
    assert rocker_by_formula(np.radians(RSSR_TOGGLE_DEG - 1e-9)) is not None
    assert rocker_by_formula(np.radians(RSSR_TOGGLE_DEG + 1e-9)) is None

    corner = rocker_corner()
    zero, parts = corner.present()

    def at_travel(travel):
        q = corner.follow(zero, parts, "wheel", 110.0 + travel)
        outer = corner.joints(q, parts)["lower_wishbone.outer"][0]
        return np.arctan2(outer[2], outer[1]), np.degrees(q[0, 6])

    for arm, roots in printed.items():
        travel = brentq(lambda t, arm=arm: at_travel(t)[0] - np.radians(arm), -115.0, 70.0, xtol=1e-9)
        lifted, rocker = at_travel(travel)
        assert abs(rocker - roots[0]) < 1e-6, arm
        assert np.min(np.abs(rocker_by_formula(lifted) - rocker)) < 1e-9, arm
    slope = (at_travel(0.5)[1] - at_travel(-0.5)[1]) / np.degrees(at_travel(0.5)[0] - at_travel(-0.5)[0])
    assert abs(slope - 5.366098294884654) < 1e-3


def test_past_the_rockers_toggle_is_reported():
    corner = rocker_corner()
    zero, parts = corner.present()
    with pytest.raises(NotAssembled):
        corner.follow(zero, parts, "wheel", 110.0 + 600 * np.sin(np.radians(10.0)))
