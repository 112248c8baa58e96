"""Which points, moved by how much, give a curve that is wanted: bounded least squares, then the shims at hand."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING, Any

import numpy as np

from shimwise import _core

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    import xarray as xr
    from numpy.typing import ArrayLike, NDArray

    from shimwise.car import Car

__all__ = ["PointFit", "fit_points"]

_AXES = "xyz"
_NEAREST = 4  # packs tried for each coordinate, next to where it wants to be


@dataclass(frozen=True)
class PointFit:
    """Points moved so that an output follows a curve as closely as the bounds allow.

    `by_mm` maps "point.axis" to mm from where the point is, + = forward, left, up. `rms_before` and `rms_after` are the
    root mean squares of what is missing, in the output's unit. `at_bound` names the coordinates that a bound stops.
    `shims_mm` and `rms_in_shims` are the packs that come nearest, as curves, and what is then missing; empty and None
    where no shims were given. A pack carries the sign of its move.
    """

    output: str
    by_mm: dict[str, float]
    rms_before: float
    rms_after: float
    at_bound: list[str]
    car: Car
    shims_mm: dict[str, list[float]]
    rms_in_shims: float | None
    car_in_shims: Car | None

    def __repr__(self) -> str:
        moves = ", ".join(f"{key} {mm:+.3f} mm" for key, mm in self.by_mm.items())
        lines = [f"{self.output}: {moves}; missing {self.rms_before:.3g} before, {self.rms_after:.3g} after (rms)"]
        if self.at_bound:
            lines.append(f"stopped by its bounds: {', '.join(self.at_bound)}")
        if self.rms_in_shims is not None:
            packs = ", ".join(
                f"{key} {'+' if sum(pack) >= 0 else '-'}({' + '.join(f'{abs(mm):g}' for mm in pack) or '0'}) mm"
                for key, pack in self.shims_mm.items()
            )
            lines.append(f"in shims: {packs}; missing {self.rms_in_shims:.3g}")
        return "\n".join(lines)


def fit_points(
    car: Car,
    corner: str,
    bounds_mm: Mapping[str, tuple[float, float]],
    *,
    travel_mm: ArrayLike,
    output: str = "bump_steer_deg_per_mm",
    target: ArrayLike = 0.0,
    moved: str = "drawn",
    shims_mm: Sequence[float] | None = None,
) -> PointFit:
    """Move points of a corner until an output follows a curve over travel, as closely as stated bounds allow.

    Least squares over the states, evenly weighted, every state solved anew (SciPy's `least_squares`, trust region
    reflective, differences as derivatives). The default target is zero bump steer.

    Args:
        car: the car as it is set.
        corner: "front_left", ...
        bounds_mm: from "point.axis", such as "track_rod.inner.z", to the least and the most it may move, mm.
        travel_mm: wheel travels that count, shape (n,).
        output: a column of `Corner.curves`, such as "toe_deg" or "roll_centre_height_mm".
        target: what it should be at each travel, a number or shape (n,), in the output's unit.
        moved: "drawn": the design moves and rods follow; "built": rods keep their lengths.
        shims_mm: shims at hand for each coordinate. The answer then also comes in packs of them: of the packs next to
            where each coordinate wants to be, the combination whose curve is nearest.

    Raises:
        InputError: no such corner, point, output or bound.
        OutOfReach: the corner as it is does not assemble at a travel.
    """
    problem = _Problem(car, corner, list(bounds_mm), np.atleast_1d(np.asarray(travel_mm, float)), output, target, moved)
    lower, upper = _bounds(bounds_mm)
    from scipy.optimize import least_squares

    start = np.zeros(len(lower))
    before = problem.missing(start)
    found = least_squares(
        problem.missing, start, bounds=(lower, upper), x_scale="jac", xtol=1e-14, ftol=1e-14, gtol=1e-14
    )
    by_mm = dict(zip(problem.keys, found.x.tolist(), strict=True))
    stopped = [
        k for k, x, lo, hi in zip(problem.keys, found.x, lower, upper, strict=True) if min(x - lo, hi - x) < 1e-6
    ]
    packs, best = _in_shims(problem, found.x, lower, upper, shims_mm) if shims_mm is not None else ({}, None)
    return PointFit(
        output=output,
        by_mm=by_mm,
        rms_before=_rms(before),
        rms_after=_rms(found.fun),
        at_bound=stopped,
        car=problem.car(found.x),
        shims_mm=packs,
        rms_in_shims=None if best is None else _rms(problem.missing(best)),
        car_in_shims=None if best is None else problem.car(best),
    )


class _Problem:
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
        if corner not in car.corners:
            raise _core.InputError(f"corner = {corner!r}: needs one of {', '.join(car.corners)}")
        self._car, self._corner, self.keys, self._travel_mm, self._output, self._moved = (
            car,
            corner,
            keys,
            travel_mm,
            output,
            moved,
        )
        for key in keys:
            if key.rpartition(".")[2] not in _AXES:
                raise _core.InputError(f"{key!r}: needs point.axis, such as track_rod.inner.z")
        columns = list(self._curves(car))
        if output not in columns:
            raise _core.InputError(f"output = {output!r}: needs one of {', '.join(columns)}")
        self._target = np.asarray(target, float)
        if self._target.shape not in ((), travel_mm.shape) or not np.isfinite(self._target).all():
            raise _core.InputError(f"target: needs one finite number, or one for each of {travel_mm.size} travels")

    def car(self, x: NDArray[np.float64]) -> Car:
        moves: dict[str, list[float]] = {}
        for key, mm in zip(self.keys, x, strict=True):
            point, _, axis = key.rpartition(".")
            moves.setdefault(f"{self._corner}.{point}", [0.0, 0.0, 0.0])[_AXES.index(axis)] = float(mm)
        return self._car.with_points(moves, moved=self._moved)

    def missing(self, x: NDArray[np.float64]) -> NDArray[np.float64]:
        values: NDArray[np.float64] = self._curves(self.car(x))[self._output].values
        return values - self._target

    def _curves(self, car: Car) -> xr.Dataset:
        return car.corners[self._corner].curves(travel_mm=self._travel_mm)


def _bounds(bounds_mm: Mapping[str, tuple[float, float]]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    if not bounds_mm:
        raise _core.InputError("bounds_mm: needs at least one coordinate that may move")
    for key, (low, high) in bounds_mm.items():
        if not (low <= 0.0 <= high and low < high and np.isfinite(high - low)):
            raise _core.InputError(f"bounds_mm: {key} = ({low}, {high}): needs a range in mm that holds 0")
    array = np.array(list(bounds_mm.values()), float)
    return array[:, 0], array[:, 1]


def _in_shims(
    problem: _Problem,
    wanted: NDArray[np.float64],
    lower: NDArray[np.float64],
    upper: NDArray[np.float64],
    shims_mm: Sequence[float],
) -> tuple[dict[str, list[float]], NDArray[np.float64]]:
    """Of the packs next to each coordinate, on its side of 0, the combination whose curve is nearest.

    All packs come out of the one box at the same time.
    """
    box = [float(mm) for mm in shims_mm]
    if not all(mm > 0.0 and np.isfinite(mm) for mm in box):
        raise _core.InputError("shims_mm: a shim is thicker than 0 mm")
    sign = np.where(wanted < 0.0, -1.0, 1.0)
    totals = [choice.total_mm for choice in _core.stack_choices([], box, None)]
    near = []
    for x, side, low, high in zip(wanted, sign, lower, upper, strict=True):
        allowed = [total for total in totals if low <= side * total <= high]
        nearest = sorted(allowed, key=lambda total, x=x, side=side: abs(side * total - x))  # type: ignore[misc]
        near.append({*nearest[:_NEAREST], 0.0})  # nothing under it can always be had
    best_rms, best, packs = np.inf, np.zeros(len(wanted)), [[0.0]] * len(wanted)
    for combination in product(*near):
        stacks = _core.stack_together([[]] * len(combination), box, list(combination))
        moved = sign * np.array(combination)
        if stacks is not None and (rms := _rms(problem.missing(moved))) < best_rms:
            best_rms, best, packs = rms, moved, [stack.shims_mm for stack in stacks]
    signed = {key: [float(side * mm) for mm in pack] for key, side, pack in zip(problem.keys, sign, packs, strict=True)}
    return signed, best


def _rms(values: Any) -> float:
    return float(np.sqrt(np.mean(np.square(values))))
