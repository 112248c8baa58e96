"""What an error in a measured point does to the effects that are predicted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shimwise import _core
from shimwise.arguments import demand_kind, finite
from shimwise.corner.effects import held

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

    demand_kind("car", car, "CarAsSet")
    finite("error_mm", error_mm)
    finite("bump_mm", bump_mm)
    adjusters = car.corner(corner).adjusters
    errors = _core.point_errors(car.core, _core.CornerId.__members__[corner], held(hold), error_mm, bump_mm)
    whats = [f"{a.name}, 1 {'mm' if isinstance(a.setting, _core.Stack) else 'turn'}" for a in adjusters] + ["bump"]
    return pd.DataFrame(
        [[deg for one in (*e.of_adjusters, e.of_bump) for deg in (one.toe_deg, one.camber_deg)] for e in errors],
        index=pd.MultiIndex.from_tuples([(e.point, "xyz"[e.axis]) for e in errors], names=["point", "axis"]),
        columns=pd.MultiIndex.from_product([whats, ["toe_deg", "camber_deg"]]),
    )
