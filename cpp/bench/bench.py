"""SciPy, Pinocchio, SCIP beside the library and Ceres's TinySolver in one process, accuracy first; then from Python.

bench.py FOLDER: where shimwise_bench_module was built.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray
from peers import PEERS, XTOL, Peer, drawn_corner
from pyscipopt import Model, quicksum
from scipy.optimize import root

import shimwise as sw
from shimwise import _core

Array = NDArray[np.float64]

REPETITIONS = 11
STATES = 20_000  # of the library and TinySolver in one repetition
PEER_STATES = 101  # neighbours in the sweep
LEAST_TIMES = {"Ceres TinySolver": 12, "SciPy root(hybr)": 1300}

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


def accuracy(peer: Peer, expected: list[Any]) -> tuple[float, float, float]:
    """Largest residual (mm) and differences of angles (deg) and sensitivities (deg/mm) over the sweep."""
    x = peer.start
    worst = np.zeros(3)
    for wanted in expected:
        x, angles, rates = peer.state(x, peer.rod, wanted.contact_height_mm)
        off = (
            np.max(np.abs(peer.residual(x, peer.rod, wanted.contact_height_mm))),
            np.abs(angles - [wanted.toe_deg, wanted.camber_deg]).max(),
            np.abs(rates - [wanted.toe_deg_per_mm, wanted.camber_deg_per_mm]).max(),
        )
        worst = np.maximum(worst, off)
    residual_mm, angle_deg, rate = worst.tolist()
    return residual_mm, angle_deg, rate


def microseconds(peer: Peer, expected: list[Any]) -> float:
    """Return the time of a state with its sensitivity, every one started from its neighbour."""
    heights = [wanted.contact_height_mm for wanted in expected]
    x = peer.solved(peer.start, peer.rod, heights[0])
    start = time.perf_counter()
    for height in heights:
        x, _angles, _rates = peer.state(x, peer.rod, height)
    return (time.perf_counter() - start) / len(heights) * 1e6


def beside_peers(module: Any, car_file: str) -> None:
    expected = module.expected(car_file)
    peers = [kind(drawn_corner(car_file)) for kind in PEERS]
    print(f"{'largest differences':<22} {'lengths, mm':>14} {'angles, deg':>14} {'deg per mm':>14}")
    for row in module.accuracies(car_file):
        print(f"{row.name:<22} {row.residual_mm:14.1e} {row.angle_deg:14.1e} {row.rate:14.1e}")
    for peer in peers:
        residual, angle, rate = accuracy(peer, expected)
        print(f"{peer.name:<22} {residual:14.1e} {angle:14.1e} {rate:14.1e}")
    print()

    rows = {row.name: row for row in module.rows(car_file)}
    middle = expected[len(expected) // 2 :][:PEER_STATES]
    own: list[float] = []
    times: dict[str, list[float]] = {"Ceres TinySolver": [], **{peer.name: [] for peer in peers}}
    for _ in range(REPETITIONS):
        own.append(rows["one_sensitivity"].microseconds(STATES))
        times["Ceres TinySolver"].append(rows["tiny_solver"].microseconds(STATES))
        for peer in peers:
            times[peer.name].append(microseconds(peer, middle))
    print(f"{'one sensitivity':<22} {'us/state':>14} {'x the library':>14} {'aim':>14}")
    print(f"{'table of starts':<22} {statistics.median(own):14.3f}")
    for name, each in times.items():
        ratio = statistics.median(a / b for a, b in zip(each, own, strict=True))
        print(f"{name:<22} {statistics.median(each):14.3f} {ratio:14.1f} {LEAST_TIMES.get(name, ''):>14}")
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
