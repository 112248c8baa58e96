"""The points of a table, each with the line that gives it."""

from __future__ import annotations

from dataclasses import dataclass, field

from shimwise import _core

__all__ = ["PointRow", "PointsTable"]


@dataclass(frozen=True)
class PointRow:
    """One row: the place of a point, or a direction."""

    line: int
    at: tuple[float, float, float]


@dataclass
class PointsTable:
    """The rows by corner and point."""

    file: str
    rows: dict[str, dict[str, PointRow]] = field(default_factory=dict)
    read: _core.Input | None = None  # the file as it was read
