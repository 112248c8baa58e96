"""Readings that were taken more than once: how far apart they lie, and whether one stands out."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from shimwise import _core

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

__all__ = ["Grubbs", "Repeated", "grubbs", "repeated"]

_LEAST = 4  # of three none can be shown to be one
_LEVEL = 0.05


class Grubbs(NamedTuple):
    """Grubbs' test for one outlier, either way, at 5 %.

    Attributes:
        statistic: the largest distance from the mean, in standard deviations.
        critical: what it exceeds in one of twenty sets without an outlier.
        farthest: which reading it is, counted from 0.
    """

    statistic: float
    critical: float
    farthest: int

    @property
    def stands_out(self) -> bool:
        """Whether that reading is an outlier."""
        return self.statistic > self.critical


def grubbs(readings: ArrayLike, least_scatter: float = 0.0) -> Grubbs | None:
    """Test readings, shape (n,), for one outlier; None of fewer than four, or where all are the same.

    Their standard deviation is never taken for less than `least_scatter`, what the instrument itself scatters: of three
    that are the same and one that is a digit off, rounding alone would make an outlier.

    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.1, two-sided.
    """
    values = np.asarray(readings, dtype=np.float64)
    from scipy.special import stdtrit

    n = values.size
    if n < _LEAST or np.ptp(values) == 0.0:
        return None
    off = np.abs(values - values.mean()) / max(values.std(ddof=1), least_scatter)
    t2 = stdtrit(n - 2, 1.0 - _LEVEL / (2.0 * n)) ** 2
    critical = (n - 1) / np.sqrt(n) * np.sqrt(t2 / (n - 2 + t2))
    return Grubbs(float(off.max()), float(critical), int(off.argmax()))


class Repeated(NamedTuple):
    """A reading that was taken more than once; its mean counts, and nothing is dropped.

    `in_sets`: `readings` are the means of the sets of a sheet that was read anew after settling.
    """

    key: str
    unit: str
    readings: list[float]
    grubbs: Grubbs | None
    in_sets: bool = False

    @property
    def outlier(self) -> float | None:
        """The reading that stands out, if one does."""
        return self.readings[self.grubbs.farthest] if self.grubbs and self.grubbs.stands_out else None


def repeated(measured: _core.Measured, car: _core.Car) -> list[Repeated]:
    """Return what was read more than once, in the order of the inputs."""
    return [
        Repeated(one.key, one.unit, one.readings, grubbs(one.readings, one.scatter), one.in_sets)
        for one in _core.repeats(measured, car)
    ]
