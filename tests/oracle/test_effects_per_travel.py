"""Checks on how the table moves with travel: order of differentiation, what is held, the table at the travel's ends."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))

from corner import HOLDS, OUTPUTS, Corner
from effects_per_travel import effects_per_travel
from random_corners import RACK_DIRECTION, random_corner

COLUMN = {name: i for i, name in enumerate(OUTPUTS)}
STATES = [(-15.0, 0.0), (12.0, 7.0)]


@pytest.fixture(scope="module")
def drawn_by_lot():
    cases = [random_corner("test_effects_per_travel", i, ("front", "rear")[i % 2]) for i in range(4)]
    return [(case, Corner(case.table(), case.setup_wheel, RACK_DIRECTION, case.side)) for case in cases]


def test_a_wheel_held_rate_is_the_rates_own_row(drawn_by_lot):
    """d/d(travel) of d(toe)/d(mm) is d/d(mm) of d(toe)/d(travel), which is an output; likewise camber."""
    for case, corner in drawn_by_lot:
        for travel, rack in STATES:
            q, parts = corner.sweep([travel], rack)
            moving = effects_per_travel(corner, q, parts, rack, "wheel")[0]
            table = corner.effects(q, parts, corner.now_mm, rack, "wheel")[0]
            for angle, rate in (("toe_deg", "bump_steer_deg_per_mm"), ("camber_deg", "camber_gain_deg_per_mm")):
                scale = np.max(np.abs(table[:, COLUMN[rate]]))
                error = np.max(np.abs(moving[:, COLUMN[angle]] - table[:, COLUMN[rate]]))
                assert scale > 1e-4, case.seed
                assert error < 1e-7 * scale + 1e-10, (case.seed, travel, angle)


def test_what_is_held_has_no_row_at_any_travel_and_a_platform_none_at_all(drawn_by_lot):
    for case, corner in drawn_by_lot:
        q, parts = corner.sweep([-15.0, 12.0])
        for hold, output in (("contact", "chassis_height_mm"), ("spring", "spring_length_mm")):
            moving = effects_per_travel(corner, q, parts, 0.0, hold)
            assert np.all(np.abs(moving[:, :, COLUMN[output]]) < 1e-9), (case.seed, hold)
            assert np.max(np.abs(moving)) > 1e-4, (case.seed, hold)
            assert np.all(np.abs(moving[:, corner.adjuster_names.index("platform")]) < 1e-9), (case.seed, hold)


def test_it_integrates_to_the_change_of_the_table(drawn_by_lot):
    nodes, weights = np.polynomial.legendre.leggauss(6)
    half = 8.0
    for case, corner in drawn_by_lot:
        for rack in (0.0, 6.0):
            q, parts = corner.sweep(half * nodes, rack)
            ends, end_parts = corner.sweep([-half, half], rack)
            for hold in HOLDS:
                inside = half * np.einsum("s,sao->ao", weights, effects_per_travel(corner, q, parts, rack, hold))
                table = corner.effects(ends, end_parts, corner.now_mm, rack, hold)
                change = table[1] - table[0]
                scale = np.maximum(np.max(np.abs(table), axis=(0, 1)), 1e-3)
                assert np.all(np.abs(inside - change) < 1e-6 * scale), (case.seed, rack, hold)
                assert np.max(np.abs(change) / scale) > 1e-2, (case.seed, rack, hold)
