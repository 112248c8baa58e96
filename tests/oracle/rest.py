"""The car at rest on its springs: minimum of potential energy over the pose of its chassis, by SciPy.

`rest(car)` takes a parsed car file. Loads are the derivative of the minimum by the height of each pad: by the envelope
theorem the energy's own slope by one corner's freedom, exact without any difference quotient.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.linalg import null_space
from scipy.optimize import minimize, root

from adjusters import Table
from car_table import CORNER_NAMES
from corner import NotAssembled
from rest_car import PENALTY_N_PER_MM, G, NotAtRest, RestCar, State
from rest_outputs import Rest, outputs_of
from vectors import Array

LEVER_MM = 1000.0  # angles are searched as mm at this lever, so that all slopes are newtons
STEP_MM = 1e-4  # of slopes, for their own slopes
BALANCED_N = 1e-7
ROUNDING_N = 1e-10


@dataclass
class Found:
    """A pose at rest and the pull of every closed droop stop."""

    state: State
    pull_N: dict[str, float]

    def load_N(self) -> dict[str, float]:
        """At the contacts: a stop that pulls takes load off its wheel."""
        stops = {name: pull * self.state.corner[name].length_rate for name, pull in self.pull_N.items()}
        return {name: load + stops.get(name, 0.0) for name, load in self.state.load_N.items()}


class Search:
    """Poses as lengths z = (height, 1000 pitch, 1000 roll[, 1000 twist]); states are kept by their z."""

    def __init__(self, car: RestCar) -> None:
        self.car = car
        self.scale = np.array([1.0, LEVER_MM, LEVER_MM, LEVER_MM][: car.freedoms])
        self.kept: dict[bytes, State] = {}

    def state(self, z: Array) -> State:
        key = z.tobytes()
        if key not in self.kept:
            (self.kept[key],) = self.states(z[None])
        return self.kept[key]

    def states(self, rows: Array) -> list[State]:
        return self.car.states(np.pad(rows / self.scale, ((0, 0), (0, 4 - rows.shape[1]))))

    def beside(self, z: Array) -> list[State]:
        """The states one step along each freedom."""
        return self.states(z + STEP_MM * np.eye(len(z)))

    def energy(self, z: Array) -> float:
        """Without end where the linkage does not close: no step is taken there."""
        try:
            return self.state(z).energy_Nmm
        except NotAssembled:
            return np.inf

    def slope(self, z: Array) -> Array:
        return np.asarray(self.state(z).slope / self.scale)

    def second(self, z: Array) -> Array:
        matrix = np.stack([s.slope / self.scale - self.slope(z) for s in self.beside(z)]) / STEP_MM
        return 0.5 * (matrix + matrix.T)

    def start(self) -> Array:
        """Where the wheels, with their present settings at travel 0, stand on their pads as well as a plane can."""
        contacts = np.array([corner.standing().contact for corner in self.car.corners.values()])
        rows = np.column_stack([np.ones(4), -contacts[:, 0] / LEVER_MM, contacts[:, 1] / LEVER_MM])
        pads = np.array([self.car.pads_mm[name] for name in self.car.corners])
        z = np.linalg.lstsq(rows, pads - contacts[:, 2], rcond=None)[0]
        return np.concatenate([z, np.zeros(self.car.freedoms - 3)])

    def minimum(self, start: Array) -> Array:
        """A minimum of the energy, good to a newton or so, with stiff springs for droop stops."""
        found = minimize(
            self.energy,
            start,
            jac=self.slope,
            hess=self.second,
            method="trust-exact",
            options={"initial_trust_radius": 5.0, "max_trust_radius": 30.0, "gtol": 0.1, "maxiter": 200},
        )
        if not np.max(np.abs(found.jac)) < 1.0:
            raise NotAtRest(f"no minimum of energy: {found.message}")
        return np.asarray(found.x)

    # With the droop stops as what they are -------------------------------------------------------------------------

    def conditions(self, state: State, pulls: dict[str, float]) -> Array:
        """Slopes of energy with the stops' pulls, and how far each closed stop is from its length."""
        slope = state.slope + sum(pull * state.length_slope[name] for name, pull in pulls.items())
        return np.concatenate([slope / self.scale, [self.past_mm(state, name) for name in pulls]])

    def past_mm(self, state: State, name: str) -> float:
        return state.corner[name].length_mm - self.car.longest_mm(name)

    def polished(self, z: Array, pulls: dict[str, float]) -> tuple[Array, dict[str, float]]:
        """Newton's method on the conditions until they shrink no more."""
        weights = np.array([1.0] * len(z) + [100.0] * len(pulls))
        best, worst_best = (z, pulls), np.inf
        for _ in range(12):
            state = self.state(z)
            now = self.conditions(state, pulls)
            worst = float(np.max(np.abs(weights * now)))
            if not worst < worst_best:
                break
            best, worst_best = (z, pulls), worst
            if worst < ROUNDING_N:
                break
            columns = [(self.conditions(s, pulls) - now) / STEP_MM for s in self.beside(z)]
            columns += [np.append(state.length_slope[name] / self.scale, np.zeros(len(pulls))) for name in pulls]
            try:
                step = np.linalg.solve(np.stack(columns, -1), now)
            except np.linalg.LinAlgError as error:
                raise NotAtRest(f"droop stops closed at {', '.join(pulls)}: {error}") from error
            z = z - step[: len(z)]
            pulls = dict(zip(pulls, np.array(list(pulls.values())) - step[len(z) :], strict=True))
        if not worst_best < BALANCED_N:
            raise NotAtRest(f"out of balance by {worst_best} N")
        return best

    def rest(self) -> Found:
        """Minimum of energy with struts no longer than their droop stops, each of which can only pull."""
        self.car.penalty, self.kept = PENALTY_N_PER_MM, {}
        z = self.minimum(self.start())
        over = {name: self.past_mm(self.state(z), name) for name in CORNER_NAMES}
        return self.near(z, {name: self.car.penalty * passed for name, passed in over.items() if passed > 0.0})

    def near(self, z: Array, pulls: dict[str, float]) -> Found:
        """The state of rest near a pose, beginning with these droop stops closed."""
        self.car.penalty, self.kept = 0.0, {}
        for _ in range(8):
            z, pulls = self.polished(z, pulls)
            state = self.state(z)
            wrong = {name for name, pull in pulls.items() if pull < 0.0}
            passed = {name for name in CORNER_NAMES if name not in pulls and self.past_mm(state, name) > 0.0}
            if not wrong | passed:
                return self.checked(Found(state, pulls))
            pulls = {n: pulls.get(n, 0.0) for n in CORNER_NAMES if n in (pulls.keys() - wrong) | passed}
        raise NotAtRest("droop stops: no set of closed ones is at rest")

    def checked(self, found: Found) -> Found:
        """Refuses what cannot stand so, by name and amount.

        Another assembly, a damper past its shortest, a spring left loose without a droop stop, a wheel off its pad.
        """
        for name, corner in self.car.corners.items():
            if not corner.same_assembly():
                raise NotAtRest(f"{name}: another assembly than drawn")
            short = self.car.shortest_mm(name) - found.state.corner[name].length_mm
            if not short <= 0.0:
                raise NotAtRest(f"{name}: the damper is {short} mm past its shortest")
            loose = found.state.corner[name].length_mm - self.car.struts[name].loose_mm
            if not (loose <= 0.0 or np.isfinite(self.car.longest_mm(name))):
                raise NotAtRest(f"{name}: the spring would have to pull, it is {loose} mm short of its seat")
        for name, load in found.load_N().items():
            if not load >= 0.0:
                raise NotAtRest(f"{name}: the wheel is off its pad, {-load} N would have to hold it down")
        return found


def set_masses(car: RestCar, file: Table) -> None:
    """Centre of gravity and springs from the file; scale readings are of the file's own settings and ballast."""
    if "cg_mm" in file["mass"]:
        car.set_cg(file["mass"]["cg_mm"])
        car.set_springs()
    else:
        cg, cross_weight = by_scales(file)
        car.set_cg(cg)
        car.set_springs(cross_weight)


def by_scales(file: Table) -> tuple[Array, float]:
    """Centre of gravity with which the loads at rest on level pads have the scales' moments.

    Where the car rests as drawn, its springs as drawn are loaded to the cross weight that gives the scales' own.
    """
    car = RestCar(file, {}, {})
    car.go_to_present()
    kg = np.array([file["mass"]["scales_kg"][name] for name in CORNER_NAMES], dtype=float)
    wanted = kg * G * file["mass"]["total_kg"] / kg.sum()
    with_warp = car.rests_as_drawn()
    search = Search(car)
    drawn = np.array([car.as_drawn[name].contact for name in CORNER_NAMES])
    cross = [1000.0 * (kg[1] + kg[2]) / kg.sum()] if with_warp else []
    guess = np.array([*(kg @ drawn[:, :2] / kg.sum()), *cross])

    def put(v: Array) -> None:
        car.set_cg(np.array([v[0], v[1], file["mass"]["cg_height_mm"]]))
        car.set_springs(v[2] / 1000.0 if with_warp else 0.5)

    put(guess)
    last = [search.rest()]

    def off(v: Array) -> Array:
        put(v)
        last[0] = found = search.near(last[0].state.pose[: car.freedoms] * search.scale, last[0].pull_N)
        differ = np.array([found.load_N()[name] for name in CORNER_NAMES]) - wanted
        warp = [differ @ [1.0, -1.0, -1.0, 1.0]] if with_warp else []
        return np.array([*(differ @ car.contacts_over(found.state)[:, :2]) / LEVER_MM, *warp])

    # Nearly: the moments follow the weight, the warp follows the cross weight.
    slopes = wanted.sum() / LEVER_MM * np.diag([1.0, 1.0, -1.6][: len(guess)])
    found = root(off, guess, jac=lambda _v: slopes, method="hybr", options={"xtol": 1e-11})
    if not np.max(np.abs(off(found.x))) < 10 * BALANCED_N:
        raise NotAtRest(f"no centre of gravity gives the scales: {found.message}")
    return np.array([found.x[0], found.x[1], file["mass"]["cg_height_mm"]]), found.x[2] / 1000.0 if with_warp else 0.5


def found_rest(
    car: Table,
    pads_mm: Mapping[str, float] | None = None,
    settings: Mapping[str, Any] | None = None,
    ballast_kg: Mapping[str, float] | None = None,
    rack_mm: float = 0.0,
) -> tuple[RestCar, Found]:
    """The model and its state of rest, for who wants more than the outputs."""
    model = RestCar(car, settings or {}, ballast_kg or {})
    set_masses(model, car)
    model.go_to_present(rack_mm)
    model.pads_mm |= pads_mm or {}
    return model, Search(model).rest()


def stiffness(model: RestCar, found: Found) -> Array:
    """Second derivative of the energy and the pulls' work, where every closed stop keeps its length.

    By (height, 1000 pitch, 1000 roll[, 1000 twist]) in N/mm, or by the directions that closed stops leave free.
    """
    search = Search(model)
    z = found.state.pose[: model.freedoms] * search.scale
    now = search.conditions(search.state(z), found.pull_N)[: len(z)]
    matrix = np.stack([search.conditions(s, found.pull_N)[: len(z)] - now for s in search.beside(z)], -1) / STEP_MM
    if found.pull_N:
        free = null_space(np.array([found.state.length_slope[name] / search.scale for name in found.pull_N]))
        matrix = free.T @ matrix @ free
    return matrix


def rest(
    car: Table,
    pads_mm: Mapping[str, float] | None = None,
    settings: Mapping[str, Any] | None = None,
    ballast_kg: Mapping[str, float] | None = None,
    rack_mm: float = 0.0,
) -> Rest:
    """The car at rest on setup wheels; `settings` are turns or lists of shims by "corner.adjuster", rack + = left.

    Raises NotAtRest or NotAssembled where there is no such state.
    """
    model, found = found_rest(car, pads_mm, settings, ballast_kg, rack_mm)
    return outputs_of(model, found.state, found.load_N(), found.pull_N)
