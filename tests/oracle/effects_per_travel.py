"""How the effect table itself moves with travel: differences, along the travel, of tables of states solved anew."""

from __future__ import annotations

from corner import Corner
from differences import STEP_MM, neighbours, per_mm
from places import Parts
from vectors import Array


def effects_per_travel(
    corner: Corner, q: Array, parts: Parts, rack_mm: float, hold: str, step_mm: float = STEP_MM
) -> Array:
    """d(table)/d(mm of wheel travel) at present settings: (states, adjusters, outputs); a state holds its own value."""
    near, many = neighbours(corner, q, parts, step_mm)
    return per_mm(corner.effects(near, many, corner.now_mm, rack_mm, hold), step_mm)
