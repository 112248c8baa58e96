"""Parts and points of a corner in many states, one row a state."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from adjusters import Table
from vectors import Array


@dataclass
class Parts:
    """Points where the parts now are (moving ones as drawn, in their body's frame) and lengths: one row a state."""

    point: dict[str, Array]
    length: dict[str, Array]

    def repeated(self, count: int) -> Parts:
        return Parts(
            {k: np.repeat(v, count, axis=0) for k, v in self.point.items()},
            {k: np.repeat(v, count, axis=0) for k, v in self.length.items()},
        )


@dataclass
class Placed:
    """Points of solved or trial states in the chassis frame, and how each moves with (spin, velocity, rocker)."""

    at: dict[str, Array]
    jacobian: dict[str, Array]
    axis: Array  # wheel axis, outboard, unit
    contact: Array
    contact_jacobian: Array


def drawn_points(table: Table) -> dict[str, Array]:
    """The points that a corner's table gives, by name."""
    wanted = {
        "upper_wishbone": ("front", "rear", "outer"),
        "lower_wishbone": ("front", "rear", "outer"),
        "track_rod": ("inner", "outer"),
        "pushrod": ("outer", "inner"),
        "rocker": ("axis_point", "spring", "drop_link"),
        "spring": ("outer", "chassis"),
        "drop_link": ("outer",),
        "wheel": ("centre",),
    }
    return {
        f"{part}.{end}": np.asarray(table[part][end], dtype=float)
        for part, ends in wanted.items()
        for end in ends
        if end in table.get(part, {})
    }
