"""The smallest largest miss of a linear plan, for SciPy's linear solvers, which are loaded when they are asked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["Range", "RealMiss", "SmallestMiss", "Windows", "smallest_miss", "smallest_real_miss"]

_ALIKE = 1e-9  # of a step: by which steps of one list may differ
_BINDS = 1e-7  # a multiplier that is none
_MOST_CHOICES = 300  # one of more values may lie between them first: the solver's preparation knows no time limit


@dataclass(frozen=True)
class Range:
    """What an unknown may be: one of `values`, ascending; not `whole`: anything between the first and the last."""

    values: NDArray[np.float64]
    whole: bool = True

    @property
    def has_gaps(self) -> bool:
        """Whether the values are not evenly spaced."""
        steps = np.diff(self.values)
        return bool(steps.size > 0 and np.ptp(steps) > _ALIKE * steps[0])


@dataclass(frozen=True)
class Windows:
    """low <= start + effect x <= high, as far as can be; least <= sums x <= most, always.

    Attributes:
        start, low, high: of each row, shape (m,), in tolerances; an end may be infinite.
        effect: of each unknown, shape (m, n), in tolerances.
        ranges: what each unknown may be.
        sums: shape (k, n), with `least` and `most`, shape (k,).
    """

    start: NDArray[np.float64]
    effect: NDArray[np.float64]
    low: NDArray[np.float64]
    high: NDArray[np.float64]
    ranges: tuple[Range, ...]
    sums: NDArray[np.float64]
    least: NDArray[np.float64]
    most: NDArray[np.float64]

    def misses(self, x: NDArray[np.float64]) -> NDArray[np.float64]:
        """By how much each row is outside, 0 inside."""
        then = self.start + self.effect @ x
        return np.maximum(0.0, np.maximum(self.low - then, then - self.high))


@dataclass(frozen=True)
class RealMiss:
    """The smallest largest miss by real amounts, and what keeps it from being smaller.

    Attributes:
        x: where it is, shape (n,); None: the sums keep no x at all.
        miss: the largest miss.
        rows, ends, sums: places of the rows, of the unknowns at an end and of the sums at an end that bind: those
            whose multiplier is not 0. The miss is as large with these alone.
    """

    x: NDArray[np.float64] | None
    miss: float
    rows: list[int]
    ends: list[int]
    sums: list[int]


@dataclass(frozen=True)
class SmallestMiss:
    """The smallest largest miss by allowed values.

    Attributes:
        x: where it is, shape (n,); None: nothing was found.
        miss: the largest miss there, worked out anew from `x`.
        bound: no x has a smaller one; below `miss` where the time ended first.
    """

    x: NDArray[np.float64] | None
    miss: float
    bound: float


def smallest_real_miss(windows: Windows) -> RealMiss:
    """Return min over x of the largest miss, with anything between the first and the last value of each unknown."""
    from scipy.optimize import linprog

    parts = [
        _rows(windows.effect, -1.0, -np.inf, windows.high - windows.start),
        _rows(-windows.effect, -1.0, -np.inf, windows.start - windows.low),
        _rows(windows.sums, 0.0, -np.inf, windows.most),
        _rows(-windows.sums, 0.0, -np.inf, -windows.least),
    ]
    A, _, high = (np.concatenate(part) for part in zip(*parts, strict=True))
    matters = np.isfinite(high)
    bounds = [*((one.values[0], one.values[-1]) for one in windows.ranges), (0.0, None)]
    cost = np.r_[np.zeros(len(windows.ranges)), 1.0]
    found = linprog(cost, A_ub=A[matters], b_ub=high[matters], bounds=bounds, method="highs")
    if found.status != 0:
        return RealMiss(None, np.inf, [], [], [])
    multipliers = np.zeros(len(high))
    multipliers[matters] = np.abs(found.ineqlin.marginals)
    of_rows, of_sums = np.split(multipliers, [2 * len(windows.start)])
    of_ends = np.abs(found.lower.marginals[:-1]) + np.abs(found.upper.marginals[:-1])
    return RealMiss(found.x[:-1], float(found.x[-1]), _bind(of_rows, 2), _bind(of_ends, 1), _bind(of_sums, 2))


def _bind(multipliers: NDArray[np.float64], ends: int) -> list[int]:
    return np.flatnonzero(multipliers.reshape(ends, -1).max(axis=0) > _BINDS).tolist()


def smallest_miss(windows: Windows, seconds: float) -> SmallestMiss:
    """Return min over x of the largest miss, relative gap 0, in so many seconds at most.

    An unknown whose values are evenly spaced is one whole number, one with gaps is a choice of exactly one of its
    values, by zeros and ones. Of one with more than 300 values, as a box of measured shims makes, the bound takes
    anything between its ends, and the miss is that of the values nearest to the answer.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp

    dense = [one.has_gaps and one.values.size > _MOST_CHOICES for one in windows.ranges]
    ranges = tuple(Range(one.values, whole=one.whole and not d) for one, d in zip(windows.ranges, dense, strict=True))
    base, columns, whole, most, choices = _unknowns(ranges)
    start, effect, sums = windows.start + windows.effect @ base, windows.effect @ columns, windows.sums @ columns
    parts = [
        _rows(effect, -1.0, -np.inf, windows.high - start),
        _rows(effect, 1.0, windows.low - start, np.inf),
        _rows(sums, 0.0, windows.least - windows.sums @ base, windows.most - windows.sums @ base),
        _rows(choices, 0.0, 1.0, 1.0),
    ]
    A, low, high = (np.concatenate(part) for part in zip(*parts, strict=True))
    matters = np.isfinite(low) | np.isfinite(high)
    found = milp(
        np.r_[np.zeros(len(most)), 1.0],
        integrality=np.r_[whole, 0],
        bounds=Bounds(0.0, np.r_[most, np.inf]),
        constraints=LinearConstraint(A[matters], low[matters], high[matters]) if matters.any() else (),
        options={"mip_rel_gap": 0.0, "time_limit": seconds},
    )
    bound = _bound(found.fun if found.status == 0 else found.mip_dual_bound)
    if found.x is None:
        return SmallestMiss(None, np.inf, bound)
    y = found.x[:-1]
    x = base + columns @ np.where(whole == 1, np.round(y), y)
    for i in np.flatnonzero(dense):
        values = windows.ranges[i].values
        x[i] = values[np.abs(values - x[i]).argmin()]
    miss = float(windows.misses(x).max(initial=0.0))
    return SmallestMiss(x, miss, min(bound, miss))


def _bound(said: float | None) -> float:
    """What the solver says that no miss is below."""
    return 0.0 if said is None or not np.isfinite(said) else max(0.0, float(said))


def _unknowns(
    ranges: tuple[Range, ...],
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.int_], NDArray[np.float64], NDArray[np.float64]]:
    """x = base + columns y, 0 <= y <= most, some of them whole; rows of y that add up to one."""
    columns: list[NDArray[np.float64]] = []
    whole: list[int] = []
    most: list[float] = []
    together = []
    for unit, one in zip(np.eye(len(ranges)), ranges, strict=True):
        steps = np.diff(one.values)
        if steps.size == 0:
            continue
        if one.whole and one.has_gaps:
            together.append(slice(len(columns), len(columns) + one.values.size))
            columns += [unit * (value - one.values[0]) for value in one.values]
            whole += [1] * one.values.size
            most += [1.0] * one.values.size
        else:
            columns.append(unit * steps[0])
            whole.append(int(one.whole))
            most.append(float(steps.size) if one.whole else float((one.values[-1] - one.values[0]) / steps[0]))
    choices = np.zeros((len(together), len(columns)))
    for row, members in zip(choices, together, strict=True):
        row[members] = 1.0
    base = np.array([one.values[0] for one in ranges])
    matrix = np.array(columns).reshape(len(columns), len(ranges)).T
    return base, matrix, np.array(whole, dtype=int), np.array(most), choices


def _rows(
    A: NDArray[np.float64], miss: float, low: float | NDArray[np.float64], high: float | NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Rows of the solver: low <= A y + miss t <= high."""
    size = len(A)
    return np.c_[A, np.full(size, miss)], np.broadcast_to(low, (size,)), np.broadcast_to(high, (size,))
