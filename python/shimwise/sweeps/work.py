"""States worked out here, or in parts by an executor of somebody else."""

from __future__ import annotations

from concurrent.futures import FIRST_COMPLETED, wait
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from shimwise import _core

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from concurrent.futures import Executor, Future

    from numpy.typing import NDArray

__all__ = ["States", "Work", "done_elsewhere"]

_PART = 10_000  # states sent at once: some 10 ms of a corner, half a second of cars at rest with moved points
_AHEAD = 64  # parts sent before the first of them is back


class States(NamedTuple):
    """What was found of states, one after the other."""

    numbers: NDArray[np.float64]  # (outputs, states)
    codes: NDArray[np.int8]  # (status and corner, states)
    short_by: NDArray[np.float64]  # (mm and N, states)


class Work(NamedTuple):
    """What there is to do, whatever the states."""

    car: _core.Car
    held: _core.SweepHold
    moved: _core.Moved
    inputs: list[_core.SweptInput]
    changes: list[bool]
    rows: list[_core.SweptOutput]
    threads: int

    def done(
        self,
        values: list[NDArray[np.float64]],
        missing_mm: NDArray[np.float64] | None,
        watch: Callable[[int], object] | None = None,
    ) -> States:
        """Work out states: values of the inputs, of one shape."""
        states = _room(len(self.rows), values[0].size)
        _core.sweep(
            self.car,
            self.held,
            self.moved,
            self.inputs,
            self.changes,
            values,
            missing_mm,
            self.rows,
            list(values[0].shape),
            [0, values[0].size],
            *states,
            self.threads,
            watch,
        )
        return states


def done_elsewhere(
    executor: Executor,
    work: Work,
    values: list[NDArray[np.float64]],
    missing_mm: NDArray[np.float64] | None,
    watch: Callable[[int], object] | None,
) -> States:
    """Work out states in parts, each with its own values alone; nothing more is begun once one fails."""
    count = values[0].size
    states = _room(len(work.rows), count)
    under_way: dict[Future[States], int] = {}
    parts = _parts(values, missing_mm, count)
    done = 0
    try:
        while True:
            while len(under_way) < _AHEAD and (part := next(parts, None)) is not None:
                first, part_values, part_missing = part
                under_way[executor.submit(work.done, part_values, part_missing)] = first
            if not under_way:
                return states
            for future in wait(under_way, return_when=FIRST_COMPLETED).done:
                first, found = under_way.pop(future), future.result()
                here = slice(first, first + found.codes.shape[1])
                states.numbers[:, here] = found.numbers
                states.codes[:, here] = found.codes
                states.short_by[:, here] = found.short_by
                done += found.codes.shape[1]
            if watch is not None:
                watch(done)
    finally:
        for future in under_way:
            future.cancel()


def _parts(
    values: list[NDArray[np.float64]], missing_mm: NDArray[np.float64] | None, count: int
) -> Iterator[tuple[int, list[NDArray[np.float64]], NDArray[np.float64] | None]]:
    for first in range(0, count, _PART):
        at = np.unravel_index(np.arange(first, min(first + _PART, count)), values[0].shape) if values[0].ndim else ...
        picked = [np.atleast_1d(array[at]) for array in values]
        yield first, picked, None if missing_mm is None else np.atleast_1d(missing_mm[at])


def _room(outputs: int, count: int) -> States:
    return States(np.empty((outputs, count)), np.empty((2, count), dtype=np.int8), np.empty((2, count)))
