"""Car, readings, targets, settings and table of points of one recorded car; all invented, the same for the same number.

Cars are drawn as the oracle's are, mornings from what the oracle finds them to be at rest: nothing that is recorded has
a part in them.
"""

from __future__ import annotations

import shutil
import sys
import tomllib
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "oracle"))

from car_table import CORNER_NAMES
from random_cars import random_car
from rest import rest

SPAN_MM = 520.0
EQUIPMENT = """
[tyre]
front = { loaded_radius_mm = 251.0, rate_N_per_mm = 180.0 }
rear = { loaded_radius_mm = 258.0, rate_N_per_mm = 205.0 }

[strings]
bars_apart_mm = 3900.0
on = "car"
end_uncertainty_mm = 0.3

[instruments]
flag_ruler = { resolution_mm = 0.2, level_uncertainty_deg = 0.1 }
camber_gauge = { resolution_deg = 0.02, repeatability_deg = 0.01, zero_error_deg = 0.02, zero_uncertainty_deg = 0.03 }
height_gauge = { resolution_mm = 0.2 }
scale = { resolution_kg = 0.1, repeatability_kg = 0.1, zero_uncertainty_kg = 0.2, span_uncertainty_percent = 0.1 }
pad_level = { resolution_mm = 0.05, repeatability_mm = 0.05 }

[settling]
warp_kg = 0.15
ride_height_mm = 0.1
lateral_mm = 0.15
toe_deg = 0.005
camber_deg = 0.005
"""
OWN_BOX = "box_mm = [0.5, 0.5, 1.0, 2.0]"
SHARED_BOXES = """
[shims]
front_mm = [0.1, 0.2, 0.5, 0.5, 1.0, 2.0]
rear_mm = [0.1, 0.2, 0.5, 0.5, 1.0, 2.0]
"""
DEMO_SETTINGS = """format = "shimwise-settings/1"
car = "Wren"

[turns]
"front_left.track rod" = 0.125
"rear_right.pushrod" = -0.25

[shims_mm]
"front_left.camber shim" = [2.0, 0.5]

[box_mm]
front = [0.1, 0.1, 0.2, 0.2, 0.5, 1.0, 1.0, 1.0, 2.0]
"""
SKID = """format = "shimwise-skid/1"
gauge_uncertainty_mm = 0.05
points = { nose = [-250.0, 0.0, -5.0], tail = [-2100.0, 0.0, -5.0] }
""" + "".join(
    f"""
[[check]]
distance_km = {km}
thickness_mm = {{ nose = {nose}, tail = {tail} }}
ride_height_mm = {{ front_left = {front}, rear_left = 42.0 }}
"""
    for km, nose, tail, front in (
        (0.0, 25.0, 25.1, 30.0),
        (84.0, 24.4, 24.9, 30.0),
        (180.0, 23.7, 24.5, 28.0),
        (262.0, 22.9, 24.3, 28.0),
        (350.0, 22.0, 24.1, 29.0),
    )
)
SWEEP = """format = "shimwise-sweep/1"
hold = "rest"
outputs = ["cross_weight", "toe"]
sample = 4

[[input]]
name = "pad.front_left"
values = [-1.0, 1.0]

[[input]]
name = "pad.rear_right"
between = [-0.5, 0.5]
"""
POINTS = {
    "wheel": ("centre",),
    "upper_wishbone": ("front", "rear", "outer"),
    "lower_wishbone": ("front", "rear", "outer"),
    "track_rod": ("inner", "outer"),
    "pushrod": ("outer", "inner"),
    "rocker": ("axis_point", "axis_direction", "spring"),
    "spring": ("outer", "chassis"),
}

Table = dict[str, Any]


def demo_inputs(demo: tuple[Path, Path, Path]) -> None:
    """Write the demo car's files into the present folder under the names that every car has."""
    for file, name in zip(demo, ("car.toml", "readings.toml", "targets.toml"), strict=True):
        shutil.copy(file, name)
    _write("skid.toml", SKID)
    _write("sweep.toml", SWEEP)
    _write("settings.toml", DEMO_SETTINGS)
    _write("points.csv", points(tomllib.loads(Path("car.toml").read_text(encoding="utf-8"))))


def random_inputs(number: int) -> None:
    """Write the files of random car `number` into the present folder."""
    drawn = random_car(number)
    text = drawn + EQUIPMENT
    if number % 2 == 0:
        text = _sharing(text)
    car = tomllib.loads(text)
    rng = np.random.default_rng([*b"a morning", number])
    stands = rest(tomllib.loads(drawn))
    _write("car.toml", text)
    _write("readings.toml", _readings(number, car, stands, rng))
    _write("targets.toml", _targets(number, stands, rng))
    _write("settings.toml", _settings(car))
    _write("skid.toml", SKID)
    _write("sweep.toml", SWEEP)
    _write("points.csv", points(car))


def _sharing(text: str) -> str:
    """Camber shims out of a box that the axle shares, the other packs out of their own."""
    front, middle, rear = text.partition("\n[rear_left]\n")
    for axle, part in (("front", front), ("rear", rear)):
        before, name, after = part.partition('name = "camber shim"')
        shared = before + name + after.replace(OWN_BOX, f'box = "{axle}"', 1)
        front, rear = (shared, rear) if axle == "front" else (front, shared)
    return front + middle + rear + SHARED_BOXES


def points(car: Table) -> str:
    """A table of points of the left corners, as `shimwise new` takes it."""
    rows = ["corner, point, x_mm, y_mm, z_mm"]
    for corner in ("front_left", "rear_left"):
        for part, ends in POINTS.items():
            given = car[corner].get(part, {})
            rows += [f"{corner}, {part}.{end}, {', '.join(map(str, given[end]))}" for end in ends if end in given]
    return "\n".join(rows) + "\n"


def _write(name: str, text: str) -> None:
    Path(name).write_text(text, encoding="utf-8")


def _read(true: float, resolution: float) -> float:
    return round(round(true / resolution) * resolution, 4)


def _readings(number: int, car: Table, stands: Any, rng: np.random.Generator) -> str:
    """The car off its rest by as much as a morning's is; what is read, and how, follows from the number."""
    lines = ['format = "shimwise-readings/1"', "at = 2026-05-02T08:10:00Z", "", "[state]"]
    lines += [f'bars = "{("off", "on")[number % 2]}"', f'struts = "{"solid" if number % 7 == 5 else "springs"}"']
    lines += [f'rack = "{"free" if number % 4 == 3 else "locked at centre"}"']
    lines += [f'heights_from = "{"plate" if number % 5 == 2 else "pads"}"']
    lines += [f"ballast_kg = {{ driver = {car['ballast'][0]['now_kg'] + (number % 3 == 1)} }}"]
    if number % 2 == 0:
        lines += ["", "[strings]"]
        for axle in ("front", "rear"):
            left, right = (_read(905.0 + rng.uniform(-2, 2), 0.5) for _ in range(2))
            lines += [f"{axle}_bar_mm = {{ left = {left}, right = {right} }}"]
    if number % 3 != 1:
        heights = ", ".join(f"{name} = {_read(rng.uniform(-0.4, 0.4), 0.05)}" for name in CORNER_NAMES)
        lines += ["", "[pads]", f"height_mm = {{ {heights} }}"]
    lines += ["", "[ride_heights_mm]"]
    for name, height_mm in stands.ride_height_mm.items():
        reads = [_read(height_mm + rng.uniform(-1, 1), 0.2) for _ in range(1 + number % 2)]
        lines += [f"{name} = {reads}"]
    if number % 2 == 1:
        lines += ["", "[gauge_check]", "camber_gauge_deg = { facing = 0.06, turned = 0.02 }"]
    for name in CORNER_NAMES:
        corner = stands.corner[name]
        lines += ["", f"[{name}]"]
        toe, camber = (corner.ground[angle] + rng.uniform(-0.25, 0.25) for angle in ("toe_deg", "camber_deg"))
        if not (number % 6 == 5 and name == "rear_right"):
            half = SPAN_MM * np.tan(np.radians(toe)) / 2
            lines += [f"flags_mm = {{ front = {_read(42.0 + half, 0.2)}, rear = {_read(42.0 - half, 0.2)} }}"]
        facing, turned = _read(camber, 0.02), _read(0.04 - camber, 0.02)
        both_ways = f"{{ facing = {facing}, turned = {turned} }}"
        lines += [f"camber_deg = {both_ways if number % 3 == 2 else facing}"]
        if number % 7 != 5:
            lines += [f"scale_kg = {max(_read(corner.weight_kg + rng.uniform(-2, 2), 0.1), 0.1)}"]
        if name == "front_left" and number % 4 == 1:
            rod = car["front_left"]["track_rod"]
            length = float(np.linalg.norm(np.subtract(rod["outer"], rod["inner"])))
            lines += [f"lengths_mm = {{ track_rod = {_read(length + 0.4, 0.1)} }}"]
        if name == "front_left" and number % 4 == 2:
            lines += ['shims_mm = { "camber shim" = [1.0, 1.0] }']
    return "\n".join(lines) + "\n"


def _targets(number: int, stands: Any, rng: np.random.Generator) -> str:
    lines = ['format = "shimwise-targets/1"']
    for name in CORNER_NAMES:
        ground = stands.corner[name].ground
        toe, camber = (round(ground[angle] + rng.uniform(-0.2, 0.2), 2) for angle in ("toe_deg", "camber_deg"))
        caster = round(ground["caster_deg"], 1)
        lines += ["", f"[{name}]", f"toe = {{ value_deg = {toe}, tolerance_mm = 0.5 }}"]
        if number % 4 == 2 and name.startswith("rear"):
            lines += [f"camber = {{ least_deg = {round(camber - 0.3, 2)}, most_deg = {round(camber + 0.3, 2)} }}"]
        else:
            lines += [f"camber = {{ value_deg = {camber} }}"]
        if name.startswith("front"):
            limit, wish = f"least_deg = {caster - 1.0:.1f}", f"value_deg = {caster}, tolerance_deg = 0.3"
            lines += [f"caster = {{ {wish if number % 3 == 1 else limit} }}"] if number % 3 != 2 else []
    lines += ["", "[car]", f"rake = {{ value_mm = {round(stands.rake_mm + 1.0, 0)}, tolerance_mm = 0.5 }}"]
    lines += [
        "front_difference = { value_kg = 0.0 }",
        "cross_weight = { value_percent = 50.0, tolerance_percent = 0.5 }",
    ]
    if number % 2 == 0:
        toes = sum(stands.corner[name].ground["toe_deg"] for name in ("rear_left", "rear_right"))
        lines += [f"total_toe_rear = {{ value_deg = {round(toes, 2)}, tolerance_deg = 0.1 }}"]
        lines += ["thrust_angle = { value_deg = 0.0, tolerance_deg = 0.05 }"]
    lines += ["", "[ride_height]"]
    lines += [f"{name} = {{ value_mm = {round(height_mm, 0)} }}" for name, height_mm in stands.ride_height_mm.items()]
    return "\n".join(lines) + "\n"


def _settings(car: Table) -> str:
    """Two threads turned, and another shim fitted at the front left, out of its own box or the one that is shared."""
    stack = next(a for a in car["front_left"]["adjuster"] if a["name"] == "camber shim")
    key = "front_left.camber shim"
    box, held = ("front", car["shims"]["front_mm"]) if "box" in stack else (key, stack["box_mm"])
    *left, taken = held
    turned = {
        f"{corner}.track rod": next(a for a in car[corner]["adjuster"] if a["name"] == "track rod")["now_turns"] + 0.125
        for corner in ("front_left", "rear_left")
    }
    lines = ['format = "shimwise-settings/1"', f'car = "{car["name"]}"', "", "[turns]"]
    lines += [f'"{name}" = {turns}' for name, turns in turned.items()]
    lines += ["", "[shims_mm]", f'"{key}" = [{taken}]', "", "[box_mm]", f'"{box}" = {[*left, *stack["fitted_mm"]]}']
    return "\n".join(lines) + "\n"
