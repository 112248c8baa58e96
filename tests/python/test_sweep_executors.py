"""Sweeps by an executor: the bits of a sweep in this process, and an end where a worker or the caller ends."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Callable, Iterator
from concurrent.futures import BrokenExecutor, Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from multiprocessing import get_context
from typing import Any

import numpy as np
import pytest
import xarray as xr
from sweep_kinds import sweeps

import shimwise as sw

Size = Callable[[int, int], int]

ROD = "front_left.track rod"


@pytest.fixture(scope="module")
def processes() -> Iterator[Executor]:
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        yield pool


@pytest.mark.parametrize("which", range(6))
def test_the_bits_are_those_of_this_process(
    car: sw.Car, processes: Executor, monkeypatch: pytest.MonkeyPatch, which: int
) -> None:
    inputs, how = sweeps(car)[which]
    here = sw.sweep(car, inputs, **how)
    for states in (1, 7, 10_000):
        monkeypatch.setattr("shimwise.sweeps.work._PART", states)
        xr.testing.assert_identical(sw.sweep(car, inputs, **how, executor=processes), here)
    with ThreadPoolExecutor(2) as threads:
        xr.testing.assert_identical(sw.sweep(car, inputs, **how, executor=threads, threads=2), here)


def test_progress_is_told_part_by_part(car: sw.Car, processes: Executor, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("shimwise.sweeps.work._PART", 7)
    heard: list[tuple[int, int]] = []
    axis = np.linspace(-1.0, 1.0, 100)
    sw.sweep(car, {ROD: axis}, outputs="toe", executor=processes, progress=lambda *done: heard.append(done))
    assert len(heard) > 1
    assert heard == sorted(heard)
    assert heard[-1] == (100, 100)


def test_shares_of_the_variance_are_the_same(car: sw.Car, processes: Executor, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("shimwise.sweeps.work._PART", 11)
    how: dict[str, Any] = {"outputs": "cross_weight", "hold": "rest", "sample": 40}
    pads = {"pad.front_left": sw.Between(-1.0, 1.0), "pad.rear_left": sw.Between(-1.0, 1.0)}
    xr.testing.assert_identical(sw.sensitivity(car, pads, **how, executor=processes), sw.sensitivity(car, pads, **how))


class OneByOne(Executor):
    """Does what it is given at once; the n-th fails, and what comes later waits."""

    def __init__(self, fails_at: int) -> None:
        self.given: list[Future[Any]] = []
        self._fails_at = fails_at

    def submit(self, work: Callable[..., Any], /, *given: Any, **named: Any) -> Future[Any]:
        future: Future[Any] = Future()
        self.given.append(future)
        if len(self.given) == self._fails_at:
            future.set_exception(RuntimeError("a worker's own fault"))
        elif len(self.given) < self._fails_at:
            future.set_result(work(*given, **named))
        return future


def test_a_fault_of_the_executor_is_raised_and_nothing_more_is_begun(
    car: sw.Car, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("shimwise.sweeps.work._PART", 1)
    monkeypatch.setattr("shimwise.sweeps.work._AHEAD", 4)
    executor = OneByOne(fails_at=9)
    with pytest.raises(RuntimeError, match="a worker's own fault"):
        sw.sweep(car, {ROD: np.linspace(-1.0, 1.0, 1000)}, outputs="toe", executor=executor)
    assert 9 < len(executor.given) <= 12
    assert all(future.cancelled() for future in executor.given[9:])


def test_what_progress_raises_ends_it_and_the_executor_goes_on(
    car: sw.Car, processes: Executor, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("shimwise.sweeps.work._PART", 50)

    def ends(*_done: int) -> None:
        raise KeyboardInterrupt

    axis = np.linspace(-1.0, 1.0, 200)
    inputs = {ROD: axis, "front_left.pushrod": axis}
    began = time.monotonic()
    with pytest.raises(KeyboardInterrupt):
        sw.sweep(car, inputs, outputs="cross_weight", hold="rest", executor=processes, progress=ends)
    assert time.monotonic() - began < 20.0
    assert not sw.sweep(car, {ROD: [0.0]}, outputs="toe", executor=processes).status.any()


def test_a_worker_that_is_killed_ends_the_sweep(car: sw.Car, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("shimwise.sweeps.work._PART", 500)
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        worker = pool.submit(os.getpid).result()

        left = [worker]

        def kills(*_done: int) -> None:
            while left:
                os.kill(left.pop(), signal.SIGKILL)

        axis = np.linspace(-1.0, 1.0, 300)
        inputs = {ROD: axis, "front_left.pushrod": axis}
        with pytest.raises(BrokenExecutor):
            sw.sweep(car, inputs, outputs="cross_weight", hold="rest", executor=pool, progress=kills)


@pytest.mark.parametrize("given", [2, "processes", ProcessPoolExecutor])
def test_what_is_no_executor_is_refused(car: sw.Car, given: Any) -> None:
    with pytest.raises(sw.InputError, match=r"^executor = .*: needs a concurrent.futures.Executor$"):
        sw.sweep(car, {ROD: [0.0]}, outputs="toe", executor=given)
