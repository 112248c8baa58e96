"""Whether what is asked cannot be met at all: by how much, what stands in its way and what would lift it."""

from __future__ import annotations

import math
import time
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from shimwise import _core
from shimwise.choice.smallest_miss import Range, RealMiss, SmallestMiss, Windows, smallest_miss, smallest_real_miss
from shimwise.words import figure

if TYPE_CHECKING:
    from collections.abc import Container, Iterable, Iterator, Sequence

    from numpy.typing import NDArray

__all__ = ["Verdict", "verdict_of"]

_SECONDS = 2.0
_NONE = 1e-9  # of a tolerance: what counts as no miss
_FAR = 1e3  # steps
_NOTICED = 0.05  # of the miss: what is worth lifting for
_NAMED = 4  # of a list in a sentence
_NOT_KNOWN = "Not known whether the targets can be met"


class Verdict(NamedTuple):
    """`refusals`: sentences about what cannot be met, none where all can. `notes`: what is not known of it."""

    refusals: list[str]
    notes: list[str]


def verdict_of(plan: _core.Plan, *, in_time: bool) -> Verdict:
    """Return whether the targets that were read cannot be met; asked only where the closest plan leaves one outside.

    On the linear model, with all adjusters, those too that the plan holds. The boxes that stacks share, and minutes
    where there are only so many (`in_time`), are left out: what cannot be met so cannot be met at all.
    """
    if _core.meets_targets(plan):
        return Verdict([], [])
    return _Question(plan, in_time=in_time).verdict()


class _Question:
    """One linear plan while it is asked about, with the seconds that are left for it."""

    def __init__(self, plan: _core.Plan, *, in_time: bool) -> None:
        linear = plan.linear
        self.linear = linear
        asks = {value.key: value.asks.name for value in plan.closest.values}
        self.units = {value.key: value.unit for value in plan.closest.values}
        self.kept = [asks.get(key) == "kept" for key in linear.values]
        self.minutes = ", or one that takes longer than it may" if in_time else ""
        scale = linear.scale
        self.all_ranges = tuple(Range(np.array(values)) for values in linear.allowed)
        self.windows = Windows(
            linear.then_0 / scale,
            linear.effect / scale[:, None],
            linear.lower / scale,
            linear.upper / scale,
            tuple(
                Range(np.zeros(1)) if is_forbidden else one
                for one, is_forbidden in zip(self.all_ranges, linear.forbidden, strict=True)
            ),
            linear.lengths,
            linear.length_low,
            linear.length_high,
        )
        self.until = time.monotonic() + _SECONDS

    def verdict(self) -> Verdict:
        if not self.linear.values:
            return Verdict([], [f"{_NOT_KNOWN}: the car does not stand as it is set."])
        real, found = smallest_real_miss(self.windows), self.solved(self.windows)
        if found.miss <= _NONE:
            return Verdict([], [self.can_be_met()])
        if real.x is None or not max(found.bound, real.miss) > _NONE:
            return Verdict([], [f"{_NOT_KNOWN}: {_SECONDS:g} s were not enough to tell."])
        return Verdict(self.cannot_be_met(real, found), [])

    def solved(self, windows: Windows) -> SmallestMiss:
        """The answer, with no miss known where no time is left for it."""
        left = self.until - time.monotonic()
        return smallest_miss(windows, left) if left > 0.0 else SmallestMiss(None, math.inf, 0.0)

    def can_be_met(self) -> str:
        """Of a plan that stays outside though the linear model does not forbid one inside."""
        purposes = [purpose.name for purpose in self.linear.purposes]
        may_come = np.array(self.linear.held, dtype=bool) & ~np.array(self.linear.forbidden, dtype=bool)
        held = list(dict.fromkeys(purposes[i] for i in np.flatnonzero(may_come)))
        if held and self.solved(self.turning(purposes, [])).bound > _NONE:
            enough = [one for one in held if self.solved(self.turning(purposes, [one])).miss <= _NONE]
            named = enough[0] if enough else _listed(held)
            return f"By the linear model every target can be met where what is held takes part: turn {named} too."
        return (
            "The linear model does not forbid a plan with every target inside: one may be left that the search did not "
            f"find{self.minutes}, or the shims of one box do not make it."
        )

    def turning(self, purposes: list[str], too: list[str]) -> Windows:
        """With what the plan turns, and of what it holds these purposes."""
        ranges = (
            Range(np.zeros(1)) if is_held and purpose not in too and 0.0 in one.values else one
            for one, is_held, purpose in zip(self.windows.ranges, self.linear.held, purposes, strict=True)
        )
        return replace(self.windows, ranges=tuple(ranges))

    def cannot_be_met(self, real: RealMiss, found: SmallestMiss) -> list[str]:
        by_steps = not real.miss > _NONE
        share = _from_to(max(real.miss, found.bound), found.miss)
        said = [f"whatever may be turned, one value or more stays outside by {share} of its tolerance."]
        if found.x is None:
            return said
        misses = self.windows.misses(found.x)
        rows: list[int] = np.flatnonzero(misses > 0.0).tolist() if by_steps else real.rows
        rows = sorted(rows, key=lambda row: -float(misses[row]))
        said.append(
            f"With the farthest of them as near as it gets: {_listed([self.would_be(found.x, row) for row in rows])}."
        )
        return said + (self.finer_steps() if by_steps else self.what_binds(real) + self.what_lifts(real))

    def would_be(self, x: NDArray[np.float64], row: int) -> str:
        """ "front_left.toe would be 0.161 deg (0.045 to 0.155 is wanted)"."""
        linear, key = self.linear, self.linear.values[row]
        unit = self.units[key]
        digits = 3 if unit == "deg" else 2
        low, high = float(linear.lower[row]), float(linear.upper[row])
        if not math.isfinite(low):
            wanted = f"at most {figure(high, digits)}"
        elif not math.isfinite(high):
            wanted = f"at least {figure(low, digits)}"
        else:
            wanted = f"{figure(low, digits)} to {figure(high, digits)}"
        then = figure(float(linear.then_0[row] + linear.effect[row] @ x), digits, unit)
        return f"{key} would be {then} ({wanted} {'keeps it' if self.kept[row] else 'is wanted'})"

    def finer_steps(self) -> list[str]:
        """Only the steps stand in the way: those of shims, or threads too."""
        gaps = [i for i, one in enumerate(self.windows.ranges) if one.has_gaps]
        if gaps and self.solved(_between(self.windows, gaps)).miss <= _NONE:
            return [f"It can be met with other shims at {self.named(gaps)}: these make gaps."]
        return ["Only steps that can be set stand in the way: real amounts meet it."]

    def named(self, adjusters: Iterable[int]) -> str:
        return _listed([self.linear.keys[i] for i in adjusters])

    def what_binds(self, real: RealMiss) -> list[str]:
        """Which limits and forced settings, by their multipliers."""
        ranges = self.windows.ranges
        at_end = [i for i in real.ends if ranges[i].values.size > 1]
        shared = sorted({int(i) for row in real.sums for i in np.flatnonzero(self.windows.sums[row])})
        forced = [i for i in real.ends if ranges[i].values.size == 1 and not self.linear.forbidden[i]]
        said = [f"At the end of its range: {self.named(at_end)}."] if at_end else []
        said += [f"At the end of the length that they share: {self.named(shared)}."] if shared else []
        return said + ([f"Set to one amount only: {self.named(forced)}."] if forced else [])

    def what_lifts(self, real: RealMiss) -> list[str]:
        """Each by itself: what by real amounts lifts all of it; where nothing does, what lifts most."""
        lifts = list(self.lifts(real))
        whole = [f"{words} it may be met." for words, miss in lifts if miss <= _NONE]
        if whole:
            return whole
        words, miss = min(lifts, key=lambda lift: lift[1], default=("", math.inf))
        if miss <= (1.0 - _NOTICED) * real.miss:
            return [f"{words} something stays outside by {_share(miss)}; nothing else does more by itself."]
        return ["Nothing lifts it by itself."]

    def lifts(self, real: RealMiss) -> Iterator[tuple[str, float]]:
        """What could give of all that binds, and the miss then: what does not bind lifts nothing."""
        kept = [row for row in real.rows if self.kept[row]]
        for row in kept:
            yield f"With {self.linear.values[row]} free", self.without(rows=[row])
        if len(kept) > 1:
            yield f"With {_listed([self.linear.values[row] for row in kept])} free", self.without(rows=kept)
        forbidden = {i for i, is_forbidden in enumerate(self.linear.forbidden) if is_forbidden}
        if forbidden:
            miss = smallest_real_miss(replace(self.windows, ranges=self.all_ranges)).miss
            yield f"Were {self.named(sorted(forbidden))} not forbidden,", miss
        ends = set(real.ends) | {int(i) for row in real.sums for i in np.flatnonzero(self.windows.sums[row])}
        ends -= forbidden
        for i in sorted(ends):
            yield f"With more range at {self.linear.keys[i]}", self.without(ends=[i], sums=real.sums)
        if len(ends) > 1:
            yield f"With more range at {self.named(sorted(ends))}", self.without(ends=list(ends), sums=real.sums)
        targets = [row for row in real.rows if not self.kept[row]]
        for row in targets if len(targets) > 1 else []:
            yield f"Without the target of {self.linear.values[row]}", self.without(rows=[row])

    def without(self, *, rows: Sequence[int] = (), ends: Sequence[int] = (), sums: Sequence[int] = ()) -> float:
        """The miss by real amounts where these rows, ends and sums bind nothing."""
        of = self.windows
        ranges = tuple(_without_ends(one) if i in ends else one for i, one in enumerate(of.ranges))
        low, high, least, most = of.low.copy(), of.high.copy(), of.least.copy(), of.most.copy()
        for at, below, above in ((list(rows), low, high), (list(sums), least, most)):
            below[at], above[at] = -np.inf, np.inf
        return smallest_real_miss(replace(of, ranges=ranges, low=low, high=high, least=least, most=most)).miss


def _between(windows: Windows, which: Container[int]) -> Windows:
    """With anything between the ends of these unknowns."""
    ranges = (replace(one, whole=one.whole and i not in which) for i, one in enumerate(windows.ranges))
    return replace(windows, ranges=tuple(ranges))


def _without_ends(one: Range) -> Range:
    return Range(np.array([one.values[0] - _FAR, one.values[-1] + _FAR]), whole=False)


def _share(miss: float) -> str:
    return f"{miss:.2g}"


def _from_to(least: float, most: float) -> str:
    """ "1.6", "1.5 to 1.6", "at least 1.5"."""
    if not math.isfinite(most):
        return f"at least {_share(least)}"
    return _share(most) if _share(least) == _share(most) else f"{_share(least)} to {_share(most)}"


def _listed(words: list[str]) -> str:
    """ "a, b, c, d and 3 more"."""
    named = words[:_NAMED]
    if len(words) > _NAMED:
        named.append(f"{len(words) - _NAMED} more")
    return " and ".join([", ".join(named[:-1]), named[-1]] if len(named) > 1 else named)
