"""What is asked of a sweep, checked, and how states of it are worked out."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from concurrent.futures import Executor
from typing import TYPE_CHECKING, Any, NamedTuple

from shimwise import _core
from shimwise.arguments import demand_kind, in_utf8, names_among, whole_number
from shimwise.sweeps.columns import Column, moved_of
from shimwise.sweeps.work import Given, States, Work, done_elsewhere

if TYPE_CHECKING:
    from collections.abc import Callable

    from shimwise.car import Car

__all__ = ["Asked", "asked_of", "hold_of", "threads_of"]


class Asked(NamedTuple):
    """A car, what is held, how points move and what is wanted, and what works it out."""

    car: Car
    held: _core.SweepHold
    moved: str | None  # how points move
    rows: list[_core.SweptOutput]
    threads: int
    executor: Executor | None

    def work(self, columns: list[Column]) -> Work:
        """What there is to do with values of these columns."""
        return Work(
            self.car.core,
            self.held,
            moved_of(self.moved),
            [column.input for column in columns],
            [column.change for column in columns],
            self.rows,
            self.threads,
        )

    def found(self, columns: list[Column], given: Given, watch: Callable[[int], object] | None) -> States:
        """Work out the states with these values of the columns."""
        if self.executor is None:
            return self.work(columns).done(given, watch)
        return done_elsewhere(self.executor, self.work(columns), given, watch)


def asked_of(
    car: Car, held: _core.SweepHold, moved: str | None, outputs: Any, threads: Any, executor: Any = None
) -> Asked:
    """Check what is wanted.

    Raises:
        InputError: no such output, or one that the car's file does not give; what is no executor.
        OutOfReach: the car does not stand as its file says.
    """
    if executor is not None and not isinstance(executor, Executor):
        raise _core.InputError(f"executor = {executor!r}: needs a concurrent.futures.Executor")
    each = 1 if executor is not None and threads is None else threads_of(threads)
    return Asked(car, held, moved, _rows(car, held, outputs), each, executor)


def hold_of(car: Any, hold: Any, inputs: Any) -> _core.SweepHold:
    """What is held, by its name."""
    demand_kind("car", car, "Car")
    if hold is None:
        hold = "wheel" if isinstance(inputs, Mapping | Iterable) and "travel_mm" in inputs else "contact"
    if not isinstance(hold, str) or hold not in _core.SweepHold.__members__:
        raise _core.InputError(f"hold = {hold!r}: needs one of {', '.join(_core.SweepHold.__members__)}")
    return _core.SweepHold.__members__[hold]


def threads_of(threads: Any) -> int:
    """How many threads; left out one for each processor that this process may use."""
    if threads is None:
        return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return whole_number("threads", threads, 1, 1024)


def _known(car: Car, held: _core.SweepHold) -> dict[str, list[_core.SweptOutput]]:
    """What each name stands for; a corner's name alone for that of all four."""
    known: dict[str, list[_core.SweptOutput]] = {}
    for row in _core.sweep_outputs(car.core, held):
        for name in row.names:
            known.setdefault(name, []).append(row)
    return known


def _demand_of_no_other_hold(car: Car, held: _core.SweepHold, name: str) -> None:
    others = [repr(hold.name) for hold in _core.holds_with(car.core, in_utf8(name))]
    if others:
        raise _core.InputError(f"outputs = {name!r}: is of hold = {' or '.join(others)}, and it is {held.name!r}")


def _rows(car: Car, held: _core.SweepHold, outputs: Any) -> list[_core.SweptOutput]:
    """The outputs asked for, each once."""
    known = _known(car, held)
    if isinstance(outputs, Iterable) and not isinstance(outputs, str):
        outputs = list(outputs)
    for name in outputs if isinstance(outputs, list) else [outputs]:
        if isinstance(name, str) and name not in known:
            _demand_of_no_other_hold(car, held, name)
    rows: dict[str, _core.SweptOutput] = {}
    for name in names_among("outputs", outputs, list(known)):
        for row in known[name]:
            if row.missing:
                raise _core.InputError(f"outputs = {row.key}: cannot be given: {row.missing}")
            rows[row.key] = row
    return list(rows.values())
