"""A car that is read again and again: at two places, by teams whose instruments are off by what lasts.

A sheet is read off the nonlinear car at rest and written down to the last digits. All data are invented.
"""

from __future__ import annotations

import copy
import math
from dataclasses import dataclass, field
from typing import Any

import numpy as np

import shimwise as sw

WHEELS = ("front_left", "front_right", "rear_left", "rear_right")
SIDES, ENDS = ("left", "right"), ("front", "rear")
WARP = (1.0, -1.0, -1.0, 1.0)
STRING_MM = 905.0
Table = dict[str, Any]
Generator = np.random.Generator


@dataclass
class Team:
    """Instruments, and by how much each of them is always off."""

    name: str
    string_mm: dict[tuple[str, str], float]
    zero_deg: float
    scale_kg: dict[str, float]
    span: dict[str, float]


@dataclass
class Visit:
    """One sheet: where, by whom, how the car stands, and what the sheet says of that."""

    team: Team
    at: str
    place: str = "barn"
    pads_mm: dict[str, float] = field(default_factory=lambda: dict.fromkeys(WHEELS, 0.0))
    ballast_kg: dict[str, float] = field(default_factory=dict)
    said_kg: dict[str, float] | None = None  # as `ballast_kg` where not given
    settings: dict[str, Any] = field(default_factory=dict)  # as `at_rest` takes them


class Weekend:
    """One car and how it is read."""

    def __init__(self, table: Table, rng: Generator) -> None:
        self.table, self.rng = table, rng
        self.car = sw.load_car(table)
        self.instruments, self.settling = table["instruments"], table["settling"]
        self.apart_mm = table["strings"]["bars_apart_mm"]
        self.loaded_kg = {one["name"]: float(one["now_kg"]) for one in table.get("ballast", [])}

    def off(self, u: float) -> float:
        return float(u * self.rng.normal())

    def team(self, name: str) -> Team:
        scale, end_mm = self.instruments["scale"], self.table["strings"]["end_uncertainty_mm"]
        return Team(
            name,
            {(side, end): self.off(end_mm) for side in SIDES for end in ENDS},
            self.off(self.instruments["camber_gauge"]["zero_uncertainty_deg"]),
            {wheel: self.off(scale["zero_uncertainty_kg"]) for wheel in WHEELS},
            {wheel: 1.0 + self.off(0.01 * scale["span_uncertainty_percent"]) for wheel in WHEELS},
        )

    def pads(self, u_mm: float) -> dict[str, float]:
        return {wheel: self.off(u_mm) for wheel in WHEELS}

    def _read(self, value: float, instrument: str, unit: str) -> float:
        of = self.instruments[instrument]
        digit = of[f"resolution_{unit}"]
        return round(round((value + self.off(of.get(f"repeatability_{unit}", 0.0))) / digit) * digit, 6)

    def sheet(self, visit: Visit) -> Table:
        """What stands on the clipboard."""
        loaded = self.loaded_kg | visit.ballast_kg
        true = self.car.at_rest(pads_mm=visit.pads_mm, ballast_kg=loaded, settings=visit.settings or None).values
        team, settles = visit.team, self.settling
        warp = self.off(settles["warp_kg"])
        sheet: Table = {
            "format": "shimwise-readings/1",
            "place": visit.place,
            "at": visit.at,
            "instruments": dict.fromkeys(("strings", "camber_gauge", "scale"), f"{team.name}'s"),
            "state": {
                "ballast_kg": loaded if visit.said_kg is None else self.loaded_kg | visit.said_kg,
                "bars": "off",
                "rack": "locked at centre",
                "struts": "springs",
                "heights_from": "pads",
            },
            "strings": {f"{end}_bar_mm": dict.fromkeys(SIDES, STRING_MM) for end in ENDS},
            "pads": {"height_mm": {w: self._read(mm, "pad_level", "mm") for w, mm in visit.pads_mm.items()}},
            "ride_heights_mm": {
                point: self._read(
                    true[f"ride_height.{point}_mm"] + self.off(settles["ride_height_mm"]), "height_gauge", "mm"
                )
                for point in WHEELS
            },
        }
        for wheel, sign in zip(WHEELS, WARP, strict=True):
            leans = true[f"{wheel}.inclination_to_plumb_deg"] + self.off(settles["camber_deg"])
            kg = true[f"{wheel}.weight_kg"] * team.span[wheel] + team.scale_kg[wheel] + sign * warp
            sheet[wheel] = {
                "flags_mm": self._flags(wheel, true, team),
                "camber_deg": self._read(leans + team.zero_deg, "camber_gauge", "deg"),
                "scale_kg": self._read(kg, "scale", "kg"),
            }
        return sheet

    def _flags(self, wheel: str, true: dict[str, float], team: Team) -> dict[str, float]:
        """Front and rear: two points of the wheel's plane, held not quite level, beside a string not quite straight."""
        side, span = wheel.partition("_")[2], self.table["setup_wheel"][wheel.partition("_")[0]]["flag_span_mm"]
        level = math.radians(self.off(self.instruments["flag_ruler"]["level_uncertainty_deg"]))
        ends = [team.string_mm[side, end] for end in ENDS]  # by how much each lies farther out than it is read
        string = math.atan((ends[0] - ends[1]) / self.apart_mm)
        toe = math.radians(true[f"{wheel}.toe_deg"] + self.off(self.settling["toe_deg"])) + string
        leans = math.radians(true[f"{wheel}.camber_deg"])
        by = span * (math.cos(level) * math.sin(toe) - math.sin(level) * math.sin(leans) * math.cos(toe))
        middle = 41.0 + self.rng.uniform(-0.5, 0.5)
        return {
            "front": self._read(middle + 0.5 * by, "flag_ruler", "mm"),
            "rear": self._read(middle - 0.5 * by, "flag_ruler", "mm"),
        }

    def readings(self, sheet: Table, settings: dict[str, Any] | None = None) -> sw.Readings:
        return sw.load_readings(_dated(sheet), self.car.with_settings(settings) if settings else self.car)


def _dated(sheet: Table) -> Table:
    import datetime

    sheet = copy.deepcopy(sheet)
    sheet["at"] = datetime.date.fromisoformat(sheet["at"])
    return sheet
