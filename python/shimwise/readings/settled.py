"""How the car itself scatters, from a sheet that was read anew after settling."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from shimwise import _core

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["Settled", "settled", "spread_within"]

_LEVEL = 0.95


def spread_within(variance: float, degrees: int) -> NDArray[np.float64]:
    """Return the 95 % interval, shape (2,), of the variance behind one that was found with so many degrees of freedom.

    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.8 (chi-square test for the variance).
    """
    from scipy.special import chdtri

    above = 0.5 * (1.0 - _LEVEL)
    return np.array([degrees * variance / chdtri(degrees, p) for p in (above, 1.0 - above)])


class Settled(NamedTuple):
    """One kind of settling; all but the numbers of sets and of degrees of freedom in its unit.

    Attributes:
        what: "toe", "camber", "ride_height" or "warp".
        unit: "deg", "mm" or "kg".
        sets: the most that one place was read in.
        degrees: of freedom, over all wheels or points.
        seen: standard deviation of one settling, what the instruments make of it taken off; 0 where that is all of it.
        within_95: the interval that holds the true one, of 20 sheets 19 times; its upper end never below that of sets
            which scatter by their instruments alone, since a last digit hides what is smaller.
        of_file: the car file's.
        counts: what the uncertainties are made of.
    """

    what: str
    unit: str
    sets: int
    degrees: int
    seen: float
    within_95: tuple[float, float]
    of_file: float
    counts: float


def settled(measured: _core.Measured, car: _core.Car) -> list[Settled]:
    """Return every kind that was read in more than one set."""
    return [_settled(one) for one in _core.settled(measured, car)]


def _settled(one: _core.Settled) -> Settled:
    def of_car(variance: float) -> float:
        return float(np.sqrt(max(0.0, variance - one.by_instruments)))

    low = of_car(spread_within(one.between, one.degrees)[0])
    high = of_car(spread_within(max(one.between, one.by_instruments), one.degrees)[1])
    return Settled(one.what, one.unit, one.sets, one.degrees, of_car(one.between), (low, high), one.of_file, one.counts)
