"""Steer of the front wheels over rack travel against the ideal of a car that turns about one point."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from car_table import CORNER_NAMES, Table, corner_tables
from corner import Corner
from vectors import Array

STEERING = ("left_deg", "right_deg", "inner_deg", "outer_deg", "ideal_outer_deg", "ackermann_error_deg")


def ideal_outer_deg(inner_deg: Array, track_over_wheelbase: float) -> Array:
    """cot(outer) - cot(inner) = track/wheelbase, written as tangents so that straight ahead gives 0."""
    tangent = np.tan(np.radians(inner_deg))
    return np.degrees(np.arctan(tangent / (1 + track_over_wheelbase * tangent)))


def corners_of(car: Table) -> dict[str, Corner]:
    """The four corners of a parsed car file."""
    tables = corner_tables(car)
    direction = car.get("rack", {}).get("direction", [0.0, 1.0, 0.0])
    return {
        name: Corner(tables[name], car["setup_wheel"][name.split("_")[0]], direction, name.split("_")[1])
        for name in CORNER_NAMES
    }


def track_over_wheelbase(corners: dict[str, Corner]) -> float:
    """Front track over wheelbase, from the four contacts at travel 0 and with the rack at its centre."""
    contact = {name: corner.place(*corner.present()).contact[0] for name, corner in corners.items()}
    track = contact["front_left"][1] - contact["front_right"][1]
    front, rear = (contact[f"{axle}_left"][0] + contact[f"{axle}_right"][0] for axle in ("front", "rear"))
    return float(track / ((front - rear) / 2))


def steering(car: Table, rack_mm: Iterable[float]) -> dict[str, Array]:
    """All of STEERING at travel 0 and present settings; + is to the left, counted from the rack's centre."""
    corners = corners_of(car)
    racks = list(rack_mm)

    def toe_change_deg(corner: Corner) -> Array:
        toe = np.array([corner.outputs(*corner.present(rack_mm=rack))["toe_deg"][0] for rack in [0.0, *racks]])
        return toe[1:] - toe[0]

    left, right = -toe_change_deg(corners["front_left"]), toe_change_deg(corners["front_right"])
    turns_left = left + right > 0
    inner, outer = np.abs(np.where(turns_left, left, right)), np.abs(np.where(turns_left, right, left))
    ideal = ideal_outer_deg(inner, track_over_wheelbase(corners))
    return dict(zip(STEERING, (left, right, inner, outer, ideal, outer - ideal), strict=True))
