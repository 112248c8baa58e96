"""What an error in a measured point does to the effects that are predicted."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from shimwise import _core
from shimwise.corner.states import finite

if TYPE_CHECKING:
    import pandas as pd

    from shimwise.car import Car

__all__ = ["point_errors"]


def point_errors(
    car: Car, corner: str, *, error_mm: float = 1.0, hold: str = "contact", bump_mm: float = 20.0
) -> pd.DataFrame:
    """Return by how much predicted effects on toe and camber go wrong when a point was measured wrong.

    The point moves as drawn (the file's point is wrong, and the lengths follow from it), along one axis at a time; half
    the difference between a positive and a negative error is given.

    Args:
        car: the car as it is set.
        corner: "front_left", ...
        error_mm: of each coordinate, mm.
        hold: what the effects hold.
        bump_mm: wheel travel of the columns "bump", from the drawn height.

    Returns:
        DataFrame with the index (point, axis). Columns (what, output): "NAME, 1 turn" or "NAME, 1 mm" of adjusters,
        and "bump"; outputs toe_deg and camber_deg.

    Raises:
        InputError: no such corner, or a hold that is none.
        OutOfReach: the corner does not assemble with such an error.
    """
    import pandas as pd

    finite("error_mm", error_mm)
    finite("bump_mm", bump_mm)
    rows = {}
    for point in car.corner(corner).point_names:
        for axis, direction in zip("xyz", np.eye(3), strict=True):
            more, less = (
                _predicted(
                    car.with_points({f"{corner}.{point}": (sign * by).tolist()}, moved="drawn"), corner, hold, bump_mm
                )
                for by in (direction * error_mm,)
                for sign in (1.0, -1.0)
            )
            rows[point, axis] = {key: (more[key] - less[key]) / 2.0 for key in more}
    frame = pd.DataFrame(rows).T
    frame.index.names = ["point", "axis"]
    return frame


def _predicted(car: Car, corner: str, hold: str, bump_mm: float) -> dict[tuple[str, str], float]:
    """Effects on toe and camber of one turn or one mm of each adjuster, and of bump."""
    found: dict[tuple[str, str], float] = {}
    adjusters = car.corners[corner].adjusters
    outputs = {column: _core.column_names().index(column) for column in ("toe_deg", "camber_deg")}
    for row in car.corners[corner].effect_table(hold).rows:
        stack = isinstance(adjusters[row.variable].setting, _core.Stack)
        if row.per == (_core.Per.mm if stack else _core.Per.turn):
            for column, output in outputs.items():
                found[f"{adjusters[row.variable].name}, 1 {row.per.name}", column] = row.change[output]
    core = car.core.corner(_core.CornerId.__members__[corner])
    block = _core.alignment(core, np.array([0.0, bump_mm]), np.zeros(2))
    for column, output in outputs.items():
        found["bump", column] = float(block[output, 1] - block[output, 0])
    return found
