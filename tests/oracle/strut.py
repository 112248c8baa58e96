"""Force law of a strut: spring with helper and platform, bump rubber. Load is compression, pieces are straight."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from adjusters import Table, amount_mm
from corner import Corner
from vectors import Array


@dataclass
class Law:
    """Load over squeeze: straight between rows, the last slope kept beyond, nothing before the first row."""

    millimetres: Array
    newtons: Array
    last_rate: float

    def __call__(self, squeeze_mm: Array) -> tuple[Array, Array]:
        """Load and its slope."""
        mm, N = self.millimetres, self.newtons
        slopes = np.concatenate([[0.0], np.diff(N) / np.diff(mm), [self.last_rate]])
        piece = np.searchsorted(mm, squeeze_mm, side="right")
        row = np.maximum(piece - 1, 0)
        load = np.where(piece > 0, N[row] + slopes[piece] * (squeeze_mm - mm[row]), 0.0)
        return load, slopes[piece]


@dataclass
class Strut:
    """Loads at an eye-to-eye length; `loose_mm` is the length at which the spring just stops to carry."""

    spring: Law
    loose_mm: float
    rubber: Law
    touch_mm: float

    def __call__(self, length_mm: Array) -> tuple[Array, Array, Array, Array]:
        """Spring's load and rate, rubber's load and rate (N, N/mm), compression +."""
        return *self.spring(self.loose_mm - length_mm), *self.rubber(self.touch_mm - length_mm)


def strut_of(table: Table, corner: Corner) -> Strut:
    """The strut of a corner's table at its present platform; + platform is longer at the same load."""
    spring = table["spring"]
    rate = spring["rate_N_per_mm"]
    one, other = (corner.drawn[name] for name in corner.spring_ends)
    drawn_mm = float(np.linalg.norm(one - other))
    closes_N, closes_mm = 0.0, 0.0
    if "helper" in table:
        closes_mm = table["helper"]["closes_at_mm"]
        closes_N = table["helper"]["rate_N_per_mm"] * closes_mm

    def squeezed(load_N: float) -> float:
        """Of spring and helper in series under one load."""
        return load_N / rate + (closes_mm * min(1.0, load_N / closes_N) if closes_N > 0 else 0.0)

    if closes_N > 0:
        law = Law(np.array([0.0, squeezed(closes_N)]), np.array([0.0, closes_N]), rate)
    else:
        law = Law(np.array([0.0]), np.array([0.0]), rate)
    if "load_at_drawn_N" in spring:
        loose = drawn_mm + squeezed(spring["load_at_drawn_N"])
    else:
        loose = spring["free_length_mm"] + spring.get("seat_gap_mm", 0.0)
    loose += sum(amount_mm(a) for a in table.get("adjuster", []) if a.get("changes") == "spring_platform")

    if "bump_rubber" not in table:
        return Strut(law, loose, Law(np.array([0.0]), np.array([0.0]), 0.0), drawn_mm)
    rows = np.array(table["bump_rubber"]["force_N_at_mm"], dtype=float)
    (mm, N), (last_mm, last_N) = rows[-2], rows[-1]
    rubber = Law(rows[:, 0], rows[:, 1], (last_N - N) / (last_mm - mm))
    return Strut(law, loose, rubber, drawn_mm - table["bump_rubber"]["gap_mm"])
