"""Flags beside strings, built from points in space: what a sheet of such readings amounts to, and how it follows them.

Wheels are directions, flags are tips on an arm that may be off level, a string is a line through its two ends, and a
flag's reading is the level distance of its tip from that line. The library is given the readings alone. Its values must
be what was built, and its derivatives those of this construction, found by complex steps and the implicit rule.
"""

from __future__ import annotations

import datetime
import tomllib
from typing import Any

import numpy as np
import pytest

import shimwise as sw

CORNERS = ("front_left", "front_right", "rear_left", "rear_right")
FRONT_BAR_X = 620.0  # where the front bar is; the rear one follows from how far they are apart
STEP = 1e-30  # imaginary: the slope has no difference of near numbers in it
RADIANS = np.pi / 180.0


def demo() -> dict[str, Any]:
    return tomllib.loads(sw.demo_files().car.read_text(encoding="utf-8"))


class Built:
    """A car between its strings; lengths mm, angles deg, left y +."""

    def __init__(self, car: dict[str, Any], rng: np.random.Generator) -> None:
        self.apart = car["strings"]["bars_apart_mm"]
        self.wheel = {}
        for corner in CORNERS:
            x, y, _z = car[corner.replace("right", "left")]["wheel"]["centre"]
            span = car["setup_wheel"][corner.split("_")[0]]["flag_span_mm"]
            self.wheel[corner] = (x, y if corner.endswith("left") else -y, span)
        self.toe = {corner: rng.uniform(-1.5, 1.5) for corner in CORNERS}
        self.inclination = {corner: rng.uniform(-4.0, 2.0) for corner in CORNERS}
        self.ends = {
            f"strings.{side}.{bar}": 905.0 + rng.uniform(-8.0, 8.0)
            for side in ("left", "right")
            for bar in ("front", "rear")
        }
        self.level = dict.fromkeys(CORNERS, 0.0)
        self.lateral = {"front": 0.0, "rear": 0.0}

    def more(self, corner: str, **changed: complex) -> complex:
        """Front flag less rear flag at a wheel, with some of it changed by these amounts."""
        x, y, span = self.wheel[corner]
        side, out = corner.split("_")[1], 1.0 if corner.endswith("left") else -1.0
        toe = (self.toe[corner] + changed.get("toe", 0.0)) * RADIANS
        lean = self.inclination[corner] * RADIANS
        off = (self.level[corner] + changed.get("level", 0.0)) * RADIANS
        forward = np.array([np.cos(toe), -out * np.sin(toe), 0.0])  # toe-in: the front toward the middle
        outboard = np.cross([0.0, 0.0, 1.0], forward) * out
        upward = np.cos(lean) * np.array([0.0, 0.0, 1.0]) + np.sin(lean) * outboard  # + = top outboard
        arm = np.cos(off) * forward + np.sin(off) * upward
        wheelbase = self.wheel["front_left"][0] - self.wheel["rear_left"][0]
        sideways = {axle: self.lateral[axle] + changed.get(f"lateral_{axle}", 0.0) for axle in self.lateral}
        yaw = np.arctan((sideways["front"] - sideways["rear"]) / wheelbase)
        turn = np.array([[np.cos(yaw), -np.sin(yaw), 0.0], [np.sin(yaw), np.cos(yaw), 0.0], [0.0, 0.0, 1.0]])
        front, rear = (
            np.array([xf, out * (self.ends[f"strings.{side}.{bar}"] + changed.get(bar, 0.0))])
            for bar, xf in (("front", FRONT_BAR_X), ("rear", FRONT_BAR_X - self.apart))
        )
        along = (front - rear) / np.sqrt((front - rear) @ (front - rear))
        outward = np.array([-along[1], along[0]]) * out
        tips = [(turn @ (np.array([x, y, 0.0]) + half * span * arm))[:2] for half in (0.5, -0.5)]
        ahead, behind = (complex((front - tip) @ outward) for tip in tips)
        return ahead - behind

    def sheet(self) -> dict[str, Any]:
        bars = {
            bar: {side: self.ends[f"strings.{side}.{bar}"] for side in ("left", "right")} for bar in ("front", "rear")
        }
        sheet: dict[str, Any] = {
            "format": "shimwise-readings/1",
            "at": datetime.date(2026, 5, 2),
            "state": {"rack": "locked at centre"},
            "strings": {"front_bar_mm": bars["front"], "rear_bar_mm": bars["rear"]},
        }
        for corner in CORNERS:
            sheet[corner] = {
                "flags_mm": {"front": 40.0 + self.more(corner).real, "rear": 40.0},
                "camber_deg": self.inclination[corner],
            }
        return sheet

    def slope(self, corner: str, what: str) -> float:
        """d (front flag less rear flag) / d input or toe."""
        return self.more(corner, **{what: STEP * 1j}).imag / STEP

    def by(self, corner: str, what: str) -> float:
        """d toe / d input with the readings as they are: the implicit rule."""
        return -self.slope(corner, what) / self.slope(corner, "toe")

    def by_flag(self, corner: str) -> float:
        """d toe / d front flag."""
        return 1.0 / self.slope(corner, "toe")


def measured_of(car: dict[str, Any], built: Built) -> sw.Measured:
    return sw.load_readings(built.sheet(), sw.load_car(car)).reduce()


@pytest.mark.parametrize("on", ["car", "stands"])
def test_toe_beside_skewed_strings_is_what_was_built(on: str, size) -> None:
    car = demo()
    car["strings"]["on"] = on
    car["instruments"]["camber_gauge"]["zero_error_deg"] = 0.0
    rng = np.random.default_rng([2026, 13])
    for _ in range(size(20, 200)):
        built = Built(car, rng)
        measured = measured_of(car, built)
        names = list(measured.inputs)
        assert ("settling.lateral.front" in names) == (on == "stands")
        for corner in CORNERS:
            at = measured.keys.index(f"{corner}.toe")
            row = dict(zip(names, measured.by_inputs[at], strict=True))
            assert abs(measured.values[at] - built.toe[corner]) < 1e-10
            side = corner.split("_")[1]
            wanted = {
                f"{corner}.flags.front": built.by_flag(corner),
                f"{corner}.flags.rear": -built.by_flag(corner),
                f"{corner}.flags.level": built.by(corner, "level"),
                f"strings.{side}.front": built.by(corner, "front"),
                f"strings.{side}.rear": built.by(corner, "rear"),
            }
            if on == "stands":
                wanted |= {
                    f"settling.lateral.{axle}": built.by(corner, f"lateral_{axle}") for axle in ("front", "rear")
                }
            within = 1e-9 * max(map(abs, row.values()))
            for name, slope in wanted.items():
                assert abs(row[name] - slope) < within, (corner, name)
            others = set(names) - set(wanted) - {f"{corner}.toe.settling"}
            assert all(abs(row[name]) < 1e-12 for name in others)


def test_a_string_that_is_read_wrong_turns_both_toes_beside_it() -> None:
    car = demo()
    car["instruments"]["camber_gauge"]["zero_error_deg"] = 0.0
    built = Built(car, np.random.default_rng(1))
    sheet = built.sheet()
    sheet["strings"]["front_bar_mm"]["left"] += 4.0
    measured = sw.load_readings(sheet, sw.load_car(car)).reduce()
    turned = np.degrees(4.0 / built.apart)
    for corner in CORNERS:
        off = measured.values[measured.keys.index(f"{corner}.toe")] - built.toe[corner]
        assert off == pytest.approx(-turned if corner.endswith("left") else 0.0, abs=1e-6 + 1e-4 * turned)
