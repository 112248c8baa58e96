"""Checks on the oracle's random corners: the same each time, and every kind among them."""

from __future__ import annotations

import sys
import tomllib
from collections import Counter
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))

from car_table import corner_tables
from drawn_corner import build
from random_corners import (
    candidate_corner,
    random_car,
    random_corner,
    seed_of,
)


def test_random_corners_are_reproducible_and_at_most_half_are_redrawn(drawn_by_lot):
    again = random_corner("test_oracle", 1, "rear")
    assert again.left == drawn_by_lot[1][0].left
    redrawn = sum(case.redrawn for case, _ in drawn_by_lot)
    print("redrawn:", redrawn, "of", redrawn + len(drawn_by_lot))
    assert redrawn <= len(drawn_by_lot)


def test_car_text_reads_back_to_the_very_corners():
    for index in range(3):
        text, cases = random_car("test_oracle", index)
        car = tomllib.loads(text)
        assert car["format"] == "shimwise-car/1"
        tables = corner_tables(car)
        for case in cases:
            assert tables[case.name] == case.table(), (case.seed, case.name)
            assert car["setup_wheel"][case.axle] == case.setup_wheel
            corner = build(case)
            drawn = corner.place(np.zeros((1, corner.size)), corner.parts(0 * corner.now_mm))
            if case.side == "left":
                assert abs(drawn.contact[0, 2] + case.ride_height_mm) < 1e-3, case.seed


def test_every_kind_is_drawn():
    """Carriers of the pushrod, springs without rocker, both sides, shims of one and several points, moved pickups."""
    kinds: Counter[str] = Counter()
    for index in range(60):
        seed = seed_of("kinds", index)
        case = candidate_corner(np.random.default_rng(seed), ("front", "rear")[index % 2], seed)
        rod = case.left.get("pushrod")
        kinds[f"pushrod on {rod['outer_on']}" if rod else "no rocker"] += 1
        kinds[case.side] += 1
        for adjuster in case.left["adjuster"]:
            kinds[adjuster["ends"] if "ends" in adjuster else f"{adjuster['on']} {len(adjuster['moves'])}"] += 1
    print(dict(kinds))
    wanted = {"no rocker", "left", "right", "one", "left_and_right", "same_hand", "upright 1", "upright 2", "chassis 2"}
    wanted |= {f"pushrod on {body}" for body in ("lower_wishbone", "upper_wishbone", "upright")}
    assert wanted <= set(kinds), wanted - set(kinds)
