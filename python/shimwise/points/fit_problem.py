"""What is missing of a wanted curve once points are moved."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from shimwise import _core
from shimwise.arguments import number_array

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    from shimwise.car import Car

__all__ = ["FitProblem", "rms"]

_AXES = "xyz"

_FARTHEST = 1e12  # what a file may hold


class FitProblem:
    """What is missing at every travel, for coordinates moved by x."""

    def __init__(
        self,
        car: Car,
        corner: str,
        keys: list[str],
        travel_mm: NDArray[np.float64],
        output: str,
        target: ArrayLike,
        moved: str,
    ) -> None:
        self._car, self._corner, self.keys, self._travel_mm, self._output, self._moved = (
            car,
            corner,
            keys,
            travel_mm,
            output,
            moved,
        )
        for key in keys:
            if not isinstance(key, str) or key.rpartition(".")[2] not in _AXES:
                raise _core.InputError(f"{key!r}: needs point.axis, such as track_rod.inner.z")
        zero = np.zeros(1)
        columns = list(car.corner(corner).curve_columns(zero, zero))
        if not isinstance(output, str) or output not in columns:
            raise _core.InputError(f"output = {output!r}: needs one of {', '.join(columns)}")
        self._target = number_array("target", target)
        if self._target.shape not in ((), travel_mm.shape) or not np.isfinite(self._target).all():
            raise _core.InputError(f"target: needs one finite number, or one for each of {travel_mm.size} travels")
        if not (np.abs(self._target) <= _FARTHEST).all():
            raise _core.InputError(f"target: goes beyond {_FARTHEST:g}, larger than anything here")

    def car(self, x: NDArray[np.float64]) -> Car:
        moves: dict[str, list[float]] = {}
        for key, mm in zip(self.keys, x, strict=True):
            point, _, axis = key.rpartition(".")
            moves.setdefault(f"{self._corner}.{point}", [0.0, 0.0, 0.0])[_AXES.index(axis)] = float(mm)
        return self._car.with_points(moves, moved=self._moved)

    def missing(self, x: NDArray[np.float64]) -> NDArray[np.float64]:
        try:
            corner = self.car(x).corners[self._corner]
            columns = corner.curve_columns(self._travel_mm, np.zeros_like(self._travel_mm))
        except (_core.InputError, _core.OutOfReach) as error:
            tried = ", ".join(f"{key} {mm:+.3f} mm" for key, mm in zip(self.keys, x, strict=True))
            raise type(error)(f"with {tried}: {error}") from None
        missing: NDArray[np.float64] = columns[self._output] - self._target
        return missing


def rms(values: NDArray[np.float64]) -> float:
    """Root mean square."""
    return float(np.sqrt(np.mean(np.square(values))))
