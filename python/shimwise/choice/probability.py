"""The chance that correlated normal values all lie within their limits.

Values that do not correlate are independent: the covariance falls into blocks whose chances multiply. A block is
written as a few independent standard normals (pivoted Cholesky), so that outputs which follow from others, a singular
covariance, need no special care. One normal: the error function. Two: Gauss-Legendre between the bends. More: the
transformation of Genz (J. Comp. Graph. Stat. 1 (1992) 141) on a lattice with a fixed seed: the digits repeat.
"""

from __future__ import annotations

import math
from functools import cache
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from scipy.sparse.csgraph import connected_components
from scipy.special import ndtr, ndtri

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import ArrayLike, NDArray

    Vector = NDArray[np.float64]

__all__ = ["BoxProbability", "probability_in_box"]

_NO_CORRELATION = 1e-12  # a smaller one is rounding
_NO_VARIANCE = 1e-14  # of a unit variance, per dimension: what is left after the others is rounding
_FAR = 9.0  # standard deviations; 2e-19 lies outside
_MARKS = np.array([-_FAR, -6.0, -3.0, 0.0, 3.0, 6.0, _FAR])
_SHIFTS = 16  # of the lattice: their scatter is the error
_LEAST_POINTS, _MOST_POINTS = 2**10, 2**17


class BoxProbability(NamedTuple):
    """A probability and how far it can be off.

    Attributes:
        value: probability, 0 to 1.
        error: bound of its numerical error. Blocks of one normal 1e-15, of two at most 1e-10, of more three standard
            errors of the lattice.
    """

    value: float
    error: float


def probability_in_box(
    mean: ArrayLike, covariance: ArrayLike, lower: ArrayLike, upper: ArrayLike, *, accuracy: float = 1e-4
) -> BoxProbability:
    """Return the probability that normal values lie within limits, all at the same time.

    Args:
        mean: expected values, shape (n,), each in its own unit.
        covariance: covariance of the values, shape (n, n), unit of row times unit of column; may be singular. A value
            of variance 0 is certain.
        lower: least allowed values, shape (n,) or one number, in the units of `mean`; may be -inf.
        upper: most allowed values, shape (n,) or one number, in the units of `mean`; may be inf.
        accuracy: error to which a block of three or more normals is refined, as far as 2 million points reach.

    Returns:
        The probability and a bound of its numerical error. No values at all lie within with certainty.

    Raises:
        ValueError: shapes do not fit, a number is NaN, a lower limit is above its upper one, the covariance is not
            symmetric or has a negative variance in some direction.
    """
    at, spread = np.asarray(mean, dtype=np.float64), np.asarray(covariance, dtype=np.float64)
    if at.ndim != 1:
        raise ValueError(f"mean has {at.ndim} dimensions, needs one")
    if spread.shape != (at.size, at.size):
        raise ValueError(f"covariance has shape {spread.shape}, needs {(at.size, at.size)}")
    if not (np.isfinite(at).all() and np.isfinite(spread).all()):
        raise ValueError("mean and covariance need finite numbers")
    low = np.broadcast_to(np.asarray(lower, dtype=np.float64), at.shape) - at
    high = np.broadcast_to(np.asarray(upper, dtype=np.float64), at.shape) - at
    if not (low <= high).all():
        raise ValueError("a lower limit is above its upper one, or a limit is not a number")
    if not (spread.diagonal() >= 0.0).all():
        raise ValueError("covariance has a negative variance")
    deviation = np.sqrt(spread.diagonal())
    if not (np.abs(spread - spread.T) <= 1e-9 * np.outer(deviation, deviation)).all():
        raise ValueError("covariance is not symmetric, or correlates a value that has no variance")

    certain = deviation == 0.0
    if not ((low <= 0.0) & (high >= 0.0))[certain].all():
        return BoxProbability(0.0, 0.0)
    unsure = np.flatnonzero(~certain)
    scale = deviation[unsure]
    correlation = spread[np.ix_(unsure, unsure)] / np.outer(scale, scale)
    low, high = low[unsure] / scale, high[unsure] / scale
    count, block_of = connected_components(np.abs(correlation) > _NO_CORRELATION, directed=False)
    value = bound = 1.0
    for block in range(count):
        rows = np.flatnonzero(block_of == block)
        part = _block(correlation[np.ix_(rows, rows)], low[rows], high[rows], accuracy)
        value *= part.value
        bound *= part.value + part.error
    return BoxProbability(value, bound - value)


class _Stage(NamedTuple):
    """Limits of one independent normal, given those before it: low <= before @ earlier + own * this one <= high."""

    before: Vector  # (limits, earlier normals)
    own: Vector  # (limits,)
    low: Vector
    high: Vector

    def range(self, earlier: Vector) -> tuple[Vector, Vector]:
        """Least and most of this normal for `earlier` of shape (earlier normals, points)."""
        known = self.before @ earlier
        one = (self.low[:, None] - known) / self.own[:, None]
        other = (self.high[:, None] - known) / self.own[:, None]
        return np.minimum(one, other).max(axis=0), np.maximum(one, other).min(axis=0)


def _block(correlation: Vector, low: Vector, high: Vector, accuracy: float) -> BoxProbability:
    stages = _stages(correlation, low, high)
    if len(stages) == 1:
        return BoxProbability(float(_between(*stages[0].range(np.empty((0, 1))))[0]), 1e-15)
    if len(stages) == 2:
        return _two(stages)
    return _many(stages, accuracy)


def _stages(correlation: Vector, low: Vector, high: Vector) -> list[_Stage]:
    """Pivoted Cholesky: value i = L[i] @ independent normals; each limit stands at the last normal that it needs."""
    n = len(low)
    negligible = _NO_VARIANCE * n
    rest = correlation.copy()
    columns: list[Vector] = []
    while (variance := rest.diagonal()).max() > negligible:
        pivot = int(variance.argmax())
        column = rest[:, pivot] / np.sqrt(variance[pivot])
        column[np.abs(column) <= np.sqrt(negligible)] = 0.0
        columns.append(column)
        rest = rest - np.outer(column, column)
        rest[pivot, :] = rest[:, pivot] = 0.0
    if np.abs(rest).max() > 1e-6:
        raise ValueError("covariance has a negative variance in some direction")
    L = np.column_stack(columns)
    last = np.array([np.flatnonzero(row)[-1] for row in L])
    stages = []
    for j in range(L.shape[1]):
        rows = last == j
        stages.append(_Stage(L[rows, :j], L[rows, j], low[rows], high[rows]))
    return stages


def _between(low: Vector, high: Vector) -> Vector:
    """Probability of a standard normal between two values; 0 where they are in the wrong order."""
    mirrored = low > 0.0  # where the upper tail keeps its digits
    one, other = np.where(mirrored, -high, low), np.where(mirrored, -low, high)
    return np.asarray(np.maximum(ndtr(other) - ndtr(one), 0.0), dtype=np.float64)


def _two(stages: Sequence[_Stage]) -> BoxProbability:
    first, second = stages
    (low,), (high,) = first.range(np.empty((0, 1)))
    low, high = max(float(low), -_FAR), min(float(high), _FAR)
    if not low < high:
        return BoxProbability(0.0, 1e-15)

    edges = np.unique(np.concatenate([[low], _bends(second, low, high), [high]]))

    def integral(order: int) -> float:
        node, weight = _gauss(order)
        half = 0.5 * np.diff(edges)[:, None]
        w = (0.5 * (edges[1:] + edges[:-1])[:, None] + half * node).ravel()
        inside = _between(*second.range(w[None, :]))
        return float((half * weight).ravel() @ (inside * np.exp(-0.5 * w * w))) / math.sqrt(2.0 * math.pi)

    value, check = integral(40), integral(28)
    return BoxProbability(min(value, 1.0), abs(value - check) + 1e-14)


@cache
def _gauss(order: int) -> tuple[Vector, Vector]:
    return np.polynomial.legendre.leggauss(order)


def _bends(second: _Stage, low: float, high: float) -> Vector:
    """Between these the inner probability times the outer density is smooth: where the inner range changes its limit,
    where a limit crosses the middle or the edges of the inner normal, and marks on the outer one."""
    slope = np.tile(second.before[:, 0] / second.own, 2)
    start = np.concatenate([second.low / second.own, second.high / second.own])
    slope, start = slope[np.isfinite(start)], start[np.isfinite(start)]
    with np.errstate(divide="ignore", invalid="ignore"):
        meets = (start[:, None] - start[None, :]) / (slope[:, None] - slope[None, :])
        crosses = (start[:, None] - _MARKS) / slope[:, None]
    points = np.concatenate([meets.ravel(), crosses.ravel(), _MARKS])
    return np.unique(points[(points > low) & (points < high)])


def _many(stages: Sequence[_Stage], accuracy: float) -> BoxProbability:
    random = np.random.default_rng(1992)
    free = len(stages) - 1
    generators = np.sqrt(_primes(free))[:, None]
    shifts = random.random((_SHIFTS, free, 1))
    points = _LEAST_POINTS
    while True:
        lattice = generators * np.arange(1, points + 1)
        means = [float(_genz(stages, np.abs(2.0 * ((lattice + shift) % 1.0) - 1.0)).mean()) for shift in shifts]
        value = float(np.mean(means))
        error = 3.0 * float(np.std(means, ddof=1)) / np.sqrt(_SHIFTS) + 1e-15
        if error <= accuracy or points >= _MOST_POINTS:
            return BoxProbability(value, float(error))
        points *= 2


def _genz(stages: Sequence[_Stage], uniform: Vector) -> Vector:
    """Product of the conditional probabilities, each normal drawn within its own range by one row of `uniform`."""
    normals = np.empty((0, uniform.shape[1]))
    weight = np.ones(uniform.shape[1])
    for j, stage in enumerate(stages):
        low, high = stage.range(normals)
        weight = weight * _between(low, high)
        if j == len(uniform):
            break
        least, most = ndtr(low), ndtr(high)
        drawn = ndtri(np.clip(least + uniform[j] * (most - least), 1e-300, 1.0 - 1e-16))
        normals = np.vstack([normals, drawn])
    return weight


def _primes(count: int) -> Vector:
    found: list[int] = []
    candidate = 2
    while len(found) < count:
        if all(candidate % p for p in found):
            found.append(candidate)
        candidate += 1
    return np.array(found, dtype=np.float64)
