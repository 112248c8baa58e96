"""Forces in a corner for a load at the contact. pandas is imported only where it is used."""

from __future__ import annotations

from collections.abc import Sequence
from numbers import Real
from typing import TYPE_CHECKING, Any

import numpy as np

from shimwise import _core
from shimwise.arguments import finite, number_array

if TYPE_CHECKING:
    import pandas as pd
    from numpy.typing import NDArray

__all__ = ["Forces", "forces_of"]


class Forces:
    """Forces of one corner, N, chassis frame (x forward, y left, z up); each on the body that its name says.

    Rigid parts. The load acts on the upright as on one body: what brakes sits at the wheel. Of `Corner.forces` nothing
    else acts; of `Rest.forces` the unsprung weight, drop link and third spring do too.
    """

    def __init__(self, core: _core.Forces) -> None:
        self.core = core

    @property
    def axial_N(self) -> pd.Series[float]:
        """Pull (+) or push (-) along each member, by its name; "spring" is all that sits in its line.

        The legs of a wishbone that carries pushrod or spring are missing: they bend.
        """
        return _series(self.as_dict()["axial_N"], "axial_N")

    @property
    def on_upright_N(self) -> pd.DataFrame:
        """Force on the upright at each of its joints: joints x (x, y, z)."""
        return _frame(self.as_dict()["on_upright_N"])

    @property
    def on_chassis_N(self) -> pd.DataFrame:
        """Force on the chassis at each joint: joints x (x, y, z); at pickups the part across the pickup axis."""
        return _frame(self.as_dict()["on_chassis_N"])

    @property
    def along_pickups_N(self) -> pd.Series[float]:
        """Force on the chassis along each wishbone's pickup axis, both pickups together, + = forward."""
        return _series(self.as_dict()["along_pickups_N"], "along_pickups_N")

    @property
    def rocker_moment_Nmm(self) -> pd.Series[float] | None:
        """Moment (x, y, z) on the chassis at rocker.axis_point, across the rocker's axis, N mm; None without rocker."""
        moment = self.core.rocker_moment_Nmm
        return None if moment is None else _series(dict(zip("xyz", moment, strict=True)), "rocker_moment_Nmm")

    def as_dict(self) -> dict[str, Any]:
        """The same as plain dictionaries."""
        core = self.core
        axial = zip(_core.member_names(), core.axial_N, strict=True)
        return {
            "load_N": list(core.load_N),
            "contact_mm": list(core.contact_mm),
            "axial_N": {name: force for name, force in axial if force is not None},
            "on_upright_N": {joint.point: list(joint.force_N) for joint in core.on_upright},
            "on_chassis_N": {joint.point: list(joint.force_N) for joint in core.on_chassis},
            "along_pickups_N": {
                "upper_wishbone": core.along_upper_pickups_N,
                "lower_wishbone": core.along_lower_pickups_N,
            },
            "rocker_moment_Nmm": None if core.rocker_moment_Nmm is None else list(core.rocker_moment_Nmm),
            "out_of_balance_N": core.out_of_balance_N,
        }

    def __repr__(self) -> str:
        x, y, z = self.core.load_N
        return f"<forces for {x:g} N forward, {y:g} N left, {z:g} N up at the contact>"


_MOST_N = 1e9


def forces_of(
    corner: _core.Corner, load_N: Sequence[float] | NDArray[np.float64], travel_mm: float, rack_mm: float
) -> Forces:
    """Check the numbers, then solve."""
    listed = isinstance(load_N, Sequence) or getattr(load_N, "ndim", 0) == 1
    if not listed or len(load_N) != 3 or not all(isinstance(force, Real) for force in load_N):
        raise _core.InputError(f"load_N = {load_N!r}: needs three numbers: forward, left, up")
    load = number_array("load_N", load_N)
    for name, value in (("load_N", load), ("travel_mm", travel_mm), ("rack_mm", rack_mm)):
        finite(name, value)
    if not np.abs(load).max() <= _MOST_N:
        raise _core.InputError(f"load_N = {load_N!r}: goes beyond {_MOST_N:g} N")
    return Forces(_core.forces(corner, load.tolist(), travel_mm, rack_mm))


def _series(values: dict[str, float], name: str) -> pd.Series[float]:
    import pandas as pd

    return pd.Series(values, name=name, dtype=float)


def _frame(rows: dict[str, list[float]]) -> pd.DataFrame:
    import pandas as pd

    return pd.DataFrame.from_dict(rows, orient="index", columns=["x", "y", "z"], dtype=float)
