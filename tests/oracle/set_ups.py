"""Set-ups from the first reading to the last: a car that is not what its file says, read, planned, turned, read again.

What stays from reading to reading (zeros, string ends, pads, spans, where wheels really sit) is drawn once; what comes
anew (last digit, hand, level of the flags, how the car settles) twice. A hand misses every thread, no shim is quite as
thick as it says, and every adjuster does more or less than the model says, by a share of its own. How well instruments
read and how near is near enough are drawn too. All data are invented.
"""

from __future__ import annotations

import copy
import tomllib
from dataclasses import dataclass
from typing import Any

import numpy as np

import shimwise as sw
from plan_witness import number, wanted_of
from shimwise import _core
from slip_sheets import (
    ENDS,
    FLAGS_OUT_MM,
    SIDES,
    STRING_MM,
    WARP,
    WHEELS,
    Sheet,
    Table,
    Workshop,
    demo,
    drawn,
    known_car,
)

MODEL_SHARE = 0.02
ANYWHERE_DEG = 0.2  # where a wheel really sits in toe and camber: far more than what can be read
WORSE = (0.5, 3.0)  # of what the instruments and settling of the file are
WIDER = (0.7, 2.5)  # of tolerances
ROOM_MM = 10.0
RAKE = 0.05  # of how many it is asked for, beside the heights that it is made of


@dataclass
class SetUp:
    chance: float  # predicted
    passed: bool
    answer: str


class Stays:
    """Drawn once."""

    def __init__(self, shop: Workshop, rng: np.random.Generator) -> None:
        read, table = shop.instruments, shop.table
        level, gauge, scale = read["pad_level"], read["camber_gauge"], read["scale"]
        self.pads_mm = {wheel: rng.normal(0.0, _read(level)) for wheel in WHEELS}
        self.zero_deg = rng.normal(0.0, _read(gauge) / np.sqrt(2.0))  # half the sum of two readings
        self.span = {wheel: 1.0 + rng.normal(0.0, 0.01 * scale["span_uncertainty_percent"]) for wheel in WHEELS}
        self.zero_kg = {wheel: rng.normal(0.0, scale["zero_uncertainty_kg"]) for wheel in WHEELS}
        end_mm = table["strings"]["end_uncertainty_mm"]
        self.string_mm = {(side, end): STRING_MM + rng.normal(0.0, end_mm) for side in SIDES for end in ENDS}
        self.toe_deg = {wheel: rng.normal(0.0, ANYWHERE_DEG) for wheel in WHEELS}
        self.camber_deg = {wheel: rng.normal(0.0, ANYWHERE_DEG) for wheel in WHEELS}
        truth = copy.copy(shop)
        truth.table = _with_room(table)
        self.car, self.longer_mm = truth.true_car(drawn(rng))


def _with_room(table: Table) -> Table:
    """The same car; its packs may get a little thinner than nothing and thicker than their limit."""
    table = copy.deepcopy(table)
    for adjuster in (one for wheel in WHEELS for one in table.get(wheel, {}).get("adjuster", [])):
        if "fitted_mm" in adjuster:
            adjuster["fitted_mm"] = [*adjuster["fitted_mm"], ROOM_MM]
            adjuster["drawn_with_mm"] += ROOM_MM
            adjuster["limits_mm"] = [0.0, 3.0 * ROOM_MM]
    return table


def _read(instrument: Table) -> float:
    """Standard deviation of one reading: hand and last digit."""
    for key in ("resolution_mm", "resolution_deg", "resolution_kg"):
        if key in instrument:
            hand = instrument.get(key.replace("resolution", "repeatability"), 0.0)
            return float(np.hypot(hand, instrument[key] / np.sqrt(12.0)))
    raise KeyError(instrument)


class Morning:
    """One car in one workshop."""

    def __init__(self, rng: np.random.Generator) -> None:
        table = copy.deepcopy(_KNOWN)
        worse = float(rng.uniform(*WORSE))
        for name, values in (*table["instruments"].items(), ("settling", table["settling"])):
            for key in values:
                if name == "settling" or "uncertainty" in key or "repeatability" in key:
                    values[key] *= worse
        self.rng, self.shop = rng, Workshop(table, lengths=False)
        self.stays = Stays(self.shop, rng)
        self.wanted = _wanted(float(rng.uniform(*WIDER)), rake=bool(rng.random() < RAKE))

    def read(self, turned_mm: dict[str, float]) -> sw.Measured:
        """With adjusters turned by so much, in truth."""
        shop, stays, rng = self.shop, self.stays, self.rng
        by = {key: turned_mm.get(key, 0.0) + stays.longer_mm.get(key, 0.0) for key in turned_mm | stays.longer_mm}
        settings = {key: f"{mm:+.12f} mm" for key, mm in by.items() if mm}
        true = stays.car.at_rest(settings=settings, pads_mm=stays.pads_mm).values
        settles, gauge, scale = shop.settling, shop.instruments["camber_gauge"], shop.instruments["scale"]
        sheet: Sheet = {}
        for point in shop.points:
            sheet[point, "height"] = true[f"ride_height.{point}_mm"] + rng.normal(0.0, settles["ride_height_mm"])
        warp = rng.normal(0.0, settles["warp_kg"])
        for wheel, sign in zip(WHEELS, WARP, strict=True):
            camber = rng.normal(0.0, settles["camber_deg"]) + rng.normal(0.0, gauge["repeatability_deg"])
            lean = true[f"{wheel}.inclination_to_plumb_deg"] + stays.camber_deg[wheel]
            sheet[wheel, "camber"] = lean + stays.zero_deg + camber
            kg = true[f"{wheel}.weight_kg"] * stays.span[wheel] + stays.zero_kg[wheel] + sign * warp
            sheet[wheel, "scale"] = kg + rng.normal(0.0, scale["repeatability_kg"])
            self._flags(sheet, wheel, true)
        for side in SIDES:
            for end in ENDS:
                sheet[side, f"{end} bar"] = STRING_MM
        return shop.readings(shop.written(sheet)).reduce()

    def _flags(self, sheet: Sheet, wheel: str, true: dict[str, float]) -> None:
        """Two points of the wheel's plane, between strings that stay where they are."""
        shop, stays, rng = self.shop, self.stays, self.rng
        middle, apart = np.mean(list(shop.x_mm.values())), shop.table["strings"]["bars_apart_mm"]
        toe = true[f"{wheel}.toe_deg"] + stays.toe_deg[wheel] + rng.normal(0.0, shop.settling["toe_deg"])
        camber = np.radians(true[f"{wheel}.camber_deg"] + stays.camber_deg[wheel])
        level = np.radians(rng.normal(0.0, shop.instruments["flag_ruler"]["level_uncertainty_deg"]))
        points_in = np.radians(toe) + level * np.sin(camber)
        out = true[f"{wheel}.half_track_mm"] + FLAGS_OUT_MM + rng.normal(0.0, shop.settling["lateral_mm"])
        side = wheel.partition("_")[2]
        for flag, along in (("front", 0.5), ("rear", -0.5)):
            arm = along * shop.setup_wheel[wheel]["flag_span_mm"]
            share = 0.5 + (shop.x_mm[wheel] + arm * np.cos(points_in) - middle) / apart
            at_flag = share * stays.string_mm[side, "front"] + (1.0 - share) * stays.string_mm[side, "rear"]
            sheet[wheel, flag] = at_flag - out + arm * np.sin(points_in)

    def turned_mm(self, answer: Any) -> dict[str, float]:
        """What a hand makes of it, and what that does: the model's own share beside it."""
        turned = {}
        for one in answer.turned:
            adjuster = answer.adjuster(one.key)
            does = 1.0 + self.rng.normal(0.0, MODEL_SHARE)
            setting = adjuster.setting
            if isinstance(setting, _core.Thread):
                missed = self.rng.normal(0.0, setting.settable_turns)
                turned[one.key] = (one.after - one.before) * setting.lead_mm * does + missed * setting.lead_mm
            else:
                shims = len(one.shims.add_mm) + len(one.shims.remove_mm)
                missed = self.rng.normal(0.0, setting.thickness_uncertainty_mm, shims)
                turned[one.key] = (one.after - one.before) * does + float(missed.sum())
        return turned

    def passes(self, measured: sw.Measured) -> bool:
        """Every wish that was read."""
        read = dict(zip(measured.keys, measured.values, strict=True))
        return all(
            abs(read[name] - value) <= number(target, "tolerance")
            for name, target in wanted_of(self.wanted)
            if name in read and (value := number(target, "value")) is not None
        )


_KNOWN = known_car(demo())
_TARGETS = tomllib.loads(sw.demo_files().targets.read_text(encoding="utf-8"))


def _wanted(wider: float, *, rake: bool) -> Table:
    """The demo's, with other tolerances."""
    wanted = copy.deepcopy(_TARGETS)
    if not rake:
        del wanted["car"]["rake"]
    for name, target in wanted_of(wanted):
        given = number(target, "tolerance")
        if name.endswith("toe"):
            target["tolerance_deg"] = wider * float(np.degrees(np.arcsin(target.pop("tolerance_mm") / 520.0)))
        elif given is not None:
            unit = next(key for key in target if key.startswith("tolerance"))
            target[unit] = wider * given
    return wanted


def simulated(seed: int) -> SetUp | None:
    """One set-up; None where the true car cannot stand so."""
    morning = Morning(np.random.default_rng([*b"set-up", seed]))
    try:
        measured = morning.read({})
        plan = sw.plan(morning.shop.car, measured, sw.load_targets(morning.wanted, morning.shop.car))
        answer = plan.least_work or plan.closest
        after = morning.read(morning.turned_mm(answer))
    except sw.OutOfReach:
        return None
    return SetUp(answer.chance.value, morning.passes(after), answer.name)
