"""Mornings for the tests of doubts: sound ones of any car, drawn by lot, and absurd ones of the demo car."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from shimwise import Car, _core, demo_files

Generator = np.random.Generator
CORNERS = ("front_left", "front_right", "rear_left", "rear_right")


@dataclass
class Morning:
    """The texts of three files."""

    car: str
    readings: str
    targets: str


def demo_morning() -> Morning:
    return Morning(*(path.read_text(encoding="utf-8") for path in demo_files()))


# Sound ----------------------------------------------------------------------------------------------------------------


def sound_morning(car: Car, text: str, rng: Generator) -> Morning:
    """Readings of a car about where it stands by the model, up to five tolerances off what is wanted."""
    bars = "on" if "connected = true" in text else "off"
    stands = car.at_rest().values
    off = {"toe": 5 * 0.055, "camber": 5 * 0.05, "height": 5 * 0.5, "kg": 5.0}

    def by(what: str) -> float:
        return float(rng.uniform(-off[what], off[what]))

    heave, nose, lean = by("height") / 2, by("height") / 4, by("height") / 4
    heights = {
        key.removeprefix("ride_height.").removesuffix("_mm"): value
        + heave
        + (nose if "front" in key else -nose if "rear" in key else nose)
        + (lean if "left" in key else -lean if "right" in key else 0.0)
        for key, value in stands.items()
        if key.startswith("ride_height.")
    }
    warp = by("kg")
    readings = ['format = "shimwise-readings/1"', "[state]", f'bars = "{bars}"', 'rack = "locked at centre"']
    readings += ["[ride_heights_mm]", *(f"{name} = {mm:.1f}" for name, mm in heights.items())]
    targets = ['format = "shimwise-targets/1"']
    for i, name in enumerate(CORNERS):
        span = car.core.corner(_core.CornerId.__members__[name]).wheel.flag_span_mm
        toe, camber = (stands[f"{name}.{what}_deg"] for what in ("toe", "camber"))
        difference = span * np.sin(np.radians(toe + by("toe")))
        middle = rng.uniform(60, 90)
        kg = stands[f"{name}.weight_kg"] + (warp if i in (0, 3) else -warp)
        readings += [
            f"[{name}]",
            f"flags_mm = {{ front = {middle + difference / 2:.1f}, rear = {middle - difference / 2:.1f} }}",
            f"camber_deg = {stands[f'{name}.inclination_deg'] + by('camber'):.2f}",
            f"scale_kg = {kg:.1f}",
        ]
        targets += [
            f"[{name}]",
            f"toe = {{ value_deg = {toe:.2f}, tolerance_mm = 0.5 }}",
            f"camber = {{ value_deg = {camber:.2f}, tolerance_deg = 0.05 }}",
        ]
    targets += ["[ride_height]", *(f"{n} = {{ value_mm = {v:.1f}, tolerance_mm = 0.5 }}" for n, v in heights.items())]
    return Morning(text, "\n".join(readings) + "\n", "\n".join(targets) + "\n")


# Absurd ---------------------------------------------------------------------------------------------------------------

Absurd = Callable[[Morning, Generator], Morning]
ABSURD: dict[str, Absurd] = {}


def absurd(kind: str) -> Callable[[Absurd], Absurd]:
    def listed(make: Absurd) -> Absurd:
        ABSURD[kind] = make
        return make

    return listed


def scaled(text: str, key: str, by: float, rng: Generator, *, all_of_them: bool = False, shift: float = 0.0) -> str:
    """Numbers behind a key, times a factor: of one line drawn by lot, or of all lines with that key."""
    lines = text.split("\n")
    found = [i for i, line in enumerate(lines) if re.search(rf"(^|[ {{]){re.escape(key)} = ", line)]
    assert found, key
    for i in found if all_of_them else [int(rng.choice(found))]:
        head, mark, tail = re.split(rf"((?:^|(?<=[ {{])){re.escape(key)} = )", lines[i], maxsplit=1)
        value, comment = (tail.split("#", 1) + [""])[:2]
        end = _end(value)
        number = re.sub(r"-?\d+\.?\d*", lambda n: repr(round(float(n[0]) * by + shift, 6)), value[:end])
        lines[i] = head + mark + number + value[end:] + (f"#{comment}" if comment else "")
    return "\n".join(lines)


def _end(value: str) -> int:
    """Where a value ends: behind its bracket, or at the next comma."""
    depth = 0
    for i, c in enumerate(value):
        depth += (c in "[{") - (c in "]}")
        if depth < 0 or (depth == 0 and c in ",]}"):
            return i if depth < 0 or c == "," else i + 1
    return len(value)


def _car(kind: str, key: str, *by: float, all_of_them: bool = True, shift: float = 0.0) -> None:
    def make(m: Morning, rng: Generator) -> Morning:
        return replace(m, car=scaled(m.car, key, float(rng.choice(by)), rng, all_of_them=all_of_them, shift=shift))

    ABSURD[kind] = make


def _readings(kind: str, key: str, *by: float, all_of_them: bool = False, shift: float = 0.0) -> None:
    def make(m: Morning, rng: Generator) -> Morning:
        changed = scaled(m.readings, key, float(rng.choice(by)), rng, all_of_them=all_of_them, shift=shift)
        return replace(m, readings=changed)

    ABSURD[kind] = make


def _targets(kind: str, key: str, *by: float, shift: float = 0.0) -> None:
    def make(m: Morning, rng: Generator) -> Morning:
        return replace(m, targets=scaled(m.targets, key, float(rng.choice(by)), rng, shift=shift))

    ABSURD[kind] = make


INCH, POUND = 25.4, 2.2046
_car("centre of gravity in metres", "cg_mm", 0.001)
_car("centre of gravity in inches", "cg_mm", 1 / INCH)
_car("centre of gravity ahead of the car", "cg_mm", -1.0)
_car("mass in pounds", "total_kg", POUND)
_car("mass with a digit more", "total_kg", 10.0)
_car("unsprung mass in grams", "unsprung_kg", 1000.0, 100.0)
_car("unsprung mass forgotten", "unsprung_kg", 0.0, 0.01)
_car("ballast behind the car", "at_mm", 3.0, 10.0, all_of_them=False)
_car("wheel's diameter for its radius", "radius_mm", 2.0)
_car("wheel's radius in inches", "radius_mm", 1 / INCH)
_car("flag span in centimetres", "flag_span_mm", 0.1)
_car("flag span in inches", "flag_span_mm", 1 / INCH)
_car("tyre's rate in N/m", "rate_N_per_mm", 1000.0)
_car("springs in lb/in", "rate_N_per_mm", 5.71, 0.175, shift=0.0)
_car("springs' load in kilograms", "load_at_drawn_N", 0.102, 9.81)
_car("toe as drawn in mm", "toe_deg", 44.0, 60.0, 200.0)
_car("camber as drawn with a digit more", "camber_deg", 10.0, 6.0)
_car("camber shim drawn with ten times as much", "drawn_with_mm", 10.0, 6.0)
_car("shims in hundredths", "front_mm", 100.0, 1 / 100.0)
_car("shims' uncertainty in hundredths", "thickness_uncertainty_mm", 100.0, 50.0)
_car("platform's pitch in inches", "pitch_mm", 1 / INCH, 10.0)
_car("platform's pitch as threads an inch", "pitch_mm", 16.0)
_car("limits of turns in degrees", "limits_turns", 360.0, 60.0)
_car("engagement in inches", "engaged_mm", INCH, 0.05)
_car("minutes in seconds", "minutes", 60.0)
_car("strings' bars in metres", "bars_apart_mm", 0.001, 0.01)
_car("strings' bars within the wheelbase", "bars_apart_mm", 0.5)
_car("rack travel in turns", "mm_per_turn", 0.05, 10.0)
_car("bar's rate in Nm per radian", "blades_Nm_per_deg", 573.0)
_car("flag ruler as coarse as a tape", "flag_ruler", 50.0)
_car("camber gauge in minutes of arc", "camber_gauge", 60.0)
_car("scale in grams", "scale", 1000.0)
_car("settling in micrometres", "ride_height_mm", 100.0)
_car("a rod turned out of sight", "now_turns", 0.0, all_of_them=False, shift=9.0)
_car("height points under a lifted floor", "front_left", 1.0, all_of_them=False, shift=-400.0)
_readings("flags times ten", "flags_mm", 10.0)
_readings("camber without its sign", "camber_deg", -1.0)
_readings("camber with a digit more", "camber_deg", 10.0)
_readings("scales in pounds", "scale_kg", POUND, all_of_them=True)
_readings("one scale with a digit missing", "scale_kg", 0.1, 0.107)
_readings("scales in newtons", "scale_kg", 9.81, all_of_them=True)
_readings("a height out of plane", "rear_left", 1.0, shift=20.0)
_readings("gauge check without its sign", "camber_gauge_deg", 30.0)
_readings("another pack than the settings", "shims_mm", 5.0)
_targets("camber wanted without its sign", "camber", -1.0)
_targets("toe wanted in mm as degrees", "toe", 9.0, 10.0)
_targets("a share for a difference", "front_difference", 1.0, shift=50.0)
_targets("caster wanted of another car", "caster", 5.0)


@absurd("a flag with a digit in front")
def _digit(m: Morning, rng: Generator) -> Morning:
    flag = str(rng.choice(re.findall(r"front = (4\d\.\d)", m.readings)))
    return replace(m, readings=m.readings.replace(f"front = {flag}", f"front = 1{flag}"))


@absurd("pads 10 mm out")
def _pads(m: Morning, rng: Generator) -> Morning:
    pads = dict.fromkeys(CORNERS, 0.0)
    for name in {"one": [CORNERS[int(rng.integers(4))]], "side": CORNERS[::2], "axle": CORNERS[:2]}[
        str(rng.choice(["one", "side", "axle"]))
    ]:
        pads[name] = 10.0 * float(rng.choice([-1, 1]))
    table = ", ".join(f"{name} = {mm}" for name, mm in pads.items())
    return replace(m, readings=re.sub(r"height_mm = \{.*\}", f"height_mm = {{ {table} }}", m.readings))


@absurd("a height in centimetres")
def _centimetres(m: Morning, rng: Generator) -> Morning:
    name, mm = (("rear_left", 42.8), ("rear_right", 41.6), ("front_left", 30.8))[int(rng.integers(3))]
    return replace(m, readings=m.readings.replace(f"{name} = {mm}", f"{name} = {mm / 10:.2f}"))


@absurd("a height read again as another")
def _again(m: Morning, rng: Generator) -> Morning:
    return replace(m, readings=m.readings.replace("29.6]", f"{rng.choice([92.6, 2.96, 39.6])}]"))


@absurd("a string's ends exchanged with the other's")
def _skew(m: Morning, rng: Generator) -> Morning:
    apart = float(rng.choice([45.0, 20.0, 90.5]))
    return replace(
        m, readings=m.readings.replace("left = 905.0, right = 905.0", f"left = {905 + apart}, right = 905.0", 1)
    )


@absurd("thread with a tenth of its pitch")
def _thread(m: Morning, rng: Generator) -> Morning:
    old, new = [("M8x1.25", "M8x0.125"), ("M10x1.25", "M10x0.125"), ("M6x1", "M6x0.1"), ("M8x1.25", "M8x1.4")][
        int(rng.integers(4))
    ]
    return replace(m, car=m.car.replace(old, new))


@absurd("camber shim the other way round")
def _shim(m: Morning, _: Generator) -> Morning:
    return replace(m, car=m.car.replace("direction = [0.0, -1.0, 0.0]", "direction = [0.0, 1.0, 0.0]"))


@absurd("purpose of another adjuster")
def _purpose(m: Morning, rng: Generator) -> Morning:
    what = str(rng.choice(["camber", "caster", "toe"]))
    return replace(m, car=re.sub(r'purpose = "(bar_free|corner_weight)"', f'purpose = "{what}"', m.car))


@absurd("height wanted of another point")
def _wanted(m: Morning, rng: Generator) -> Morning:
    return replace(m, targets=m.targets.replace("value_mm = 30.0", f"value_mm = {rng.choice([300.0, 3.0, 60.0])}", 1))


@absurd("a tolerance with its point moved")
def _tolerance(m: Morning, rng: Generator) -> Morning:
    wide = bool(rng.integers(2))
    return replace(m, targets=m.targets.replace("tolerance_mm = 0.5", f"tolerance_mm = {50.0 if wide else 0.005}", 1))


@absurd("points in inches")
def _inches(m: Morning, _: Generator) -> Morning:
    def smaller(point: re.Match[str]) -> str:
        return "[" + ", ".join(f"{float(x) / INCH:.4f}" for x in point[1].split(",")) + "]"

    number = r"-?\d+\.\d+"
    return replace(m, car=re.sub(rf"\[({number}, {number}, {number})\]", smaller, m.car))
