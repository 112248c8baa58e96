"""States worked out here, or in parts by an executor of somebody else."""

from __future__ import annotations

from concurrent.futures import FIRST_COMPLETED, wait
from math import prod
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from shimwise import _core
from shimwise.sweeps.boxes import Box, box_sizes, boxes_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator
    from concurrent.futures import Executor, Future

    from numpy.typing import NDArray

    Watch = Callable[[int], object] | None

__all__ = ["Given", "States", "Work", "done_elsewhere", "done_in_parts"]

_PART = 10_000  # states sent at once: some 10 ms of a corner, half a second of cars at rest with moved points
_AHEAD = 64  # parts sent before the first of them is back


class States(NamedTuple):
    """What was found of states, one after the other."""

    numbers: NDArray[np.float64]  # (outputs, states)
    codes: NDArray[np.int8]  # (status and corner, states)
    short_by: NDArray[np.float64]  # (mm and N, states)

    def over(self, shape: tuple[int, ...]) -> list[NDArray[Any]]:
        """Each output, status, corner and the amounts in mm and N over the dimensions of the states, as views."""
        return [array.reshape(shape) for array in (*self.numbers, *self.codes, *self.short_by)]


class Given(NamedTuple):
    """What the states are worked out from, all of one shape."""

    values: list[NDArray[np.float64]]  # of each input
    missing_mm: NDArray[np.float64] | None  # of shims

    @property
    def shape(self) -> tuple[int, ...]:
        """Of the states."""
        return self.values[0].shape

    def within(self, box: Box) -> Given:
        """Those of a box, as views."""
        place: Any = (*box.at, ...)
        missing_mm = None if self.missing_mm is None else self.missing_mm[place]
        return Given([array[place] for array in self.values], missing_mm)

    def compact(self) -> Given:
        """The same without what only repeats itself, to be sent elsewhere."""
        missing_mm = None if self.missing_mm is None else _once(self.missing_mm)
        return Given([_once(array) for array in self.values], missing_mm)

    def spread(self, shape: tuple[int, ...]) -> Given:
        """The same over all states again."""
        missing_mm = None if self.missing_mm is None else np.broadcast_to(self.missing_mm, shape)
        return Given([np.broadcast_to(array, shape) for array in self.values], missing_mm)


class Work(NamedTuple):
    """What there is to do, whatever the states."""

    car: _core.Car
    held: _core.SweepHold
    moved: _core.Moved
    inputs: list[_core.SweptInput]
    changes: list[bool]
    rows: list[_core.SweptOutput]
    threads: int

    def done(self, given: Given, watch: Watch = None) -> States:
        """Work out states."""
        states = self.room(given.shape)
        _core.sweep(
            self.car,
            self.held,
            self.moved,
            self.inputs,
            self.changes,
            given.values,
            given.missing_mm,
            self.rows,
            list(given.shape),
            [0, states.codes.shape[1]],
            *states,
            self.threads,
            watch,
        )
        return states

    def done_of(self, compact: Given, shape: tuple[int, ...]) -> States:
        """Work out states that were sent."""
        return self.done(compact.spread(shape))

    def room(self, shape: tuple[int, ...]) -> States:
        """Room for what is found."""
        count = prod(shape)
        return States(np.empty((len(self.rows), count)), np.empty((2, count), dtype=np.int8), np.empty((2, count)))


def done_elsewhere(executor: Executor, work: Work, given: Given, watch: Watch) -> States:
    """Work out states by an executor, in parts."""
    states = work.room(given.shape)
    parts = boxes_of(given.shape, box_sizes(given.shape, _PART))
    for box, part in done_in_parts(executor, work, given, parts, watch):
        for whole, piece in zip(states.over(given.shape), part.over(box.shape), strict=True):
            whole[box.at] = piece
    return states


def done_in_parts(
    executor: Executor | None, work: Work, given: Given, parts: Iterable[Box], watch: Watch
) -> Iterator[tuple[Box, States]]:
    """Work out boxes of states, here or by an executor; in what order is no matter."""
    if executor is not None:
        yield from _sent(executor, work, given, parts, watch)
        return
    before = 0
    for box in parts:
        seen = None if watch is None else lambda done, before=before: watch(before + done)
        yield box, work.done(given.within(box), seen)
        before += box.states


def _sent(
    executor: Executor, work: Work, given: Given, parts: Iterable[Box], watch: Watch
) -> Iterator[tuple[Box, States]]:
    """Each with its own values alone; nothing more is begun once one fails, and what is done by then is not lost."""
    left = iter(parts)
    under_way: dict[Future[States], Box] = {}
    done = 0
    try:
        while True:
            while len(under_way) < _AHEAD and (box := next(left, None)) is not None:
                under_way[executor.submit(work.done_of, given.within(box).compact(), box.shape)] = box
            if not under_way:
                return
            back = wait(under_way, return_when=FIRST_COMPLETED).done
            for future in sorted(back, key=lambda one: one.exception() is not None):
                box = under_way.pop(future)
                yield box, future.result()
                done += box.states
            if watch is not None:
                watch(done)
    finally:
        for future in under_way:
            future.cancel()


def _once(array: NDArray[np.float64]) -> NDArray[np.float64]:
    """One of each that repeats itself along a dimension."""
    return np.array(array[tuple(slice(0, 1) if step == 0 else slice(None) for step in array.strides)], order="C")
