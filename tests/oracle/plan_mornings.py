"""Mornings of any car that a plan can bring inside: what is wanted is what the car reads once turned as drawn by lot.

`planted(number, draw)` is the car, what was read of it, what is wanted, and the turns and packs that bring it just
there on the nonlinear model. Among the first ten cars are pull rods, springs without rockers, droop stops, chassis that
twist, uneven pads, boxes that corners share and rods that lock at flats and half turns. Every other draw asks for
caster too, for which legs are turned and shims go in under inboard pickups; where a car has a third element, it
carries a little when it is read and is open once the car is set. All data are invented.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.optimize import brentq

import shimwise as sw
from car_table import corner_tables
from plan_witness import Settings, Witness, step_turns, wanted_of
from plan_witness import number as number_of
from random_cars import PADS_MM, random_car
from slip_sheets import demo

Table = dict[str, Any]
WHEELS = ("front_left", "front_right", "rear_left", "rear_right")
AXLES = ("front", "rear")
SHARED_MM = [0.2, 0.2, 0.5, 0.5, 1.0]
FLAG_SPAN_MM = 520.0
LOCKS = {"toe": "flat", "ride_height": "flat"}  # any other rod of such a car: half turns
MOST_STEPS = {"toe": 12, "ride_height": 24, "corner_weight": 24}  # of threads that lock anywhere, each way
MOST_STEPS_OF_LEGS = 2
TURNED = ("toe", "camber", "ride_height")
TOLERANCE = {"toe": float(np.degrees(np.arcsin(0.5 / FLAG_SPAN_MM))), "camber": 0.05, "caster": 0.1}
SQUEEZED_MM = 0.03  # a third element, as read


@dataclass
class Planted:
    table: Table
    car: sw.Car
    pads_mm: dict[str, float]
    sheet: Table
    measured: sw.Measured
    wanted: Table
    settings: Settings  # with which it stands as wanted
    turns: tuple[str, ...]  # purposes or adjusters of what may be turned for that

    @property
    def targets(self) -> sw.Targets:
        return sw.load_targets(self.wanted, self.car)

    def witness(self) -> Witness:
        return Witness(self.table, self.car, self.measured, self.wanted, self.pads_mm)

    @property
    def free(self) -> list[str]:
        """What nobody asks for and a plan would keep within its common tolerance, were it not told otherwise."""
        wanted = {name.rpartition(".")[2] for name, _ in wanted_of(self.wanted)}
        return [name for name in ("rear_difference", "caster") if name not in wanted]

    def plan(self, **options: Any) -> sw.Plan:
        return sw.plan(self.car, self.measured, self.targets, **options)


def morning_table(number: int) -> Table:
    """Car `number` with the demo's instruments, bars off; odd ones lock at flats, every third one shares its boxes."""
    table = tomllib.loads(random_car(number))
    table |= {key: demo()[key] for key in ("instruments", "strings", "settling")}
    for wheel in table["setup_wheel"].values():
        wheel["flag_span_mm"] = FLAG_SPAN_MM
    for axle in AXLES:
        if f"{axle}_bar" in table:
            table[f"{axle}_bar"]["connected"] = False
        for adjuster in table[f"{axle}_left"]["adjuster"]:
            if "ends" in adjuster and number % 2:
                adjuster["locks"] = LOCKS.get(adjuster["purpose"], "half_turn")
                adjuster.pop("counted_in")
            if adjuster["name"] == "camber shim" and number % 3 == 0:
                adjuster.pop("box_mm")
                adjuster["box"] = axle
                table.setdefault("shims", {})[f"{axle}_mm"] = SHARED_MM
    _touch_thirds(table)
    return table


def pads_of(number: int) -> dict[str, float]:
    """What stands on uneven pads: every other car."""
    return dict.fromkeys(WHEELS, 0.0) | (PADS_MM if number % 4 in (1, 2) else {})


def _touch_thirds(table: Table) -> None:
    """The gaps with which they are squeezed by SQUEEZED_MM, one after the other."""
    for axle in AXLES:
        third = table.get(f"{axle}_third")
        if third is None:
            continue

        def carries_too_much(gap_mm: float, third: Table = third, axle: str = axle) -> float:
            third["gap_mm"] = gap_mm
            squeezed = sw.load_car(table).at_rest().third_loads_N[axle] / third["rate_N_per_mm"]
            return squeezed - SQUEEZED_MM

        low, high = third["gap_mm"] - 2.0, third["gap_mm"]
        while not carries_too_much(low) > 0.0:
            low -= 2.0
        while not carries_too_much(high) < 0.0:
            high += 2.0
        third["gap_mm"] = round(float(brentq(carries_too_much, low, high, xtol=1e-3)), 3)


def _turned(table: Table, purposes: tuple[str, ...], rng: np.random.Generator) -> Settings:
    """Steps of rods and packs of what their boxes hold: all adjusters of these purposes, half of the legs."""
    settings: Settings = {}
    shared = {name.removesuffix("_mm"): list(shims) for name, shims in table.get("shims", {}).items()}
    corners = corner_tables(table)
    for wheel, corner in corners.items():
        for one in corner["adjuster"]:
            if one["purpose"] not in purposes:
                continue
            key = f"{wheel}.{one['name']}"
            if "moves" in one:
                pool = [*one["fitted_mm"], *shared.pop(one.get("box"), one.get("box_mm", []))]
                pack = [mm for mm in pool if rng.random() < 0.5] or pool[:1]
                if one.get("box") is not None or rng.random() < 0.5:
                    settings[key] = pack
            else:
                most = MOST_STEPS.get(one["purpose"], MOST_STEPS_OF_LEGS)
                if "counted_in" not in one:
                    most = max(1, most // 4)
                steps = int(rng.integers(-most, most + 1))
                settings[key] = one["now_turns"] + steps * step_turns(one)
    return settings


def sheet_of(car: sw.Car, pads_mm: Mapping[str, float]) -> Table:
    """What is read of a car that is what its file says, to the last digits of the demo's instruments."""
    now = car.at_rest(pads_mm=pads_mm).values
    sheet: Table = {
        "format": "shimwise-readings/1",
        "state": {"bars": "off", "rack": "locked at centre", "struts": "springs", "heights_from": "pads"},
        "pads": {"height_mm": dict(pads_mm)},
        "strings": {f"{end}_bar_mm": {"left": 905.0, "right": 905.0} for end in AXLES},
        "ride_heights_mm": {
            key.removeprefix("ride_height.").removesuffix("_mm"): round(mm, 1)
            for key, mm in now.items()
            if key.startswith("ride_height.")
        },
    }
    for wheel in WHEELS:
        half = 0.5 * FLAG_SPAN_MM * np.sin(np.radians(now[f"{wheel}.toe_deg"]))
        sheet[wheel] = {
            "flags_mm": {"front": round(200.0 + half, 1), "rear": round(200.0 - half, 1)},
            "camber_deg": round(now[f"{wheel}.inclination_to_plumb_deg"], 2),
            "scale_kg": round(now[f"{wheel}.weight_kg"], 1),
        }
    return sheet


def targets_table(values: Mapping[str, float], kinds: tuple[str, ...]) -> Table:
    """Wanted values by key, of these kinds, with their tolerances."""
    targets: Table = {"format": "shimwise-targets/1", "ride_height": {}}
    for wheel in WHEELS:
        targets[wheel] = {
            kind: {"value_deg": values[f"{wheel}.{kind}"], "tolerance_deg": TOLERANCE[kind]} for kind in kinds
        }
    for name, value in values.items():
        if name.startswith("ride_height."):
            targets["ride_height"][name.removeprefix("ride_height.")] = {"value_mm": value, "tolerance_mm": 0.5}
    targets["car"] = {"front_difference": {"value_kg": values["front_difference"], "tolerance_kg": 1.0}}
    return targets


def planted(number: int, draw: int) -> Planted:
    """What is wanted: what was read, and by how much more the turned car stands otherwise than the car does."""
    rng = np.random.default_rng([*b"planted", number, draw])
    table, pads_mm = morning_table(number), pads_of(number)
    car = sw.load_car(table)
    sheet = sheet_of(car, pads_mm)
    measured = sw.load_readings(sheet, car).reduce()
    direct = any("pushrod" not in table[f"{axle}_left"] for axle in AXLES)
    purposes = (*TURNED, *(["corner_weight"] if direct else []), *(["caster"] if draw % 2 else []))
    kinds = ("toe", "camber", *(["caster"] if draw % 2 else []))
    witness = Witness(table, car, measured, targets_table(measured_and_caster(car, measured, pads_mm), kinds), pads_mm)
    while True:
        settings = _turned(table, purposes, rng)
        try:
            stands = car.at_rest(settings=settings, pads_mm=pads_mm)
        except (sw.OutOfReach, sw.InputError):
            continue
        if not any(stands.third_loads_N.values()):
            break
    wanted = targets_table(witness.values(settings), kinds)
    return Planted(table, car, pads_mm, sheet, measured, wanted, settings, purposes)


def measured_and_caster(car: sw.Car, measured: sw.Measured, pads_mm: Mapping[str, float]) -> dict[str, float]:
    """What was read, by key, and the model's own caster."""
    now = car.at_rest(pads_mm=pads_mm).values
    caster = {f"{wheel}.caster": now[f"{wheel}.caster_deg"] for wheel in WHEELS}
    return dict(zip(measured.keys, measured.values, strict=True)) | caster


NARROW_STEPS = 8
NARROW = ("track rod", "camber shim", "pushrod", "platform")  # a platform where there is no pushrod
LOOSE = 0.7  # how far off what can be reached, in tolerances


def narrow(number: int, draw: int) -> Planted:
    """One rod for toe, one pack and one for height at every corner, eight steps each way; nothing reaches it quite.

    Few enough unknowns for a solver that knows nothing of cars.
    """
    rng = np.random.default_rng([*b"narrow", number, draw])
    table, pads_mm = morning_table(number), pads_of(number)
    corners = corner_tables(table)
    table |= {wheel: corners[wheel] for wheel in WHEELS}
    turned = []
    for wheel in WHEELS:
        names = [name for name in NARROW if name != ("platform" if "pushrod" in table[wheel] else "pushrod")]
        turned += [f"{wheel}.{name}" for name in names]
        for one in (one for one in table[wheel]["adjuster"] if "ends" in one):
            reach = (NARROW_STEPS + 0.01) * step_turns(one)
            one["limits_turns"] = [one["now_turns"] - reach, one["now_turns"] + reach]
    car = sw.load_car(table)
    sheet = sheet_of(car, pads_mm)
    measured = sw.load_readings(sheet, car).reduce()
    wanted = targets_table(measured_and_caster(car, measured, pads_mm), ("toe", "camber"))
    witness = Witness(table, car, measured, wanted, pads_mm)
    while True:
        settings: Settings = {}
        for key in turned:
            one = witness.adjusters[key]
            if "ends" in one:
                steps = int(rng.integers(-NARROW_STEPS, NARROW_STEPS + 1))
                settings[key] = one["now_turns"] + steps * step_turns(one)
        try:
            wanted = targets_table(witness.values(settings), ("toe", "camber"))
        except sw.OutOfReach:
            continue
        break
    for _, target in wanted_of(wanted):
        (value,) = (key for key in target if key.startswith("value"))
        target[value] += LOOSE * rng.normal() * number_of(target, "tolerance")
    return Planted(table, car, pads_mm, sheet, measured, wanted, settings, tuple(turned))
