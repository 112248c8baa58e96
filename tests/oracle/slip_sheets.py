"""Sheets of a car that is not quite what its file says, read by instruments that are not quite exact.

A sheet is read off the nonlinear car at rest, which is as far off its file as `[known]` allows, and written down to the
last digits of the instruments. All data are invented.
"""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

import shimwise as sw

Table = dict[str, Any]
Key = tuple[str, str]  # wheel, point or side, and what is read there
Sheet = dict[Key, float]
Off = Callable[[str, float], float]  # how far something is off, by its name and its standard deviation

WHEELS = ("front_left", "front_right", "rear_left", "rear_right")
SIDES, ENDS = ("left", "right"), ("front", "rear")
WARP = (1.0, -1.0, -1.0, 1.0)
STRING_MM = 905.0  # from the centre plane, at all four ends, as read
FLAGS_OUT_MM = 12.0
LENGTH_MM = 0.25  # how well a length is read eye to eye
LENGTHS_READ = ("track_rod", "pushrod")
KNOWN = {
    "toe_deg": 0.03,
    "camber_deg": 0.03,
    "places_mm": 0.3,
    "total_kg": 0.5,
    "total_at_mm": 1.0,
    "rods_mm": 1.0,
    "pushrods_mm": 1.5,
    "platforms_mm": 0.5,
}
KNOWN_BY_LENGTH = {"pushrod": "pushrods_mm", "spring_platform": "platforms_mm"}  # any other is a rod


def demo() -> Table:
    return tomllib.loads(sw.demo_files().car.read_text(encoding="utf-8"))


def known_car(table: Table) -> Table:
    """The same with the demo's instruments, strings and settling, bars off, and known well."""
    table = copy.deepcopy(table)
    table |= {key: demo()[key] for key in ("instruments", "strings", "settling")} | {"known": KNOWN}
    for wheel in table["setup_wheel"].values():
        wheel |= {"flags_out_mm": FLAGS_OUT_MM, "flag_span_mm": 520.0}
    for axle in ENDS:
        if f"{axle}_bar" in table:
            table[f"{axle}_bar"]["connected"] = False
    return table


class Workshop:
    """One car, and how it is read: without lengths, or with those of track rods and pushrods."""

    def __init__(self, table: Table, *, lengths: bool) -> None:
        self.table, self.car, self.lengths = table, sw.load_car(table), lengths
        values = self.car.at_rest().values
        ride_height = "ride_height."
        self.points = [key.removeprefix(ride_height)[:-3] for key in values if key.startswith(ride_height)]
        self.rods = {
            key: adjuster.length
            for key, adjuster in self._adjusters()
            if adjuster.length and adjuster.length != "drop_link"
        }
        self.x_mm = {wheel: float(table[left(wheel)]["wheel"]["centre"][0]) for wheel in WHEELS}
        self.setup_wheel = {wheel: table["setup_wheel"][wheel.partition("_")[0]] for wheel in WHEELS}
        scatter, read = table["settling"], table["instruments"]
        self.settling, self.instruments = scatter, read
        self.digit = {
            **dict.fromkeys(("front", "rear"), read["flag_ruler"]["resolution_mm"]),
            "camber": read["camber_gauge"]["resolution_deg"],
            "height": read["height_gauge"]["resolution_mm"],
            "scale": read["scale"]["resolution_kg"],
        }

    def _adjusters(self) -> list[tuple[str, Any]]:
        names = {wheel: [a["name"] for a in self.table[left(wheel)]["adjuster"]] for wheel in WHEELS}
        keys = [f"{wheel}.{name}" for wheel in WHEELS for name in names[wheel]]
        return [(key, self.car.adjuster(key)) for key in keys]

    def is_read(self, rod: str) -> bool:
        return self.lengths and self.rods[rod] in LENGTHS_READ

    def true_car(self, off: Off) -> tuple[sw.Car, dict[str, float]]:
        """What stands on the pads, and how much longer its rods are than they are set."""
        table = copy.deepcopy(self.table)
        table["mass"]["total_kg"] += off("total", KNOWN["total_kg"])
        x, y, z = table["mass"]["cg_mm"]
        table["mass"]["cg_mm"] = [x + off("total x", KNOWN["total_at_mm"]), y + off("total y", KNOWN["total_at_mm"]), z]
        for adjuster in (a for wheel in WHEELS for a in table.get(wheel, {}).get("adjuster", [])):
            for limit in ("limits_turns", "length_limits_mm", "engaged_mm", "least_engaged_mm"):
                adjuster.pop(limit, None)
        longer = {rod: off(rod, KNOWN[KNOWN_BY_LENGTH.get(length, "rods_mm")]) for rod, length in self.rods.items()}
        return sw.load_car(table), longer

    def sheet(self, off: Off) -> Sheet:
        """What is read, before the last digits."""
        car, longer = self.true_car(off)
        level = self.instruments["pad_level"]
        pad_u = np.hypot(level["repeatability_mm"], level["resolution_mm"] / np.sqrt(12.0))
        pads = {wheel: off(f"pad {wheel}", pad_u) for wheel in WHEELS}
        true = car.at_rest(settings={rod: f"{by:+.9f} mm" for rod, by in longer.items()}, pads_mm=pads).values
        settles = self.settling
        sheet: Sheet = {}
        for point in self.points:
            at = f"ride_height.{point}"
            u = np.hypot(KNOWN["places_mm"], settles["ride_height_mm"])
            sheet[point, "height"] = true[f"{at}_mm"] + off(at, u)
        gauge, scale = self.instruments["camber_gauge"], self.instruments["scale"]
        digit = gauge["resolution_deg"] / np.sqrt(12.0)
        zero = off("gauge zero", np.hypot(gauge["repeatability_deg"], digit) / np.sqrt(2.0))
        warp = off("warp", settles["warp_kg"])
        for wheel, sign in zip(WHEELS, WARP, strict=True):
            camber_u = np.hypot(KNOWN["camber_deg"], settles["camber_deg"])
            camber = true[f"{wheel}.camber_deg"] + off(f"{wheel} camber", camber_u)
            sheet[wheel, "camber"] = camber + zero + off(f"{wheel} gauge", gauge["repeatability_deg"])
            span = 1.0 + off(f"{wheel} scale span", 0.01 * scale["span_uncertainty_percent"])
            kg_u = np.hypot(scale["zero_uncertainty_kg"], scale["repeatability_kg"])
            sheet[wheel, "scale"] = true[f"{wheel}.weight_kg"] * span + off(f"{wheel} scale", kg_u) + sign * warp
        self._flags(sheet, true, off)
        for rod, length in self.rods.items():
            if self.is_read(rod):
                wheel = rod.partition(".")[0]
                sheet[wheel, length] = self.set_to(rod) + longer[rod] + off(f"{rod} read", LENGTH_MM)
        return sheet

    def _flags(self, sheet: Sheet, true: dict[str, float], off: Off) -> None:
        """Between strings whose ends are not quite where they were read: two points of the wheel's plane."""
        end_u = self.table["strings"]["end_uncertainty_mm"]
        string = {(s, e): STRING_MM + off(f"string {s} {e}", end_u) for s in SIDES for e in ENDS}
        middle, apart = np.mean(list(self.x_mm.values())), self.table["strings"]["bars_apart_mm"]
        for wheel in WHEELS:
            toe_u = np.hypot(KNOWN["toe_deg"], self.settling["toe_deg"])
            toe = np.radians(true[f"{wheel}.toe_deg"] + off(f"{wheel} toe", toe_u))
            camber = np.radians(true[f"{wheel}.camber_deg"])
            level = np.radians(off(f"{wheel} flags level", self.instruments["flag_ruler"]["level_uncertainty_deg"]))
            toe += level * np.sin(camber)
            place_u = np.hypot(KNOWN["places_mm"], self.settling["lateral_mm"])
            disc = true[f"{wheel}.half_track_mm"] + self.setup_wheel[wheel]["radius_mm"] * np.sin(camber)
            out = disc + FLAGS_OUT_MM + off(f"{wheel} place", place_u)
            side = wheel.partition("_")[2]
            for flag, along in (("front", 0.5), ("rear", -0.5)):
                arm = along * self.setup_wheel[wheel]["flag_span_mm"]
                share = 0.5 + (self.x_mm[wheel] + arm * np.cos(toe) - middle) / apart
                at_flag = share * string[side, "front"] + (1.0 - share) * string[side, "rear"]
                sheet[wheel, flag] = at_flag - out + arm * np.sin(toe)
            for end in ENDS:
                sheet[side, f"{end} bar"] = STRING_MM

    def set_to(self, rod: str) -> float:
        """Eye to eye, as the file has it."""
        wheel, length = rod.partition(".")[0], self.rods[rod]
        mirrored = {end: at * np.array((1.0, -1.0, 1.0)) for end, at in self._ends(left(wheel), length).items()}
        ends = self._ends(wheel, length) if wheel == left(wheel) else mirrored | self._ends(wheel, length)
        return float(np.linalg.norm(ends["outer"] - ends["inner"])) + self.car.adjuster(rod).amount_mm

    def _ends(self, wheel: str, length: str) -> dict[str, NDArray[np.float64]]:
        """Those that the file gives at this wheel."""
        given = self.table.get(wheel, {}).get(length, {})
        return {end: np.array(given[end]) for end in ("outer", "inner") if end in given}

    def written(self, sheet: Sheet) -> Sheet:
        """To the last digit; 0.1 mm of a length and of a string's end."""
        digit = {key: self.digit.get(key[1], 0.1) for key in sheet}
        return {key: round(round(value / digit[key]) * digit[key], 6) for key, value in sheet.items()}

    def readings(self, sheet: Sheet) -> sw.Readings:
        table: Table = {
            "format": "shimwise-readings/1",
            "state": {
                "ballast_kg": {one["name"]: one["now_kg"] for one in self.table.get("ballast", [])},
                "bars": "off",
                "rack": "locked at centre",
                "struts": "springs",
                "heights_from": "pads",
            },
            "strings": {f"{end}_bar_mm": {side: sheet[side, f"{end} bar"] for side in SIDES} for end in ENDS},
            "pads": {"height_mm": dict.fromkeys(WHEELS, 0.0)},
            "ride_heights_mm": {point: sheet[point, "height"] for point in self.points},
            "gauge_check": {"camber_gauge_deg": {"facing": 0.0, "turned": 0.0}},
        }
        for wheel in WHEELS:
            table[wheel] = {
                "flags_mm": {flag: sheet[wheel, flag] for flag in ENDS},
                "camber_deg": sheet[wheel, "camber"],
                "scale_kg": sheet[wheel, "scale"],
                "lengths_mm": {length: sheet[wheel, length] for length in LENGTHS_READ if (wheel, length) in sheet},
            }
        return sw.load_readings(table, self.car)


def left(wheel: str) -> str:
    return wheel.replace("right", "left")


def drawn(rng: np.random.Generator, noise: float = 1.0) -> Off:
    return lambda _name, u: noise * u * rng.normal()


def covariance(shop: Workshop) -> tuple[list[Key], NDArray[np.float64]]:
    """Of a sound sheet, last digits with it: by differences of the nonlinear car, one deviation each way."""
    names: list[str] = []

    def exact(name: str, _u: float) -> float:
        names.append(name)
        return 0.0

    keys = [key for key in shop.sheet(exact) if not key[1].endswith("bar")]

    def read(which: str, way: float) -> NDArray[np.float64]:
        sheet = shop.sheet(lambda name, u: way * u if name == which else 0.0)
        return np.array([sheet[key] for key in keys])

    columns = [0.5 * (read(name, 1.0) - read(name, -1.0)) for name in names]
    digits = np.array([shop.digit.get(what, 0.1) for _at, what in keys])
    return keys, np.array(columns).T @ np.array(columns) + np.diag(digits**2 / 12.0)
