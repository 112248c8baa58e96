"""Ackermann's rule."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from shimwise import _core
from shimwise.curves import tables

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

__all__ = ["ideal_outer_deg"]


def ideal_outer_deg(inner_deg: ArrayLike, track_over_wheelbase: ArrayLike) -> Any:
    """Return the outer wheel's steer for which all wheels roll about one point.

    cot(outer) - cot(inner) = track/wheelbase.

    Args:
        inner_deg: steer of the inner wheel, deg, between -180 and 180; any shape.
        track_over_wheelbase: 0 or more; broadcast with `inner_deg`.

    Returns:
        Steer of the outer wheel, deg, with the sign of the inner's; a number for numbers, an array for arrays.

    Raises:
        InputError: a number out of its range.
    """
    tables.finite("inner_deg", inner_deg)
    tables.finite("track_over_wheelbase", track_over_wheelbase)
    if not (np.abs(inner_deg) < 180.0).all():
        raise _core.InputError("inner_deg: needs angles between -180 and 180")
    if not (np.asarray(track_over_wheelbase) >= 0.0).all():
        raise _core.InputError("track_over_wheelbase: must not be negative")
    return _core.ideal_outer_deg(inner_deg, track_over_wheelbase)
