"""A car file, a sheet of readings and targets as a mirror shows them: left is right."""

from __future__ import annotations

import copy
from typing import Any

from car_table import corner_tables, mirrored

Table = dict[str, Any]
AXLES = ("front", "rear")
WHEELS = ("front_left", "front_right", "rear_left", "rear_right")


def other(name: str) -> str:
    """ "front_left" of "front_right"; anything else is itself."""
    ends = (("left", "right"), ("right", "left"))
    return next((name.removesuffix(one) + two for one, two in ends if name.endswith(one)), name)


def mirrored_key(key: str) -> str:
    """Of an adjuster or a value."""
    return ".".join(other(part) for part in key.split("."))


def flipped(at_mm: list[float]) -> list[float]:
    return [at_mm[0], -at_mm[1], at_mm[2]]


def mirrored_car(table: Table) -> Table:
    """With both sides written out."""
    car = copy.deepcopy(table)
    corners = corner_tables(table)
    for wheel in WHEELS:
        car[wheel] = mirrored(corners[other(wheel)])
    mass = car["mass"]
    if "cg_mm" in mass:
        mass["cg_mm"] = flipped(mass["cg_mm"])
    if "scales_kg" in mass:
        mass["scales_kg"] = {other(wheel): kg for wheel, kg in mass["scales_kg"].items()}
    for ballast in car.get("ballast", []):
        ballast["at_mm"] = flipped(ballast["at_mm"])
    points = car["ride_height_points"]
    for name in [name for name in points if name.endswith("_left")]:
        points.setdefault(other(name), points[name] | {"at_mm": flipped(points[name]["at_mm"])})
    car["ride_height_points"] = {
        other(name): point | {"at_mm": flipped(point["at_mm"])} for name, point in points.items()
    }
    for axle in AXLES:
        for part in (f"{axle}_bar", f"{axle}_third"):
            if part in car:
                car[part] |= _mirrored_sides(car[part])
    return car


def _mirrored_sides(part: Table) -> Table:
    """`left` and `right` of a bar or a third element."""
    turned = mirrored({side: part[side] for side in ("left", "right") if side in part})
    return {"left": turned.get("right", part["left"]), "right": turned["left"]}


def mirrored_sheet(sheet: Table) -> Table:
    """Of readings; heights, angles, weights and flags have no side of their own."""
    return {key: mirrored_sheet(value) if isinstance(value, dict) else value for key, value in _swapped(sheet)}


def mirrored_targets(targets: Table) -> Table:
    """The same; a difference is the other way round."""
    other_side = mirrored_sheet(targets)
    for name in ("front_difference", "rear_difference"):
        if name in other_side.get("car", {}):
            target = other_side["car"][name]
            other_side["car"][name] = target | {"value_kg": -target["value_kg"]}
    return other_side


def _swapped(table: Table) -> list[tuple[str, Any]]:
    return [(other(key), value) for key, value in table.items()]
