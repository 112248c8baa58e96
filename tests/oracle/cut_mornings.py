"""Mornings cut to four adjusters of nine values each, so that every combination can be tried.

A track rod, a leg, a pushrod (of a corner without one its spring platform) and a pack, each at a wheel drawn by lot;
of every third car two packs on one box in place of leg and pack. Where the car has a third element it is just squeezed
when it is read, and the pushrod is on its axle. Asked for are values as far off as 10 mm, 30 kg and 1 deg; of every
other car a caster has a limit among those that can be set. All data are invented.
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

import shimwise as sw
from car_table import corner_tables
from plan_mornings import AXLES, TOLERANCE, WHEELS, morning_table, pads_of, sheet_of
from plan_witness import Settings, Witness, number, step_turns

Table = dict[str, Any]
STEPS = range(-4, 5)
FITTED_MM, BOX_MM = [1.0, 2.0], [0.5, 0.5]  # nine packs, from nothing to 4 mm
LEGS = ("lower rear leg", "upper front leg", "upper rear leg")
PACKS = ("camber shim", "bracket shim", "pickup shim")
FAR = {"toe": 1.0, "camber": 1.0, "ride_height": 10.0, "front_difference": 30.0}
KEPT = ("front_difference", "rear_difference", "ride_height", "caster")  # unless something else is said


@dataclass
class Cut:
    witness: Witness
    turned: list[str]
    wanted: Table

    def plan(self) -> sw.Plan:
        """All else stands still, and what nobody asks for may go where it goes."""
        witness = self.witness
        targets = sw.load_targets(self.wanted, witness.car)
        asked = {name.partition(".")[0] if name.startswith("ride") else name for name in witness.targets}
        asked |= {name.rpartition(".")[2] for name in witness.targets}
        rest = [key for key in witness.adjusters if key not in self.turned]
        free = [*(kind for kind in KEPT if kind not in asked), "toe", "camber"]  # of the other wheels
        return sw.plan(witness.car, self.measured, targets, turn=self.turned, forbid=rest, free=free)

    @property
    def in_cost(self) -> set[str]:
        """Every wish."""
        return {name for name, target in self.witness.targets.items() if number(target, "value") is not None}

    @property
    def measured(self) -> sw.Measured:
        return sw.load_readings(sheet_of(self.witness.car, self.witness.pads_mm), self.witness.car).reduce()

    def combinations(self) -> Iterator[Settings]:
        return combinations(self.witness, self.turned)


def combinations(witness: Witness, turned: list[str]) -> Iterator[Settings]:
    """Every one that the threads and the boxes allow."""
    threads = [key for key in turned if "ends" in witness.adjusters[key]]
    stacks = [key for key in turned if key not in threads]
    turns = [[witness.adjusters[key]["now_turns"] + n * witness.step(key) for n in STEPS] for key in threads]
    packs = list(_packs(witness, stacks))
    for chosen in itertools.product(*turns):
        for pack in packs:
            yield dict(zip(threads, chosen, strict=True)) | dict(zip(stacks, pack, strict=True))


def _packs(witness: Witness, stacks: list[str]) -> Iterator[tuple[list[float], ...]]:
    """Each total once: of one stack, or of two that share a box."""
    pool = witness.pool(stacks[0])
    each = {sum(shims): list(shims) for n in range(len(pool) + 1) for shims in itertools.combinations(pool, n)}
    if len(stacks) == 1:
        yield from ((pack,) for pack in each.values())
        return
    made = set()
    for places in itertools.product(range(len(stacks) + 1), repeat=len(pool)):
        pack = tuple([mm for mm, place in zip(pool, places, strict=True) if place == i] for i in range(len(stacks)))
        totals = tuple(map(sum, pack))
        if totals not in made and not Counter(mm for one in pack for mm in one) - Counter(pool):
            made.add(totals)
            yield pack


def cut_morning(car_number: int) -> Cut:
    rng = np.random.default_rng([*b"cut", car_number])
    table = morning_table(car_number)
    corners = corner_tables(table)
    table |= {wheel: corners[wheel] for wheel in WHEELS}
    turned = _chosen(rng, table, shares_a_box=car_number % 3 == 0)
    for key in turned:
        wheel, _, name = key.partition(".")
        (one,) = (one for one in table[wheel]["adjuster"] if one["name"] == name)
        if "ends" in one:
            reach = 4.01 * step_turns(one)
            one["limits_turns"] = [one["now_turns"] - reach, one["now_turns"] + reach]
        else:
            one |= {"fitted_mm": FITTED_MM, "limits_mm": [0.0, 8.0]}
            if "box" in one:
                table["shims"][f"{one['box']}_mm"] = BOX_MM
            else:
                one["box_mm"] = BOX_MM
    car, pads_mm = sw.load_car(table), pads_of(car_number)
    measured = sw.load_readings(sheet_of(car, pads_mm), car).reduce()
    wanted = _wanted(rng, Witness(table, car, measured, {}, pads_mm), turned, limited=car_number % 2 == 1)
    return Cut(Witness(table, car, measured, wanted, pads_mm), turned, wanted)


def _chosen(rng: np.random.Generator, table: Table, *, shares_a_box: bool) -> list[str]:
    thirds = [axle for axle in AXLES if f"{axle}_third" in table]
    axle = thirds[0] if thirds else str(rng.choice(AXLES))
    strut = f"{axle}_{rng.choice(['left', 'right'])}"
    rod = "pushrod" if "pushrod" in table[strut] else "platform"
    turned = [f"{rng.choice(WHEELS)}.track rod", f"{strut}.{rod}"]
    if shares_a_box:
        axle = str(rng.choice(AXLES))
        return [*turned, f"{axle}_left.camber shim", f"{axle}_right.camber shim"]
    return [*turned, f"{rng.choice(WHEELS)}.{rng.choice(LEGS)}", f"{rng.choice(WHEELS)}.{rng.choice(PACKS)}"]


def _wanted(rng: np.random.Generator, witness: Witness, turned: list[str], *, limited: bool) -> Table:
    """Two toes, a camber and, so that all add rank, either heights or the front difference."""
    every = list(combinations(witness, turned))

    def some() -> dict[str, float]:
        return witness.values(every[int(rng.integers(len(every)))])

    values, far = some(), float(10.0 ** rng.uniform(-2.0, 0.0))
    wheels = [key.partition(".")[0] for key in turned]
    targets: Table = {"format": "shimwise-targets/1"}

    def off(kind: str) -> float:
        return far * FAR[kind] * float(rng.uniform(-1.0, 1.0))

    for wheel, kind in ((wheels[0], "toe"), (wheels[1], "toe"), (wheels[3], "camber")):
        value = values[f"{wheel}.{kind}"] + off(kind)
        targets.setdefault(wheel, {})[kind] = {"value_deg": value, "tolerance_deg": TOLERANCE[kind]}
    if limited:
        value = values["front_difference"] + off("front_difference")
        targets["car"] = {"front_difference": {"value_kg": value, "tolerance_kg": 1.0}}
        targets.setdefault(wheels[2], {})["caster"] = {"least_deg": some_caster(witness, every, wheels[2], rng)}
    else:
        heights = {key: value for key, value in values.items() if key.startswith("ride_height.")}
        targets["ride_height"] = {
            key.partition(".")[2]: {"value_mm": mm + off("ride_height"), "tolerance_mm": 0.5}
            for key, mm in heights.items()
        }
    return targets


def some_caster(witness: Witness, every: list[Settings], wheel: str, rng: np.random.Generator) -> float:
    """The middle one of five of them."""
    name = f"{wheel}.caster_deg"
    drawn = [every[int(rng.integers(len(every)))] for _ in range(5)]
    return float(np.median([witness.car.at_rest(settings=one, pads_mm=witness.pads_mm).values[name] for one in drawn]))
