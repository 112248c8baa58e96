"""SciPy beside the library and Ceres's TinySolver in one process, accuracy first; then time as seen from Python.

bench.py FOLDER: where shimwise_bench_module was built.
"""

from __future__ import annotations

import statistics
import sys
import time
import tomllib
from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import root

import shimwise as sw

Array = NDArray[np.float64]

REPETITIONS = 11
STATES = 20_000  # of the library and TinySolver in one repetition
SCIPY_STATES = 101  # neighbours in the sweep
LEAST_TIMES_SCIPY = 1300.0
LEAST_TIMES_TINY_SOLVER = 12.0
STEP_MM = 0.02  # of track rod, each way
XTOL = 1e-11  # leaves 1e-9 mm

TRAVELS = 1_000_000
MOST_PER_TRAVEL_US = 0.4
CALL = 61
MOST_PER_CALL_MS = 1.5


class ScipyCorner:
    """The front left corner as drawn: six equations in the upright's rotation and its wheel centre.

    Five lengths and the contact's height are residuals in mm; the rotation is Cayley's, as TinySolver's is.
    """

    def __init__(self, car_file: str) -> None:
        with open(car_file, "rb") as file:  # noqa: PTH123 - TOML is read as bytes
            car = tomllib.load(file)
        corner, disc = car["front_left"], car["setup_wheel"]["front"]
        upper, lower, rod = corner["upper_wishbone"], corner["lower_wishbone"], corner["track_rod"]
        centre = np.array(corner["wheel"]["centre"])
        self.chassis = np.array([upper["front"], upper["rear"], lower["front"], lower["rear"], rod["inner"]])
        outer = np.array([upper["outer"], upper["outer"], lower["outer"], lower["outer"], rod["outer"]])
        self.upright = outer - centre
        self.length = np.linalg.norm(outer - self.chassis, axis=1)
        toe, camber = np.radians([corner["wheel"]["toe_deg"], corner["wheel"]["camber_deg"]])
        axis = np.array([np.tan(toe), 1.0, -np.tan(camber)])
        self.axis = axis / np.linalg.norm(axis)
        self.radius, self.half_width, self.offset = disc["radius_mm"], disc["width_mm"] / 2, disc["offset_mm"]
        self.start = np.concatenate([np.zeros(3), centre])

    @staticmethod
    def rotation(p: Array) -> Array:
        x, y, z = p.tolist()
        s = 2.0 / (1.0 + x * x + y * y + z * z)
        return np.array(
            [
                [1 - s * (y * y + z * z), s * (x * y - z), s * (x * z + y)],
                [s * (x * y + z), 1 - s * (x * x + z * z), s * (y * z - x)],
                [s * (x * z - y), s * (y * z + x), 1 - s * (x * x + y * y)],
            ]
        )

    def residual(self, x: Array, length: Array, height: float) -> Array:
        turned = self.rotation(x[:3])
        between = self.upright @ turned.T + (x[3:] - self.chassis)
        result = np.empty(6)
        result[:5] = (np.einsum("ij,ij->i", between, between) - length * length) * (0.5 / length)
        lean = float(turned[2] @ self.axis)
        edge = self.offset - np.copysign(self.half_width, lean)
        result[5] = x[5] + lean * edge - self.radius * (1.0 - lean * lean) ** 0.5 - height
        return result

    def solved(self, start: Array, length: Array, height: float) -> Array:
        return root(self.residual, start, (length, height), method="hybr", options={"xtol": XTOL}).x

    def angles(self, x: Array) -> Array:
        axis = self.rotation(x[:3]) @ self.axis
        return np.degrees(np.arctan2([axis[0], -axis[2]], axis[1]))

    def state(self, x: Array, height: float) -> tuple[Array, Array, Array]:
        """Return the pose, toe and camber, and their central differences by the track rod; x is a near pose."""
        x = self.solved(x, self.length, height)
        step = np.array([0.0, 0.0, 0.0, 0.0, STEP_MM])
        more, less = (self.angles(self.solved(x, self.length + way * step, height)) for way in (1.0, -1.0))
        return x, self.angles(x), (more - less) / (2.0 * STEP_MM)

    def accuracy(self, expected: list[Any]) -> tuple[float, float, float]:
        """Largest residual (mm) and differences of angles (deg) and sensitivities (deg/mm) over the sweep."""
        x = self.start
        worst = np.zeros(3)
        for wanted in expected:
            x, angles, rates = self.state(x, wanted.contact_height_mm)
            off = (
                np.abs(self.residual(x, self.length, wanted.contact_height_mm)).max(),
                np.abs(angles - [wanted.toe_deg, wanted.camber_deg]).max(),
                np.abs(rates - [wanted.toe_deg_per_mm, wanted.camber_deg_per_mm]).max(),
            )
            worst = np.maximum(worst, off)
        return tuple(worst)

    def microseconds(self, expected: list[Any]) -> float:
        """Return the time of a state, every one started from its neighbour."""
        heights = [wanted.contact_height_mm for wanted in expected]
        x = self.solved(self.start, self.length, heights[0])
        start = time.perf_counter()
        for height in heights:
            x, _angles, _rates = self.state(x, height)
        return (time.perf_counter() - start) / len(heights) * 1e6


def beside_peers(module: Any, car_file: str) -> None:
    expected = module.expected(car_file)
    scipy = ScipyCorner(car_file)
    print(f"{'largest differences':<22} {'lengths, mm':>14} {'angles, deg':>14} {'deg per mm':>14}")
    for row in module.accuracies(car_file):
        print(f"{row.name:<22} {row.residual_mm:14.1e} {row.angle_deg:14.1e} {row.rate:14.1e}")
    residual, angle, rate = scipy.accuracy(expected)
    print(f"{'SciPy root(hybr)':<22} {residual:14.1e} {angle:14.1e} {rate:14.1e}\n")

    rows = {row.name: row for row in module.rows(car_file)}
    middle = expected[len(expected) // 2 :][:SCIPY_STATES]
    own, tiny, peer = [], [], []
    for _ in range(REPETITIONS):
        own.append(rows["one_sensitivity"].microseconds(STATES))
        tiny.append(rows["tiny_solver"].microseconds(STATES))
        peer.append(scipy.microseconds(middle))
    print(f"{'one sensitivity':<22} {'us/state':>14} {'x the library':>14} {'aim':>14}")
    print(f"{'table of starts':<22} {statistics.median(own):14.3f}")
    for name, times, least in (
        ("Ceres TinySolver", tiny, LEAST_TIMES_TINY_SOLVER),
        ("SciPy root(hybr)", peer, LEAST_TIMES_SCIPY),
    ):
        ratio = statistics.median(a / b for a, b in zip(times, own, strict=True))
        print(f"{name:<22} {statistics.median(times):14.3f} {ratio:14.1f} {least:14.0f}")
    print()


def seconds(call: Callable[[], object], times: int) -> float:
    """Return the median time of some calls, after one that is not counted."""
    call()
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        call()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def from_python() -> None:
    corner = sw.demo_car().front_left
    travel_mm = np.linspace(-30.0, 30.0, TRAVELS)
    few_mm = travel_mm[:: TRAVELS // CALL]
    few = corner.alignment(travel_mm=few_mm)
    many = corner.alignment(travel_mm=travel_mm).isel(travel_mm=slice(None, None, TRAVELS // CALL))
    off = float(np.abs(many["toe_deg"].to_numpy() - few["toe_deg"].to_numpy()).max())
    print(f"alignment of {TRAVELS:,} travels and of {few_mm.size}: toe differs by {off:.1e} deg at most")
    per_state_us = seconds(lambda: corner.alignment(travel_mm=travel_mm), 5) / TRAVELS * 1e6
    print(f"alignment of {TRAVELS:,} travels: {per_state_us:.3f} us a state (aim {MOST_PER_TRAVEL_US})")
    small_mm = np.linspace(-30.0, 30.0, CALL)
    per_call_ms = seconds(lambda: corner.alignment(travel_mm=small_mm), 101) * 1e3
    print(f"alignment of {CALL} travels: {per_call_ms:.2f} ms a call (aim {MOST_PER_CALL_MS})")


def main() -> None:
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    sys.path.insert(0, sys.argv[1])
    import shimwise_bench_module  # its folder is the argument

    beside_peers(shimwise_bench_module, str(sw.demo_files().car))
    from_python()


if __name__ == "__main__":
    main()
