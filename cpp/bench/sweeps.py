"""Time of sweeps of the demo car: a state, beside C++, by threads and processes, by the number of states, beside peers.

Medians of interleaved repetitions; ratios are paired within each. SHIMWISE_SIZE=full writes 100,000,000 states too.
"""

from __future__ import annotations

import multiprocessing
import os
import resource
import statistics
import tempfile
import time
from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from multiprocessing.synchronize import Barrier
from typing import Any, NamedTuple

import numpy as np
import xarray as xr
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

SMOOTH = "smooth"
PEER_TRAVELS = 100  # neighbours, for each of RODS; an even number leaves out the drawing, where SciPy gets stuck

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


class States(NamedTuple):
    """Settings and travels in a row, maybe with points drawn elsewhere in each."""

    rods: Array
    travel_mm: Array
    by_mm: dict[str, Array]  # points and (states, 3)

    @property
    def sweep(self) -> Sweep:
        """Of all of them, the contact held."""
        columns = {ROD: self.rods, TRAVEL: self.travel_mm}
        for point, moves in self.by_mm.items():
            columns |= {f"front_left.{point}.{axis}": moves[:, k] for k, axis in enumerate("xyz")}
        inputs = {name: xr.DataArray(values, dims="state") for name, values in columns.items()}
        moved = {"moved": "drawn", "change": list(inputs)[2:]} if self.by_mm else {}
        return Sweep(inputs, {"outputs": [TOE, CAMBER], "hold": "contact", **moved})

    def shuffled(self) -> States:
        order = np.random.default_rng(1).permutation(self.rods.size)
        return self._replace(rods=self.rods[order], travel_mm=self.travel_mm[order])

    def drawn_elsewhere(self, points: Iterable[str]) -> States:
        rng = np.random.default_rng(2)
        moves = {point: rng.uniform(-WITHIN_MM, WITHIN_MM, (self.rods.size, 3)) for point in points}
        return self._replace(by_mm=moves)


def smooth(travels: int, rods: int) -> States:
    """Travels that follow each other, of one setting after the other."""
    turns, travel_mm = np.meshgrid(np.linspace(-0.5, 0.5, rods), np.linspace(-20.0, 20.0, travels), indexing="ij")
    return States(turns.ravel(), travel_mm.ravel(), {})


class Peer(NamedTuple):
    """One of the peers with what it knows of the car."""

    kind: Any
    drawn: Any
    lead_mm: float  # of the track rod

    def angles(self, states: States, heights: list[float], warm: bool) -> Array:
        """Toe and camber; warm: each state starts from the one before. What it makes of new points counts."""
        moves = [{point: by[k] for point, by in states.by_mm.items()} for k in range(states.rods.size)]
        found, x, corner = [], None, self.kind(self.drawn)
        for by, turns, height in zip(moves, states.rods.tolist(), heights, strict=True):
            if by:
                corner = self.kind(self.drawn.moved(by))
            start = corner.start if x is None or not warm else x
            x = corner.solved(start, corner.rod + turns * self.lead_mm, height)
            found.append(corner.angles(x))
        return np.array(found)


def print_beside_peers(car: sw.Car, order: str, some: States, many: States, peers: list[Peer]) -> None:
    """Many states by us, some by the peers; these are held against ours."""
    at = sw.sweep(car, {TRAVEL: some.sweep.inputs[TRAVEL]}, outputs="front_left.chassis_height")
    heights = (-at["front_left.chassis_height_mm"].values).tolist()
    found = some.sweep.whole(car, 1)()
    wanted = np.stack([found[f"{name}_deg"].values for name in (TOE, CAMBER)], axis=-1)
    ours = many.sweep.whole(car, 1)
    own: list[float] = []
    taken: list[list[float]] = [[] for _ in peers]
    for _ in range(REPETITIONS):
        own.append(seconds(ours) / many.rods.size * 1e6)
        for peer, times in zip(peers, taken, strict=True):
            times.append(seconds(partial(peer.angles, some, heights, order == SMOOTH)) / some.rods.size * 1e6)
    print(f"{f'{order}: sw.sweep, one thread':<36} {many.rods.size:12,} {statistics.median(own):10.3f}")
    for peer, times in zip(peers, taken, strict=True):
        ratio = statistics.median(b / a for a, b in zip(own, times, strict=True))
        off = np.abs(peer.angles(some, heights, order == SMOOTH) - wanted).max()
        name = f"  {peer.kind.name}"
        print(f"{name:<36} {some.rods.size:12,} {statistics.median(times):10.3f} {ratio:11.1f} {off:10.1e}")


def beside_peers(car: sw.Car) -> None:
    """In smooth order a peer starts from its neighbour, otherwise from the drawing."""
    from peers import ENDS, LINKS, PEERS, drawn_corner  # bring with them what no other process here needs

    thread: Any = car.adjuster(ROD).setting
    peers = [Peer(kind, drawn_corner(str(sw.demo_files().car)), thread.lead_mm) for kind in PEERS]
    some, many = smooth(PEER_TRAVELS, len(RODS)), smooth(ROW, MANY // 10 // ROW)
    points = sorted({*LINKS, *ENDS})
    print(f"{'toe and camber, contact held':<36} {'states':>12} {'us/state':>10} {'x sw.sweep':>11} {'off, deg':>10}")
    print_beside_peers(car, SMOOTH, some, many, peers)
    some, many = some.shuffled(), many.shuffled()
    print_beside_peers(car, "random order", some, many, peers)
    print_beside_peers(car, "new geometry", some.drawn_elsewhere(points), many.drawn_elsewhere(points), peers)


def main() -> None:
    car = sw.demo_car()
    a_state(car)
    beside_processes(car)
    in_memory(car)
    larger_than_memory()
    beside_peers(car)


if __name__ == "__main__":
    main()
