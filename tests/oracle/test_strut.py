"""Checks on the strut's force law: springs in series, stops, and every way of saying the same strut."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq

sys.path.insert(0, str(Path(__file__).parent))

from corner import Corner
from random_corners import RACK_DIRECTION, candidate_corner, seed_of
from random_struts import random_car_with_struts, with_strut
from strut import strut_of

DRAWN_MM = 300.0
TABLE = {
    "wheel": {"centre": [0.0, 640.0, 225.0], "toe_deg": 0.1, "camber_deg": -2.0},
    "upper_wishbone": {"front": [110.0, 270.0, 330.0], "rear": [-120.0, 270.0, 322.0], "outer": [-8.0, 575.0, 335.0]},
    "lower_wishbone": {"front": [140.0, 215.0, 125.0], "rear": [-150.0, 215.0, 118.0], "outer": [4.0, 610.0, 112.0]},
    "track_rod": {"inner": [70.0, 225.0, 150.0], "outer": [84.0, 600.0, 146.0]},
    "spring": {
        "outer": [0.0, 480.0, 130.0],
        "outer_on": "lower_wishbone",
        "chassis": [0.0, 300.0, 370.0],
        "rate_N_per_mm": 100.0,
        "load_at_drawn_N": 900.0,
    },
}
HELPER = {"rate_N_per_mm": 20.0, "closes_at_mm": 15.0}
RUBBER = {"gap_mm": 6.0, "force_N_at_mm": [[0.0, 0.0], [5.0, 400.0], [8.0, 1100.0]]}
BY_FREE_LENGTH = {"free_length_mm": 270.0, "seat_gap_mm": 39.0}


def strut(spring=None, turns=0.0, **parts):
    platform = {"name": "p", "changes": "spring_platform", "pitch_mm": 1.5, "ends": "one", "now_turns": turns}
    table = TABLE | parts | {"adjuster": [platform]}
    table["spring"] = {k: v for k, v in TABLE["spring"].items() if not (spring and k == "load_at_drawn_N")}
    table["spring"] |= spring or {}
    return strut_of(table, Corner(table, {"radius_mm": 255.0}, RACK_DIRECTION, "left"))


@pytest.mark.parametrize("spring", [None, BY_FREE_LENGTH])
def test_load_as_drawn_and_a_loose_spring(spring):
    lengths = np.array([DRAWN_MM, DRAWN_MM - 2.0, DRAWN_MM + 8.9, DRAWN_MM + 9.1, DRAWN_MM + 40.0])
    load, rate, rubber, rubber_rate = strut(spring)(lengths)
    assert np.all(np.abs(load - [900.0, 1100.0, 10.0, 0.0, 0.0]) < 1e-9)
    assert np.all(rate == [100.0, 100.0, 100.0, 0.0, 0.0])
    assert np.all(rubber == 0.0)
    assert np.all(rubber_rate == 0.0)


@pytest.mark.parametrize("parts", [{}, {"helper": HELPER}, {"spring": BY_FREE_LENGTH}])
def test_a_platform_toward_the_spring_makes_the_strut_longer_at_the_same_load(parts):
    lengths = DRAWN_MM + np.linspace(-20.0, 30.0, 11)
    before, after = strut(**parts)(lengths), strut(**parts, turns=2.0)(lengths + 3.0)
    assert np.all(np.abs(before[0] - after[0]) < 1e-9)
    assert np.all(strut(**parts, turns=2.0)(lengths)[0][:6] > before[0][:6] + 10.0)


def test_a_platform_does_not_move_the_rubber():
    lengths = DRAWN_MM - np.linspace(0.0, 20.0, 11)
    before, after = (strut(bump_rubber=RUBBER, turns=turns)(lengths)[2:] for turns in (0.0, 4.0))
    assert np.all(np.array(before) == np.array(after))


def test_spring_and_helper_share_one_load():
    """At every length: what the spring and the helper give way under the same load adds up; the helper stops solid."""
    law = strut(helper=HELPER)
    assert abs(law(np.array([DRAWN_MM]))[0][0] - 900.0) < 1e-9

    def squeezed(load):
        return load / 100.0 + min(load / HELPER["rate_N_per_mm"], HELPER["closes_at_mm"])

    drawn = squeezed(900.0)
    for longer in np.linspace(-10.0, 23.5, 40):
        balance = brentq(lambda load, x=drawn - longer: squeezed(load) - x, 0.0, 5000.0, xtol=1e-12)
        load, rate, _, _ = law(np.array([DRAWN_MM + longer]))
        assert abs(load[0] - balance) < 1e-8, longer
        assert abs(rate[0] - (100.0 if balance > 300.0 else 100.0 * 20.0 / 120.0)) < 1e-12, longer
    assert law(np.array([DRAWN_MM + drawn + 0.1]))[0][0] == 0.0


def test_rubber_touches_after_its_gap_and_keeps_its_last_slope():
    lengths = DRAWN_MM - np.array([0.0, 5.9, 8.5, 11.0, 12.5, 14.0, 16.0])
    _, _, load, rate = strut(bump_rubber=RUBBER)(lengths)
    last = 700.0 / 3.0
    assert np.all(np.abs(load - [0.0, 0.0, 200.0, 400.0, 750.0, 1100.0, 1100.0 + 2 * last]) < 1e-9)
    # On a row the piece beyond it counts, here by the rounding of the lengths: leave those out.
    inside = [0, 1, 2, 4, 6]
    assert np.all(np.abs(rate[inside] - [0.0, 0.0, 80.0, last, last]) < 1e-9)


def test_every_kind_of_strut_is_drawn_and_the_corner_stays():
    seeds = [seed_of("struts", index) for index in range(40)]
    cases = [with_strut(candidate_corner(np.random.default_rng(seed), "front", seed)) for seed in seeds]
    kinds = {key for case in cases for key in ("helper", "bump_rubber") if key in case.left}
    kinds |= {key for case in cases for key in ("load_at_drawn_N", "free_length_mm") if key in case.left["spring"]}
    assert kinds == {"helper", "bump_rubber", "load_at_drawn_N", "free_length_mm"}
    for case in [case for i in range(2) for case in random_car_with_struts("struts", i)[1]]:
        corner = Corner(case.table(), case.setup_wheel, RACK_DIRECTION, case.side)
        length = corner.outputs(*corner.sweep([-25.0, 0.0, 25.0]))["spring_length_mm"]
        load, *_ = strut_of(case.table(), corner)(length)
        assert np.all(load >= 0.0), case.seed
        assert load[2] > load[1] > 0.0, case.seed
