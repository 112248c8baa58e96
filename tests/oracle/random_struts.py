"""The random corners with struts of every kind: by load or by free length, with and without helper and bump rubber."""

from __future__ import annotations

import numpy as np

from random_corners import RandomCorner, Table, car_text, random_corner


def with_strut(case: RandomCorner) -> RandomCorner:
    """The case with another strut, drawn from the case's own seed; all data invented, points and travel unchanged."""
    rng = np.random.default_rng([*case.seed, 1])
    spring: Table = case.left["spring"]
    spring["rate_N_per_mm"] = round(float(rng.uniform(60, 150)), 1)
    load = round(float(rng.uniform(200, 1600)), 1)
    with_helper = bool(rng.random() < 0.4)
    if with_helper or rng.random() < 0.5:
        spring["load_at_drawn_N"] = load
    else:
        eyes = (case.left["rocker"]["spring"] if "rocker" in case.left else spring["outer"], spring["chassis"])
        spring.pop("load_at_drawn_N")
        spring["seat_gap_mm"] = round(float(rng.uniform(15, 45)), 1)
        loose = float(np.linalg.norm(np.subtract(*eyes))) + load / spring["rate_N_per_mm"]
        spring["free_length_mm"] = round(loose - spring["seat_gap_mm"], 2)
    if with_helper:
        case.left["helper"] = {
            "rate_N_per_mm": round(float(rng.uniform(4, 20)), 1),
            "closes_at_mm": round(float(rng.uniform(8, 25)), 1),
        }
    if rng.random() < 0.7:
        mm = np.cumsum(rng.uniform(2, 5, 3))
        N = np.cumsum(rng.uniform(50, 600, 3))
        rows = [[0.0, 0.0], *([round(float(a), 2), round(float(b), 1)] for a, b in zip(mm, N, strict=True))]
        case.left["bump_rubber"] = {"gap_mm": round(float(rng.uniform(0.5, 18)), 2), "force_N_at_mm": rows}
    return case


def random_car_with_struts(test: str, index: int) -> tuple[str, list[RandomCorner]]:
    """As `random_car`, the same corners, with struts."""
    corners = [with_strut(random_corner(test, 2 * index + i, axle)) for i, axle in enumerate(("front", "rear"))]
    return car_text(*corners), corners
