"""The linear problem of a whole car, and SCIP, a solver of the Zuse Institute Berlin: its points are costed here.

A thread is a whole number of steps inside its limits. Of packs every single shim is in one place or in none, so that
boxes that stacks share need no rule of their own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from pyscipopt import Model, quicksum

from adjusters import lead_mm
from plan_witness import PER_SQUARED_STEP, WHOLE, Settings, Witness, number

Array = NDArray[np.float64]


@dataclass
class Linear:
    """About one way to set the car: values = then + effect (steps - about), in the units of the values."""

    witness: Witness
    names: list[str]
    keys: list[str]
    about: Array  # steps from as it stands
    then: Array
    effect: Array

    def cost(self, settings: Mapping[str, Any]) -> float:
        """Squares of what is off over its tolerance, and 1e-6 of a squared step."""
        steps = steps_of(self.witness, self.keys, settings)
        values = self.then + self.effect @ (steps - self.about)
        at = dict(zip(self.names, values, strict=True))
        return self.witness.cost_of(at, self.names) + PER_SQUARED_STEP * float(steps @ steps)

    def windows(self) -> tuple[Array, Array]:
        """What effect times steps from as it stands must lie between, for every value to be within its tolerance."""
        targets = [self.witness.targets[name] for name in self.names]
        wanted = np.array([number(target, "value") for target in targets]) - self.then + self.effect @ self.about
        tolerance = np.array([number(target, "tolerance") for target in targets])
        return wanted - tolerance, wanted + tolerance


def steps_of(witness: Witness, keys: list[str], settings: Mapping[str, Any]) -> Array:
    return np.array([witness.steps(key, settings[key]) if key in settings else 0.0 for key in keys])


def linear_about(witness: Witness, settings: Settings, keys: list[str], names: list[str]) -> Linear:
    """The derivatives of the car at rest, which tests of their own hold against differences."""
    car = witness.car.with_settings(settings)
    table = car.effects("rest", pads_mm=witness.pads_mm)
    columns = [witness.column[name] for name in names]
    per_step = {key: witness.step(key) for key in keys}
    for key in keys:
        if "ends" in witness.adjusters[key]:
            per_step[key] *= lead_mm(witness.adjusters[key])
    effect = np.array([table.loc[(key, "mm"), columns].to_numpy(float) * per_step[key] for key in keys]).T
    then = witness.values(settings)
    return Linear(
        witness, names, keys, steps_of(witness, keys, settings), np.array([then[name] for name in names]), effect
    )


def step_range(witness: Witness, key: str) -> tuple[int, int]:
    """Least and most whole steps of a thread from as it stands."""
    least, most = witness.thread_range(key)
    now, step = witness.adjusters[key]["now_turns"], witness.step(key)
    return int(np.ceil((least - now) / step - WHOLE)), int(np.floor((most - now) / step + WHOLE))


class Scip:
    """What may be set, and the steps of each adjuster."""

    def __init__(self, witness: Witness, keys: list[str], most_s: float) -> None:
        self.witness, self.keys, self.model = witness, keys, Model()
        self.model.hideOutput()
        self.model.setParam("limits/gap", 0.0)
        self.model.setParam("numerics/feastol", 1e-7)  # of smaller ones its linear solver fails now and then
        self.model.setParam("limits/time", most_s)
        self.turns: dict[str, Any] = {}
        self.shims: dict[str, list[Any]] = {}
        self.steps = [self._thread(key) if "ends" in witness.adjusters[key] else self._stack(key) for key in keys]
        for key in self.shims:
            for every in zip(*(self.shims[name] for name in witness.sharers(key)), strict=True):
                self.model.addCons(quicksum(every) <= 1)

    @property
    def proven(self) -> bool:
        return str(self.model.getStatus()) == "optimal"

    def _thread(self, key: str) -> Any:
        low, high = step_range(self.witness, key)
        self.turns[key] = self.model.addVar(vtype="I", lb=low, ub=high)
        return self.turns[key]

    def _stack(self, key: str) -> Any:
        one, pool = self.witness.adjusters[key], self.witness.pool(key)
        self.shims[key] = [self.model.addVar(vtype="B") for _ in pool]
        total = quicksum(mm * shim for mm, shim in zip(pool, self.shims[key], strict=True))
        least, most = one["limits_mm"]
        self.model.addCons(total >= least)
        self.model.addCons(total <= most)
        return (total - sum(one["fitted_mm"])) / self.witness.step(key)

    def limit(self, linear: Linear) -> None:
        """Every value of this model inside its window, for what is asked next."""
        for row, least, most in zip(linear.effect, *(ends.tolist() for ends in linear.windows()), strict=True):
            moved = quicksum(float(by) * step for by, step in zip(row, self.steps, strict=True))
            self.model.addCons(moved >= least)
            self.model.addCons(moved <= most)

    def closest(self, linear: Linear) -> Settings | None:
        """Least cost on the linear model; None where the time was too short for any."""
        at_0 = linear.then - linear.effect @ linear.about
        parts = []
        for row, start, name in zip(linear.effect, at_0, linear.names, strict=True):
            target = self.witness.targets[name]
            tolerance = number(target, "tolerance")
            moved = quicksum(float(by / tolerance) * step for by, step in zip(row, self.steps, strict=True))
            parts.append(moved + float((start - number(target, "value")) / tolerance))
        parts += [float(np.sqrt(PER_SQUARED_STEP)) * step for step in self.steps]
        squares = [self.model.addVar(lb=None) for _ in parts]
        for part, root in zip(parts, squares, strict=True):
            self.model.addCons(part == root)
        cost = self.model.addVar()
        self.model.addCons(quicksum(root * root for root in squares) <= cost)
        return self._best(cost)

    def fewest_touched(self, effect: Array, low: Array, high: Array, price: Array) -> Settings | None:
        """Least price of what is touched, every value inside its window."""
        touched = [self.model.addVar(vtype="B") for _ in self.keys]
        for key, step, one in zip(self.keys, self.steps, touched, strict=True):
            least, most = self._reach(key)
            self.model.addCons(step <= most * one)
            self.model.addCons(step >= least * one)
        for row, least, most in zip(effect, low.tolist(), high.tolist(), strict=True):
            moved = quicksum(float(by) * step for by, step in zip(row, self.steps, strict=True))
            self.model.addCons(moved >= least)
            self.model.addCons(moved <= most)
        return self._best(quicksum(float(each) * one for each, one in zip(price, touched, strict=True)))

    def _reach(self, key: str) -> tuple[float, float]:
        if key in self.turns:
            return step_range(self.witness, key)
        one, step = self.witness.adjusters[key], self.witness.step(key)
        return -sum(one["fitted_mm"]) / step, (sum(self.witness.pool(key)) - sum(one["fitted_mm"])) / step

    def _best(self, objective: Any) -> Settings | None:
        self.model.setObjective(objective)
        self.model.optimize()
        if self.model.getNSols() == 0:
            return None
        settings: Settings = {}
        for key, steps in self.turns.items():
            now, step = self.witness.adjusters[key]["now_turns"], self.witness.step(key)
            settings[key] = now + round(self.model.getVal(steps)) * step
        for key, shims in self.shims.items():
            pool = self.witness.pool(key)
            settings[key] = [mm for mm, shim in zip(pool, shims, strict=True) if self.model.getVal(shim) > 0.5]
        return settings
