"""What is drawn by chance: between two ends, or among options; the points of a car, each within its tolerance."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from shimwise import _core
from shimwise.arguments import demand_kind, in_utf8, names_among, number, whole_number

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from shimwise.car import Car
    from shimwise.setting_words import Words

__all__ = [
    "SAMPLE",
    "Among",
    "Between",
    "Draws",
    "EitherWay",
    "demand_draws",
    "draws_of",
    "points_within",
    "shim_options",
]

SAMPLE = "sample"  # the dimension
_MOST = 10**9


class Between:
    """A number drawn between two ends, each place between them as likely."""

    def __init__(self, low: float, high: float) -> None:
        """Keep the ends.

        Raises:
            InputError: they are no finite numbers, or the lower one is not below the other.
        """
        self.low, self.high = (_end(one) for one in (low, high))
        if not self.low < self.high:
            raise _core.InputError(f"Between({self.low:g}, {self.high:g}): needs the lower end first")

    def __repr__(self) -> str:
        return f"Between({self.low!r}, {self.high!r})"


class EitherWay(Between):
    """A number drawn so far either way from where something stands."""

    def __init__(self, within: float) -> None:
        super().__init__(-within, within)


class Among:
    """One of some values or words, each as likely."""

    def __init__(self, options: Sequence[Words]) -> None:
        """Keep the options.

        Raises:
            InputError: there are none.
        """
        self.options = list(options) if isinstance(options, Iterable) and not isinstance(options, str) else []
        if not self.options:
            raise _core.InputError(f"Among({options!r}): needs a list of values or words")

    def __repr__(self) -> str:
        return f"Among({self.options!r})"


class Draws:
    """How many are drawn, how, and by which seed."""

    def __init__(self, count: int, by: _core.Sampling, seed: int) -> None:
        self.count, self.by, self.seed = count, by, seed

    def between(self, key: str, low: float, high: float) -> NDArray[np.float64]:
        """Numbers, the same for the same name, count and seed."""
        return _core.drawn_between(self.by, self.count, self.seed, key, low, high)

    def among(self, key: str, options: int) -> NDArray[np.uint64]:
        """Places among options."""
        return _core.drawn_among(self.by, self.count, self.seed, key, options)


def draws_of(sample: Any, by: Any, seed: Any) -> Draws | None:
    """Check how a sample is asked for; None where none is."""
    if not isinstance(by, str) or by not in _core.Sampling.__members__:
        raise _core.InputError(f"by = {by!r}: needs one of {', '.join(_core.Sampling.__members__)}")
    seed = whole_number("seed", seed, 0, 2**63 - 1)
    if sample is None:
        return None
    return Draws(whole_number("sample", sample, 1, _MOST), _core.Sampling.__members__[by], seed)


def demand_draws(key: str, given: Between | Among, draws: Draws | None) -> Draws:
    """Refuse what is to be drawn, but not how often."""
    if draws is None:
        raise _core.InputError(f"{key} = {given!r}: needs sample=, the number of draws")
    return draws


def points_within(car: Car, within_mm: float, points: Sequence[str] | None = None) -> dict[str, Between]:
    """Return every coordinate of points, each drawn within so many mm either way of where it stands, for a sweep.

    Args:
        car: the car.
        within_mm: how far, mm. It counts from where each stands whatever `change` of the sweep says.
        points: "front_left.track_rod.inner" and so on, or "front_left" for all points of a corner; left out: all.

    Raises:
        InputError: no such point, or a tolerance that is not above 0.
    """
    demand_kind("car", car, "Car")
    within = number("within_mm", within_mm)
    if not (within > 0.0 and np.isfinite(within)):
        raise _core.InputError(f"within_mm = {within:g}: needs a number above 0")
    every = [f"{name}.{point}" for name, corner in car.corners.items() for point in corner.point_names]
    chosen = names_among("points", points, [*every, *car.corners]) if points is not None else every
    keys = [key for key in every if key in chosen or key.partition(".")[0] in chosen]
    return {f"{key}.{axis}": EitherWay(within) for key in keys for axis in "xyz"}


def shim_options(car: Car, key: str) -> list[list[float]]:
    """Return a pack for every thickness that the shims fitted in it and those in its box make, within its limits, mm.

    Args:
        car: the car.
        key: "corner.adjuster name".

    Raises:
        InputError: the car has no such pack of shims.
    """
    demand_kind("car", car, "Car")
    return _core.packs_at_hand(car.core, in_utf8(str(key)))


def _end(value: Any) -> float:
    try:
        end = number("Between", value)
    except (TypeError, ValueError):
        raise _core.InputError(f"Between: {value!r}: needs a number") from None
    if not np.isfinite(end):
        raise _core.InputError(f"Between: {end}: needs a finite number")
    return end
