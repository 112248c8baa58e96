"""What an error in a measured point does to the effects that are predicted."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from shimwise import _core

if TYPE_CHECKING:
    import pandas as pd

    from shimwise.car import Car

__all__ = ["point_errors"]

_AXES = "xyz"


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

    if corner not in car.corners:
        raise _core.InputError(f"corner = {corner!r}: needs one of {', '.join(car.corners)}")
    rows = {}
    for point in car.corners[corner].joints():
        for i, axis in enumerate(_AXES):
            by = np.zeros(3)
            by[i] = error_mm
            more, less = (
                _predicted(car.with_points({f"{corner}.{point}": sign * by}, moved="drawn"), corner, hold, bump_mm)
                for sign in (1.0, -1.0)
            )
            rows[str(point), axis] = (more - less) / 2.0
    frame = pd.DataFrame(rows).T
    frame.index.names = ["point", "axis"]
    return frame


def _predicted(car: Car, corner: str, hold: str, bump_mm: float) -> pd.Series[float]:
    """Effects on toe and camber of one turn or one mm of each adjuster, and of bump."""
    import pandas as pd

    effects = car.corners[corner].effects(hold)[["toe_deg", "camber_deg"]]
    found: dict[tuple[str, str], float] = {}
    for adjuster in car.corners[corner].adjusters:
        per = "turn" if isinstance(adjuster.setting, _core.Thread) else "mm"
        for output, value in effects.loc[adjuster.name, per].items():
            found[f"{adjuster.name}, 1 {per}", str(output)] = float(value)
    states = car.corners[corner].alignment(travel_mm=[0.0, bump_mm])
    for output in ("toe_deg", "camber_deg"):
        found["bump", output] = float(states[output][1] - states[output][0])
    return pd.Series(found)
