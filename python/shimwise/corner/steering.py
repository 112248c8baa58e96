"""The front wheels over rack travel, beside Ackermann's rule."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from shimwise import _core
from shimwise.arguments import finite
from shimwise.as_set import CarAsSet
from shimwise.corner.states import over_states

if TYPE_CHECKING:
    import xarray as xr
    from numpy.typing import ArrayLike, NDArray

    from shimwise.corner.states import Numbers

__all__ = ["CarSteering", "ideal_outer_deg"]


class CarSteering(CarAsSet):
    """How the rack steers the front wheels."""

    def steering(self, *, rack_mm: Numbers, travel_mm: Numbers = 0.0) -> xr.Dataset:
        """Return the steer of the front wheels over rack travel, and where Ackermann's rule would have the outer one.

        Args:
            rack_mm, travel_mm: as in `Corner.alignment`; both front wheels are at the same travel.

        Returns:
            Dataset with `left_deg`, `right_deg` (counted from rack centred, + = to the left), the sizes `inner_deg` and
            `outer_deg`, `ideal_outer_deg` (cot(outer) - cot(inner) = track/wheelbase, between the contacts at rack and
            travel 0) and `ackermann_error_deg` (outer less ideal outer). Chassis frame.

        Raises:
            OutOfReach: a state does not assemble.
        """
        return over_states(
            {"rack_mm": rack_mm, "travel_mm": travel_mm},
            _core.steer_list(),
            lambda rack, travel: _core.steering(self.core, rack, travel),
        )

    def steering_columns(self, rack_mm: NDArray[np.float64], travel_mm: NDArray[np.float64]) -> dict[str, Any]:
        """The same as plain arrays by name, without xarray, for as many rack travels as travels."""
        block = _core.steering(self.core, rack_mm, travel_mm)
        return {info.column: row for info, row in zip(_core.steer_list(), block, strict=True)}


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
    finite("inner_deg", inner_deg)
    finite("track_over_wheelbase", track_over_wheelbase)
    if not (np.abs(inner_deg) < 180.0).all():
        raise _core.InputError("inner_deg: needs angles between -180 and 180")
    if not (np.asarray(track_over_wheelbase) >= 0.0).all():
        raise _core.InputError("track_over_wheelbase: must not be negative")
    return _core.ideal_outer_deg(inner_deg, track_over_wheelbase)
