"""Which points, moved by how much, give a curve that is wanted: bounded least squares, then the shims at hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from numbers import Real
from typing import TYPE_CHECKING

import numpy as np

from shimwise import _core
from shimwise.arguments import demand_kind, demand_mapping, number_array
from shimwise.points.fit_problem import FitProblem, rms
from shimwise.points.fit_shims import TRIED, in_shims

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import ArrayLike, NDArray

    from shimwise.car import Car

__all__ = ["PointFit", "fit_points"]


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
            proof = "all combinations tried" if self.all_tried else f"best of {TRIED} tried"
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
    demand_kind("car", car, "CarAsSet")
    demand_mapping("bounds_mm", bounds_mm, '{"track_rod.inner.z": (-8.0, 8.0)}')
    lower, upper = _bounds(bounds_mm)
    travels = np.atleast_1d(number_array("travel_mm", travel_mm))
    if travels.ndim != 1 or travels.size == 0 or not np.isfinite(travels).all():
        raise _core.InputError("travel_mm: needs one finite travel or more, in one dimension")
    problem = FitProblem(car, corner, list(bounds_mm), travels, output, target, moved)
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
        packs, best, all_tried = in_shims(problem, found, (lower, upper), shims_mm)
    return PointFit(
        output=output,
        by_mm=by_mm,
        rms_before=rms(before),
        rms_after=rms(found.fun),
        at_bound=stopped,
        car=problem.car(found.x),
        shims_mm=packs,
        rms_in_shims=None if best is None else rms(problem.missing(best)),
        car_in_shims=None if best is None else problem.car(best),
        all_tried=all_tried,
    )


def _bounds(bounds_mm: Mapping[str, tuple[float, float]]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    if not bounds_mm:
        raise _core.InputError("bounds_mm: needs at least one coordinate that may move")
    for key, pair in bounds_mm.items():
        is_pair = (
            isinstance(pair, Sequence | np.ndarray) and len(pair) == 2 and all(isinstance(mm, Real) for mm in pair)
        )
        low, high = number_array(key, pair) if is_pair else (0.0, 0.0)
        if not (low <= 0.0 <= high and low < high and np.isfinite(high - low)):
            raise _core.InputError(f"bounds_mm: {key} = {pair}: needs a range in mm that holds 0, such as (-8, 8)")
    array = np.array(list(bounds_mm.values()), float)
    return array[:, 0], array[:, 1]
