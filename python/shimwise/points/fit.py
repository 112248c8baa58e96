"""Which points, moved by how much, give a curve that is wanted: bounded least squares, then the shims at hand."""

from __future__ import annotations

from dataclasses import dataclass
from numbers import Real
from typing import TYPE_CHECKING, Any

import numpy as np

from shimwise import _core

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import ArrayLike, NDArray

    from shimwise.car import Car

__all__ = ["PointFit", "fit_points"]

_AXES = "xyz"
_TRIED = 500  # combinations of packs that are tried on the full model
_COMBINATIONS = 1_000_000


@dataclass(frozen=True)
class PointFit:
    """Points moved so that an output follows a curve as closely as the bounds allow.

    `by_mm` maps "point.axis" to mm from where the point is, + = forward, left, up. `rms_before` and `rms_after` are the
    root mean squares of what is missing, in the output's unit. `at_bound` names the coordinates that a bound stops.
    `shims_mm` and `rms_in_shims` are the packs that come nearest, as curves, and what is then missing; empty and None
    where no shims were given. A pack carries the sign of its move. `all_tried`: every combination of packs was tried;
    otherwise those that the linear model expects most of.
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
    all_tried: bool

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
            proof = "all combinations tried" if self.all_tried else f"best of {_TRIED} tried"
            lines.append(f"in shims: {packs}; missing {self.rms_in_shims:.3g} ({proof})")
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
        shims_mm: shims at hand. The answer then also comes in packs of them, out of this one box together: the
            combination whose curve is nearest, which is not each coordinate's nearest pack.

    Raises:
        InputError: no such corner, point, output or bound.
        OutOfReach: with points that the bounds allow, the corner does not assemble at a travel; says with which.
    """
    lower, upper = _bounds(bounds_mm)
    travels = np.atleast_1d(np.asarray(travel_mm, float))
    if travels.ndim != 1 or travels.size == 0 or not np.isfinite(travels).all():
        raise _core.InputError("travel_mm: needs one finite travel or more, in one dimension")
    problem = _Problem(car, corner, list(bounds_mm), travels, output, target, moved)
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
    packs: dict[str, list[float]] = {}
    best: NDArray[np.float64] | None = None
    all_tried = True
    if shims_mm is not None:
        packs, best, all_tried = _in_shims(problem, found, (lower, upper), shims_mm)
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
        all_tried=all_tried,
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
        zero = np.zeros(1)
        columns = list(car.corner(corner).curve_columns(zero, zero))
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
        try:
            corner = self.car(x).corners[self._corner]
            columns = corner.curve_columns(self._travel_mm, np.zeros_like(self._travel_mm))
        except (_core.InputError, _core.OutOfReach) as error:
            tried = ", ".join(f"{key} {mm:+.3f} mm" for key, mm in zip(self.keys, x, strict=True))
            raise type(error)(f"with {tried}: {error}") from None
        missing: NDArray[np.float64] = columns[self._output] - self._target
        return missing


def _bounds(bounds_mm: Mapping[str, tuple[float, float]]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    if not bounds_mm:
        raise _core.InputError("bounds_mm: needs at least one coordinate that may move")
    for key, pair in bounds_mm.items():
        low, high = pair if len(pair) == 2 and all(isinstance(mm, Real) for mm in pair) else (0.0, 0.0)
        if not (low <= 0.0 <= high and low < high and np.isfinite(high - low)):
            raise _core.InputError(f"bounds_mm: {key} = {pair}: needs a range in mm that holds 0, such as (-8, 8)")
    array = np.array(list(bounds_mm.values()), float)
    return array[:, 0], array[:, 1]


def _in_shims(
    problem: _Problem,
    relaxed: Any,
    bounds: tuple[NDArray[np.float64], NDArray[np.float64]],
    shims_mm: Sequence[float],
) -> tuple[dict[str, list[float]], NDArray[np.float64], bool]:
    """The packs, out of one box at the same time, whose curve is nearest.

    All combinations on either side of each point, in the order of what the linear model at the relaxed answer expects
    of them; the first `_TRIED` that the box makes are tried on the full one.
    """
    box = [float(mm) for mm in shims_mm]
    if not all(mm > 0.0 and np.isfinite(mm) for mm in box):
        raise _core.InputError("shims_mm: a shim is thicker than 0 mm")
    totals = np.array([choice.total_mm for choice in _core.stack_choices([], box, None)])
    signed = np.unique(np.concatenate([-totals, totals]))
    each = [signed[(low <= signed) & (signed <= high)] for low, high in zip(*bounds, strict=True)]
    if np.prod([float(len(one)) for one in each]) > _COMBINATIONS:
        raise _core.InputError(f"shims_mm: make more than {_COMBINATIONS} combinations; name fewer shims or points")
    combinations = np.stack(np.meshgrid(*each, indexing="ij"), axis=-1).reshape(-1, len(each))
    expected = np.linalg.norm(relaxed.fun + (combinations - relaxed.x) @ relaxed.jac.T, axis=1)
    packs: list[list[float]] = [[]] * len(each)
    best_rms, best, tried, all_tried = np.inf, np.zeros(len(each)), 0, True
    for moved in combinations[np.argsort(expected, kind="stable")]:
        stacks = _core.stack_together([[]] * len(each), box, np.abs(moved).tolist())
        if stacks is None:
            continue
        if tried == _TRIED:
            all_tried = False
            break
        tried += 1
        if (rms := _rms(problem.missing(moved))) < best_rms:
            best_rms, best, packs = rms, moved, [stack.shims_mm for stack in stacks]
    sides = np.where(best < 0.0, -1.0, 1.0)
    signed_packs = {k: [float(s * mm) for mm in p] for k, s, p in zip(problem.keys, sides, packs, strict=True)}
    return signed_packs, best, all_tried


def _rms(values: Any) -> float:
    return float(np.sqrt(np.mean(np.square(values))))
