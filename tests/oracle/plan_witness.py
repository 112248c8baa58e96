"""What a plan costs and whether it can be set, worked out from the car's table and the nonlinear car alone."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

import shimwise as sw
from adjusters import lead_mm
from car_table import corner_tables

Table = dict[str, Any]
Settings = dict[str, float | list[float]]  # turns from drawn, or the shims of a pack in mm

STEP_TURNS = {
    "quarter_flat": 1 / 24,
    "half_flat": 1 / 12,
    "flat": 1 / 6,
    "quarter_turn": 1 / 4,
    "half_turn": 1 / 2,
    "turn": 1.0,
}
UNITS = ("_deg", "_mm", "_kg", "_percent")
PER_SQUARED_STEP = 1e-6
WHOLE = 1e-9  # of a step


def step_turns(thread: Table) -> float:
    """What it locks at, or counts in."""
    return STEP_TURNS[thread.get("counted_in", "quarter_flat") if thread["locks"] == "anywhere" else thread["locks"]]


def wanted_of(targets: Table) -> Iterator[tuple[str, Table]]:
    """Key and table of each target."""
    for place, wanted in targets.items():
        for name, target in wanted.items() if isinstance(wanted, dict) else ():
            yield name if place == "car" else f"{place}.{name}", target


def number(target: Table, key: str) -> float | None:
    """`value`, `tolerance`, `least` or `most` in whatever unit it is given."""
    return next((target[key + unit] for unit in UNITS if key + unit in target), None)


class Witness:
    """One morning: the car as it stands on its pads, what was read, and what is wanted in units of the model."""

    def __init__(
        self, table: Table, car: sw.Car, measured: sw.Measured, targets: Table, pads_mm: Mapping[str, float]
    ) -> None:
        self.table, self.car, self.pads_mm = table, car, dict(pads_mm)
        self.read = dict(zip(measured.keys, measured.values, strict=True))
        self.now = car.at_rest(pads_mm=pads_mm).values
        self.adjusters = {
            f"{wheel}.{one['name']}": one
            for wheel, corner in corner_tables(table).items()
            for one in corner["adjuster"]
        }
        self.targets = dict(wanted_of(targets))
        self.column = {name: next(name + unit for unit in UNITS if name + unit in self.now) for name in self.names}

    @property
    def names(self) -> list[str]:
        """What was read and stands among the model's values, what is wanted, and caster, which nothing reads."""
        among = [name for name in self.read if any(name + unit in self.now for unit in UNITS)]
        caster = [at.removesuffix("_deg") for at in self.now if at.endswith(".caster_deg")]
        return list(dict.fromkeys([*among, *self.targets, *caster]))

    def stands(self, settings: Mapping[str, Any]) -> sw.Rest:
        return self.car.at_rest(settings=settings, pads_mm=self.pads_mm)

    def values(self, settings: Mapping[str, Any]) -> dict[str, float]:
        """What is read then: as read, and the change of the model; of what is not read the model's own."""
        return self.values_of(self.stands(settings).values)

    def values_of(self, then: Mapping[str, float]) -> dict[str, float]:
        return {name: self.read.get(name, self.now[at]) + then[at] - self.now[at] for name, at in self.column.items()}

    def cost(self, settings: Mapping[str, Any], names: Iterable[str] | None = None) -> float:
        """Squares of what is off over its tolerance, and 1e-6 of a squared step; `names`: of these targets alone."""
        return self.cost_of(self.values(settings), names) + self.cost_of_steps(settings)

    def cost_of(self, values: Mapping[str, float], names: Iterable[str] | None = None) -> float:
        return sum(self.off(name, values[name]) ** 2 for name in names or self.targets)

    def off(self, name: str, value: float) -> float:
        """In tolerances."""
        target = self.targets[name]
        wanted = number(target, "value")
        return 0.0 if wanted is None else (value - wanted) / number(target, "tolerance")

    def cost_of_steps(self, settings: Mapping[str, Any]) -> float:
        return PER_SQUARED_STEP * sum(self.steps(key, now) ** 2 for key, now in settings.items())

    def outside(self, values: Mapping[str, float]) -> list[str]:
        """Targets that are not met."""
        missed = []
        for name, target in self.targets.items():
            value, tolerance = number(target, "value"), number(target, "tolerance")
            least, most = number(target, "least"), number(target, "most")
            if not (
                (value is None or abs(values[name] - value) <= tolerance)
                and (least is None or values[name] >= least)
                and (most is None or values[name] <= most)
            ):
                missed.append(name)
        return missed

    def step(self, key: str) -> float:
        """Turns, or mm of the thinnest shim that is fitted or in the box."""
        one = self.adjusters[key]
        return step_turns(one) if "ends" in one else min([*one["fitted_mm"], *self.box_of(one)])

    def steps(self, key: str, setting: float | list[float]) -> float:
        """From as it stands."""
        one = self.adjusters[key]
        if isinstance(setting, list):
            return (sum(setting) - sum(one["fitted_mm"])) / self.step(key)
        return (setting - one["now_turns"]) / self.step(key)

    def box_of(self, stack: Table) -> list[float]:
        return self.table["shims"][f"{stack['box']}_mm"] if "box" in stack else stack["box_mm"]

    def sharers(self, key: str) -> list[str]:
        """Stacks on the same box, itself among them."""
        box = self.adjusters[key].get("box")
        return [key] if box is None else [name for name, one in self.adjusters.items() if one.get("box") == box]

    def pool(self, key: str) -> list[float]:
        """All shims that may be in this stack."""
        fitted = [mm for name in self.sharers(key) for mm in self.adjusters[name]["fitted_mm"]]
        return [*fitted, *self.box_of(self.adjusters[key])]

    def minutes(self, settings: Mapping[str, Any]) -> float:
        return sum(self.adjusters[key]["minutes"] for key, now in settings.items() if self.is_other(key, now))

    def is_other(self, key: str, setting: float | list[float]) -> bool:
        one = self.adjusters[key]
        return sorted(setting) != sorted(one["fitted_mm"]) if isinstance(setting, list) else setting != one["now_turns"]

    def broken(self, settings: Mapping[str, Any]) -> list[str]:
        """What cannot be set so, and why."""
        words = []
        for key, setting in settings.items():
            if isinstance(setting, list):
                words += self._broken_pack(key, settings)
            else:
                words += self._broken_thread(key, setting)
        return words

    def thread_range(self, key: str) -> tuple[float, float]:
        """Least and most turns from drawn: what the file says, and what the thread must keep engaged at each end."""
        one = self.adjusters[key]
        least, most = one.get("limits_turns", (-float("inf"), float("inf")))
        if "engaged_mm" in one:
            spare = one["engaged_mm"] - one["least_engaged_mm"]
            inner = lead_mm(one | {"ends": "one"})
            most = min(most, spare / inner)
            if one["ends"] == "same_hand":
                least = max(least, -spare / (inner - lead_mm(one)))
        return least, most

    def _broken_thread(self, key: str, turns: float) -> Iterator[str]:
        steps = self.steps(key, turns)
        if not abs(steps - round(steps)) < WHOLE:
            yield f"{key}: {steps} steps"
        least, most = self.thread_range(key)
        if not least - WHOLE <= turns <= most + WHOLE:
            yield f"{key}: {turns} turns, limits {least}, {most}"

    def _broken_pack(self, key: str, settings: Mapping[str, Any]) -> Iterator[str]:
        one = self.adjusters[key]
        least, most = one["limits_mm"]
        if not least - WHOLE <= sum(settings[key]) <= most + WHOLE:
            yield f"{key}: {sum(settings[key])} mm, limits {least}, {most}"
        used = Counter(mm for name in self.sharers(key) for mm in settings.get(name, self.adjusters[name]["fitted_mm"]))
        if missing := used - Counter(self.pool(key)):
            yield f"{key}: no such shims {dict(missing)}"
