"""Time of sweeps of the demo car: a state, beside C++, by threads and processes, by the number of states, beside SciPy.

Medians of interleaved repetitions; ratios are paired within each. SHIMWISE_SIZE=full writes 100,000,000 states too.
"""

from __future__ import annotations

import multiprocessing
import os
import resource
import statistics
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from multiprocessing.synchronize import Barrier
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

import shimwise as sw
from shimwise.sweeps.asked import threads_of
from shimwise.sweeps.planned import Planned, planned_sweep

Array = NDArray[np.float64]
Call = Callable[[], object]

REPETITIONS = 7
MOST_S = 0.3  # of one repetition of a state's time
ROD, SHIM, TRAVEL = "front_left.track rod", "front_left.camber shim", "travel_mm"
TOE, CAMBER = "front_left.toe", "front_left.camber"
RODS, PACKS_MM = [-0.5, 0.0, 0.5], [2.0, 2.5, 3.0]
WITHIN_MM = 0.5  # points

MANY = 1_000_000
ROW = 1000  # travels of a setting of the track rod
MOST_TIMES_COMPILED = 1.3
LEAST_OF_PROCESSES = 0.95

IN_MEMORY = [1000, 10_000, 100_000, 1_000_000]
LINEAR_FROM = 10_000
SLOPE = "1 +- 0.05"
STREAMED = [1_000_000, 10_000_000]
STREAMED_IN_FULL = 100_000_000
STREAMED_REPETITIONS = 3  # each in a process of its own

SCIPY_TRAVELS = 100  # neighbours, for each of RODS; an even number leaves out the drawing, where SciPy gets stuck

FRESH = multiprocessing.get_context("forkserver")  # a child that is executed counts its parent's memory as its own


class Sweep(NamedTuple):
    """What is asked for."""

    inputs: dict[str, Any]
    options: dict[str, Any]

    def whole(self, car: sw.Car, threads: int) -> Call:
        """From Python, from names to a Dataset."""
        return lambda: sw.sweep(car, self.inputs, threads=threads, **self.options)

    def planned(self, car: sw.Car, threads: int) -> Planned:
        """The same before it is worked out."""
        left_out = {"hold": None, "moved": None, "change": False, "at_hand": False, "executor": None}
        undrawn = {"sample": None, "by": "latin_hypercube", "seed": 0}
        return planned_sweep(car, self.inputs, threads=threads, **(left_out | undrawn | self.options))


def corner(_car: sw.Car, count: int) -> Sweep:
    settings = {ROD: np.linspace(-0.5, 0.5, count), SHIM: PACKS_MM}
    return Sweep({**settings, TRAVEL: np.linspace(-20.0, 20.0, 61)}, {"outputs": [TOE, CAMBER]})


def corner_as_built(car: sw.Car, count: int) -> Sweep:
    return moved_corner(car, count, "built")


def corner_as_drawn(car: sw.Car, count: int) -> Sweep:
    return moved_corner(car, count, "drawn")


def moved_corner(car: sw.Car, count: int, moved: str) -> Sweep:
    points = sw.points_within(car, WITHIN_MM, ["front_left"])
    inputs = {**points, ROD: RODS, SHIM: PACKS_MM, TRAVEL: np.linspace(-20.0, 20.0, 7)}
    return Sweep(inputs, {"outputs": [TOE, CAMBER], "sample": count, "moved": moved, "change": list(points)})


def at_rest(_car: sw.Car, count: int) -> Sweep:
    pads = {"pad.front_left": np.linspace(-1.0, 1.0, count), "pad.rear_right": [-1.0, 0.0, 1.0]}
    return Sweep({**pads, ROD: RODS, SHIM: PACKS_MM}, {"outputs": ["cross_weight", TOE], "hold": "rest"})


def built_at_rest(car: sw.Car, count: int) -> Sweep:
    drawn = {"sample": count, "moved": "built", "change": True}
    return Sweep({**sw.points_within(car, WITHIN_MM)}, {"outputs": ["cross_weight", TOE], "hold": "rest", **drawn})


KINDS = {
    "corner: rods, packs, travels": corner,
    "corner: points as built, the same": corner_as_built,
    "corner: points as drawn, the same": corner_as_drawn,
    "at rest: pads, rods, packs": at_rest,
    "at rest: all points as built": built_at_rest,
}


def rods(states: int) -> Array:
    """Settings of the track rod, of a row of travels each."""
    return np.linspace(-0.5, 0.5, states // ROW)


def bump(rods: Array) -> Sweep:
    """The cheapest kind: toe over settings of a track rod and travel."""
    return Sweep({ROD: rods, TRAVEL: np.linspace(-20.0, 20.0, ROW)}, {"outputs": [TOE]})


def seconds(call: Call) -> float:
    start = time.perf_counter()
    found = call()
    taken = time.perf_counter() - start
    del found  # not within the time
    return taken


def fitting(kind: Callable[[sw.Car, int], Sweep], car: sw.Car) -> Sweep:
    """As many states as can be worked out in a repetition."""
    count = 2
    while True:
        call = kind(car, 2 * count).whole(car, 1)
        if min(seconds(call), seconds(call)) > MOST_S:  # the first may import, or be held up
            return kind(car, count)
        count *= 2


def print_beside_compiled(name: str, sweep: Sweep, car: sw.Car, threads: int, aim: str = "") -> None:
    """From names to a Dataset, and the one call into C++ that this comes down to, with new room for the results."""
    whole, planned = sweep.whole(car, threads), sweep.planned(car, threads)
    work, given, states = planned.asked.work(planned.columns), planned.grid.given, planned.grid.states
    pairs = [(seconds(whole), seconds(lambda: work.done(given))) for _ in range(REPETITIONS)]
    own, compiled = (statistics.median(times) / states * 1e6 for times in zip(*pairs, strict=True))
    ratio = statistics.median(a / b for a, b in pairs)
    print(f"{name:<36} {states:12,} {threads:8} {own:10.3f} {compiled:10.3f} {ratio:7.2f} {aim:>14}")


def a_state(car: sw.Car) -> None:
    columns = f"{'states':>12} {'threads':>8} {'sw.sweep':>10} {'C++':>10} {'ratio':>7} {'aim':>14}"
    print(f"{'microseconds a state':<36} {columns}")
    for name, kind in KINDS.items():
        print_beside_compiled(name, fitting(kind, car), car, 1)
    for threads in sorted({1, threads_of(None)}):
        aim = f"at most {MOST_TIMES_COMPILED}"
        print_beside_compiled("corner: rods, travels; toe alone", bump(rods(MANY)), car, threads, aim)
    print()


class Worker:
    """What a process keeps between its tasks."""

    both_ready: Barrier

    @classmethod
    def make(cls, both_ready: Barrier) -> None:
        cls.both_ready = both_ready


def span(part: Array) -> tuple[float, float]:
    """When this worker began with its part, both being ready, and when it ended, by the machine's clock."""
    call = bump(part).whole(sw.demo_car(), 1)
    Worker.both_ready.wait()
    start = time.monotonic()
    taken = seconds(call)
    return start, start + taken


def beside_processes(car: sw.Car) -> None:
    parts = np.array_split(rods(MANY), 2)
    by_threads = bump(rods(MANY)).whole(car, 2)
    threads, processes = [], []
    with ProcessPoolExecutor(2, FRESH, Worker.make, (FRESH.Barrier(2, timeout=60.0),)) as pool:
        list(pool.map(span, parts))  # the first is not counted
        for _ in range(REPETITIONS):
            threads.append(seconds(by_threads))
            starts, ends = zip(*pool.map(span, parts), strict=True)
            processes.append(max(ends) - min(starts))
    ratio = statistics.median(b / a for a, b in zip(threads, processes, strict=True))
    print(f"{f'{MANY:,} states of a corner':<36} {'states/s':>12} {'ratio':>8} {'aim':>14}")
    print(f"{'two processes of one thread':<36} {MANY / statistics.median(processes):12,.0f}")
    aim = f"at least {LEAST_OF_PROCESSES}"
    print(f"{'two threads of one process':<36} {MANY / statistics.median(threads):12,.0f} {ratio:8.2f} {aim:>14}\n")


def slope(times: dict[int, float]) -> float:
    """Of log time over log states, by least squares."""
    return float(np.polyfit(np.log(list(times)), np.log(list(times.values())), 1)[0])


def in_memory(car: sw.Car) -> None:
    calls = {states: bump(rods(states)).whole(car, 1) for states in IN_MEMORY}
    taken: dict[int, list[float]] = {states: [] for states in calls}
    for _ in range(REPETITIONS):
        for states, call in calls.items():
            taken[states].append(seconds(call))
    times = {states: statistics.median(each) for states, each in taken.items()}
    print(f"{'in memory, one thread: states':<36} {'ms':>12} {'us/state':>10}")
    for states, time_s in times.items():
        print(f"{states:<36,} {time_s * 1e3:12.2f} {time_s / states * 1e6:10.3f}")
    print_slope({states: time_s for states, time_s in times.items() if states >= LINEAR_FROM})


def print_slope(times: dict[int, float]) -> None:
    print(f"{f'log time by log states from {min(times):,}':<36} {slope(times):12.3f} {f'(aim {SLOPE})':>20}\n")


def written(states: int) -> tuple[float, float]:
    """Seconds of a sweep that is written as it goes, and the peak of the memory of this process in MB."""
    car, sweep = sw.demo_car(), bump(rods(states))
    with tempfile.TemporaryDirectory() as folder:
        sw.sweep(car, {TRAVEL: [0.0, 1.0]}, outputs=TOE, out=f"{folder}/imports.zarr")
        taken = seconds(lambda: sw.sweep(car, sweep.inputs, threads=1, out=f"{folder}/bump.zarr", **sweep.options))
    return taken, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024 / 1e6


def larger_than_memory() -> None:
    """Into a folder; what does not fit onto the disk the sweep itself refuses before it begins."""
    most = STREAMED_IN_FULL if os.environ.get("SHIMWISE_SIZE") == "full" else STREAMED[-1]
    runs: dict[int, list[tuple[float, float]]] = {states: [] for states in sorted({*STREAMED, most})}
    for _ in range(STREAMED_REPETITIONS):
        for states, each in runs.items():
            with ProcessPoolExecutor(1, FRESH) as fresh:
                each.append(fresh.submit(written, states).result())
    times = {states: statistics.median(time_s for time_s, _ in each) for states, each in runs.items()}
    peaks = {states: statistics.median(peak_mb for _, peak_mb in each) for states, each in runs.items()}
    print(f"{'into a folder, one thread: states':<36} {'s':>12} {'us/state':>10} {'peak, MB':>10} {'x the least':>12}")
    for states, time_s in times.items():
        times_least = peaks[states] / peaks[min(peaks)]
        print(f"{states:<36,} {time_s:12.2f} {time_s / states * 1e6:10.3f} {peaks[states]:10.1f} {times_least:12.2f}")
    print_slope(times)


def beside_scipy(car: sw.Car) -> None:
    """Each setting of the rod by itself, every state started from its neighbour, the contact held."""
    from bench import ScipyCorner  # brings SCIP with it, which no other process here needs

    peer = ScipyCorner(str(sw.demo_files().car))
    travel_mm = np.linspace(-20.0, 20.0, SCIPY_TRAVELS)
    heights = -sw.sweep(car, {TRAVEL: travel_mm}, outputs="front_left.chassis_height")["front_left.chassis_height_mm"]
    held: dict[str, Any] = {"outputs": [TOE, CAMBER], "hold": "contact"}
    sample = sw.sweep(car, {ROD: RODS, TRAVEL: travel_mm}, **held)
    wanted = np.stack([sample[f"{name}_deg"].values for name in (TOE, CAMBER)], axis=-1)
    thread: Any = car.adjuster(ROD).setting
    lengths = [peer.rod + turns * thread.lead_mm for turns in RODS]

    def solved() -> list[list[Array]]:
        found: list[list[Array]] = []
        for length in lengths:
            x = peer.solved(peer.start, length, heights.values[0])
            found.append([])
            for height in heights.values.tolist():
                x = peer.solved(x, length, height)
                found[-1].append(peer.angles(x))
        return found

    worst = np.abs(np.array(solved()) - wanted).max(axis=(0, 1))
    many = Sweep({ROD: rods(MANY // 10), TRAVEL: np.linspace(-20.0, 20.0, ROW)}, held)
    whole, states, few = many.whole(car, 1), MANY // 10, sample.status.size
    pairs = [(seconds(whole) / states * 1e6, seconds(solved) / few * 1e6) for _ in range(REPETITIONS)]
    own, scipy = (statistics.median(times) for times in zip(*pairs, strict=True))
    ratio = statistics.median(b / a for a, b in pairs)
    print(f"{'corner: rods, travels, contact held':<36} {'states':>12} {'us/state':>10} {'x sw.sweep':>11}")
    print(f"{'sw.sweep, one thread':<36} {states:12,} {own:10.3f}")
    print(f"{'SciPy root(hybr)':<36} {few:12,} {scipy:10.3f} {ratio:11.1f}")
    print(f"largest differences of both: toe {worst[0]:.1e} deg, camber {worst[1]:.1e} deg")


def main() -> None:
    car = sw.demo_car()
    a_state(car)
    beside_processes(car)
    in_memory(car)
    larger_than_memory()
    beside_scipy(car)


if __name__ == "__main__":
    main()
