"""The chance that correlated normal values all lie within their limits."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from shimwise import _core

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

__all__ = ["BoxProbability", "probability_in_box"]


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
    low = np.broadcast_to(np.asarray(lower, dtype=np.float64), at.shape)
    high = np.broadcast_to(np.asarray(upper, dtype=np.float64), at.shape)
    found = _core.probability_in_box(at, spread, low, high, accuracy)
    return BoxProbability(found.value, found.error)
