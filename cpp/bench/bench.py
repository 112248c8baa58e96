"""SciPy and SCIP beside the library and Ceres's TinySolver in one process, accuracy first; then time from Python.

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
from pyscipopt import Model, quicksum
from scipy.optimize import root

import shimwise as sw
from shimwise import _core

Array = NDArray[np.float64]

REPETITIONS = 11
STATES = 20_000  # of the library and TinySolver in one repetition
SCIPY_STATES = 101  # neighbours in the sweep
LEAST_TIMES_SCIPY = 1300.0
LEAST_TIMES_TINY_SOLVER = 12.0
STEP_MM = 0.02  # of track rod, each way
XTOL = 1e-10  # leaves 1e-9 mm

REST_STATES = 40  # other pads in each
REST_OWN_STATES = 500
LEVER_MM = 1000.0  # angles as mm at this lever

SCIP_PROBLEMS = 10  # of each kind
NODES = 10**9
LEAST_TIMES_SCIP = 2000.0

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
        self.chassis = [upper["front"], upper["rear"], lower["front"], lower["rear"], rod["inner"]]
        outer = np.array([upper["outer"], upper["outer"], lower["outer"], lower["outer"], rod["outer"]])
        self.upright = (outer - centre).tolist()
        *self.length, self.rod = np.linalg.norm(outer - self.chassis, axis=1).tolist()
        toe, camber = np.radians([corner["wheel"]["toe_deg"], corner["wheel"]["camber_deg"]])
        axis = np.array([np.tan(toe), 1.0, -np.tan(camber)])
        self.axis = (axis / np.linalg.norm(axis)).tolist()
        self.radius, self.half_width, self.offset = disc["radius_mm"], disc["width_mm"] / 2, disc["offset_mm"]
        self.start = np.concatenate([np.zeros(3), centre])

    @staticmethod
    def rotation(x: float, y: float, z: float) -> tuple[float, ...]:
        """Return the nine entries by rows; plain floats, since arrays of three cost more than what they compute."""
        s = 2.0 / (1.0 + x * x + y * y + z * z)
        xx, yy, zz, xy, xz, yz = s * x * x, s * y * y, s * z * z, s * x * y, s * x * z, s * y * z
        x, y, z = s * x, s * y, s * z
        return 1.0 - yy - zz, xy - z, xz + y, xy + z, 1.0 - xx - zz, yz - x, xz - y, yz + x, 1.0 - xx - yy

    def residual(self, q: Array, rod: float, height: float) -> list[float]:
        """Return the five lengths' errors, the track rod's length being `rod`, and the height's."""
        x, y, z, cx, cy, cz = q.tolist()
        a, b, c, d, e, f, g, h, i = self.rotation(x, y, z)
        result = []
        for (u, v, w), (px, py, pz), length in zip(self.upright, self.chassis, (*self.length, rod), strict=True):
            dx = a * u + b * v + c * w + cx - px
            dy = d * u + e * v + f * w + cy - py
            dz = g * u + h * v + i * w + cz - pz
            result.append((dx * dx + dy * dy + dz * dz - length * length) * (0.5 / length))
        u, v, w = self.axis
        lean = g * u + h * v + i * w
        edge = self.offset - (self.half_width if lean > 0.0 else -self.half_width)
        result.append(cz + lean * edge - self.radius * (1.0 - lean * lean) ** 0.5 - height)
        return result

    def solved(self, start: Array, rod: float, height: float) -> Array:
        found: Array = root(self.residual, start, (rod, height), method="hybr", options={"xtol": XTOL}).x
        return found

    def angles(self, q: Array) -> Array:
        turned = np.reshape(self.rotation(*q[:3].tolist()), (3, 3)) @ self.axis
        return np.degrees(np.arctan2([turned[0], -turned[2]], turned[1]))

    def state(self, q: Array, height: float) -> tuple[Array, Array, Array]:
        """Return the pose, toe and camber, and their central differences by the track rod; q is a near pose."""
        q = self.solved(q, self.rod, height)
        more, less = (self.angles(self.solved(q, self.rod + way * STEP_MM, height)) for way in (1.0, -1.0))
        return q, self.angles(q), (more - less) / (2.0 * STEP_MM)

    def accuracy(self, expected: list[Any]) -> tuple[float, float, float]:
        """Largest residual (mm) and differences of angles (deg) and sensitivities (deg/mm) over the sweep."""
        x = self.start
        worst = np.zeros(3)
        for wanted in expected:
            x, angles, rates = self.state(x, wanted.contact_height_mm)
            off = (
                np.max(np.abs(self.residual(x, self.rod, wanted.contact_height_mm))),
                np.abs(angles - [wanted.toe_deg, wanted.camber_deg]).max(),
                np.abs(rates - [wanted.toe_deg_per_mm, wanted.camber_deg_per_mm]).max(),
            )
            worst = np.maximum(worst, off)
        residual_mm, angle_deg, rate = worst.tolist()
        return residual_mm, angle_deg, rate

    def microseconds(self, expected: list[Any]) -> float:
        """Return the time of a state, every one started from its neighbour."""
        heights = [wanted.contact_height_mm for wanted in expected]
        x = self.solved(self.start, self.rod, heights[0])
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


class ScipyRest:
    """The demo car at rest: SciPy's root over height, pitch and roll of the slope of its energy.

    The corners in the loop are the library's, closed form once their arms are found.
    """

    def __init__(self, car: sw.Car) -> None:
        self.model = _core.rest_model(car.core)
        level = _core.rest(self.model, [0.0] * 4).pose
        self.level = [level.height_mm, level.pitch_rad * LEVER_MM, level.roll_rad * LEVER_MM]

    def slope(self, q: Array, pads_mm: list[float]) -> Array:
        pose = _core.ChassisPose(q[0], q[1] / LEVER_MM, q[2] / LEVER_MM)
        return np.asarray(_core.rest_energy(self.model, pose, pads_mm).gradient[:3]) / [1.0, LEVER_MM, LEVER_MM]

    def solved(self, pads_mm: list[float]) -> Array:
        """From the car on level pads, with short first steps: from the drawing it leaves the linkages."""
        options = {"xtol": XTOL, "factor": 0.1}
        found: Array = root(self.slope, self.level, (pads_mm,), method="hybr", options=options).x
        return found


def rest_beside_scipy(module: Any, car_file: str) -> None:
    scipy = ScipyRest(sw.load_car(car_file))
    rng = np.random.default_rng(5)
    pads = rng.uniform(-0.5, 0.5, (REST_STATES, 4)).tolist()
    worst = 0.0
    for pads_mm in pads:
        pose, found = _core.rest(scipy.model, pads_mm).pose, scipy.solved(pads_mm)
        ours = [pose.height_mm, pose.pitch_rad * LEVER_MM, pose.roll_rad * LEVER_MM]
        worst = max(worst, float(np.abs(found - ours).max()))
    rows = {row.name: row for row in module.rows(car_file)}
    print(f"the car at rest: poses differ by {worst:.1e} mm at most (angles over a metre)")
    times: dict[str, list[float]] = {"rest": [], "rest_table": [], "SciPy root(hybr)": []}
    for _ in range(REPETITIONS):
        for name in ("rest", "rest_table"):
            times[name].append(rows[name].microseconds(REST_OWN_STATES))
        start = time.perf_counter()
        for pads_mm in pads:
            scipy.solved(pads_mm)
        times["SciPy root(hybr)"].append((time.perf_counter() - start) / len(pads) * 1e6)
    for name, taken in times.items():
        ratio = statistics.median(a / b for a, b in zip(taken, times["rest"], strict=True))
        print(f"{name:<22} {statistics.median(taken):14.1f} us {ratio:10.1f} x rest")
    print()


def of_scip(problem: Any) -> tuple[float, float]:
    """Seconds that SCIP takes for the best of a problem, and what its point costs, computed here."""
    model = Model()
    model.hideOutput()
    model.setParam("limits/gap", 0.0)
    x = [model.addVar(vtype="I", lb=values[0], ub=values[-1]) for values in problem.allowed]
    misses = [model.addVar(lb=None) for _ in problem.b]
    for row, wanted, miss in zip(problem.A.tolist(), problem.b.tolist(), misses, strict=True):
        model.addCons(quicksum(a * one for a, one in zip(row, x, strict=True) if a != 0.0) - wanted == miss)
    cost = model.addVar()
    model.addCons(quicksum(miss * miss for miss in misses) <= cost)
    model.setObjective(cost)
    start = time.perf_counter()
    model.optimize()
    taken = time.perf_counter() - start
    point = np.rint([model.getVal(one) for one in x])
    return taken, float(np.sum((problem.A @ point - problem.b) ** 2))


def integers_beside_scip(module: Any) -> None:
    """SCIP seeks the best, the library the best and the runner-up, each problem by both, its model being there."""
    print(f"{'closest whole numbers':<22} {'ms/problem':>14} {'x the library':>14} {'aim':>14}")
    for kind in module.integer_kinds():
        own, peer = [], []
        for problem in kind.problems[:SCIP_PROBLEMS]:
            given = problem.A, problem.b, problem.allowed
            found = sw.closest_integers(*given)
            taken, cost = of_scip(problem)
            if not (found.proven and found.cost[0] <= cost + 1e-9 * (1.0 + cost)):
                sys.exit(f"{kind.name}: SCIP's point costs {cost}, ours {found.cost[0]}")
            own.append(seconds(lambda given=given: _core.integer_least_squares(*given, 2, NODES), 5))
            peer.append(taken)
        ratio = statistics.median(a / b for a, b in zip(peer, own, strict=True))
        print(f"{kind.name:<22} {statistics.median(own) * 1e3:14.3f}")
        print(f"{'  SCIP':<22} {statistics.median(peer) * 1e3:14.1f} {ratio:14.0f} {LEAST_TIMES_SCIP:14.0f}")
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
    rest_beside_scipy(shimwise_bench_module, str(sw.demo_files().car))
    integers_beside_scip(shimwise_bench_module)
    from_python()


if __name__ == "__main__":
    main()
