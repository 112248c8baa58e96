"""What a drawing of one corner consists of, in the chassis frame, mm: joints, links, wheel and contact as set."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from shimwise import _core
from shimwise.words import rod_spoken

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from shimwise.car import Car, Corner

    Vector = NDArray[np.float64]

__all__ = ["CornerDrawing", "Wheel", "corner_drawing", "lines_of", "place_of"]

CONTACT, BAR_ARM, BAR_BEARING = "contact", "bar.arm", "bar.bearing"


class Wheel(NamedTuple):
    """The setup wheel's disc where it stands."""

    centre: Vector
    axis: Vector  # unit, outboard
    radius_mm: float
    width_mm: float
    offset_mm: float

    def outline(self, across: Vector, up: Vector, points: int = 360) -> Vector:
        """Return the outline seen in the plane of two unit vectors: shape (points + 1, 3), the lowest point first.

        The farthest point of a rim toward d is centre + radius (d - (d.e) e) / |..|; the rim on d's side is farther.
        """
        angle = np.linspace(-0.5 * np.pi, 1.5 * np.pi, points + 1)
        toward = np.outer(np.cos(angle), across) + np.outer(np.sin(angle), up)
        toward[0] = toward[-1] = -up
        along = toward @ self.axis
        radial = toward - np.outer(along, self.axis)
        length = np.maximum(np.linalg.norm(radial, axis=1), np.finfo(float).tiny)
        outboard = self.offset_mm + np.sign(along) * self.width_mm / 2.0
        outline: Vector = self.centre + np.outer(outboard, self.axis) + self.radius_mm * radial / length[:, None]
        return outline


class CornerDrawing(NamedTuple):
    name: str
    rod: str  # "pushrod" or "pull rod"
    joints: dict[str, Vector]  # the contact and the bar's points among them
    fixed: dict[str, str]  # joints fixed to "chassis" or "rack"; the others move with the wheel
    wheel: Wheel
    rocker_axis: Vector | None
    bar: Vector | None  # from the centre plane along the bar to its arm: shape (3, 3)
    carried: dict[str, str]  # a joint beside the ends of its carrier, and the end next to it


def corner_drawing(car: Car, name: str) -> CornerDrawing:
    """Take a corner as set, its wheel centre at the drawn height. Raises OutOfReach."""
    corner = car.corners[name]
    core = car.core.corner(_core.CornerId.__members__[name])
    joints = {str(point): place.values for point, place in corner.joints().items()}
    left = 1.0 if name.endswith("left") else -1.0
    wheel, joints[CONTACT] = _wheel(corner, core.wheel, joints, left)
    fixed = {point: "chassis" for point in joints if point.endswith((".front", ".rear", ".axis_point", ".chassis"))}
    fixed["track_rod.inner"] = "rack" if core.steered else "chassis"
    bar = car.core.bars[0 if name.startswith("front") else 1]
    line = None
    if bar:
        bearings = [_array(b) for b in bar.bearing]
        joints[BAR_BEARING], joints[BAR_ARM] = bearings[left < 0], _array(bar.arm[left < 0])
        fixed[BAR_BEARING] = "chassis"
        line = _bar_line(bearings[0], bearings[1], joints[BAR_ARM])
    rocker_axis = _array(core.rocker_axis) if "rocker.axis_point" in joints else None
    rod = rod_spoken("pushrod", pull_rod=corner.has_pull_rod)
    return CornerDrawing(name, rod, joints, fixed, wheel, rocker_axis, line, _carried(core, joints))


def place_of(joint: str) -> int:
    """Where a joint stands in lists: the points of a car file first, in its order."""
    return [*_core.point_names(), CONTACT, BAR_BEARING, BAR_ARM].index(joint)


def lines_of(drawing: CornerDrawing) -> dict[str, list[tuple[str, ...]]]:
    """Return the joints that each link runs through, by the link's name."""
    strut = "rocker.spring" if "rocker.spring" in drawing.joints else "spring.outer"
    drop = "rocker.drop_link" if "rocker.drop_link" in drawing.joints else "drop_link.outer"
    upper, lower, steered = "upper_wishbone.outer", "lower_wishbone.outer", "track_rod.outer"
    lines: dict[str, list[tuple[str, ...]]] = {
        "upright, bracket": [
            (upper, lower, steered, upper),
            (upper, "wheel.centre", lower),
            *drawing.carried.items(),
        ],
        "axis": [(f"{wishbone}.front", f"{wishbone}.rear") for wishbone in ("upper_wishbone", "lower_wishbone")],
        "upper wishbone": [("upper_wishbone.front", upper, "upper_wishbone.rear")],
        "lower wishbone": [("lower_wishbone.front", lower, "lower_wishbone.rear")],
        "track rod or toe link": [("track_rod.inner", steered)],
        drawing.rod: [("pushrod.outer", "pushrod.inner")],
        "rocker": [("rocker.axis_point", end) for end in ("pushrod.inner", "rocker.spring", "rocker.drop_link")],
        "spring": [(strut, "spring.chassis")],
        "drop link and bar": [(drop, BAR_ARM)],
    }
    return {
        link: [line for line in through if all(point in drawing.joints for point in line)]
        for link, through in lines.items()
    }


def _wheel(corner: Corner, disc: _core.SetupWheel, joints: Mapping[str, Vector], left: float) -> tuple[Wheel, Vector]:
    """Wheel and contact from the corner's outputs, by what they mean (docs/conventions.md)."""
    now = {str(name): float(value) for name, value in corner.alignment().items()}
    toe, camber, caster = (np.tan(np.radians(now[name])) for name in ("toe_deg", "camber_deg", "caster_deg"))
    axis = np.array([toe, left, -camber])
    wheel = Wheel(joints["wheel.centre"], axis / np.linalg.norm(axis), disc.radius_mm, disc.width_mm, disc.offset_mm)
    lower, height = joints["lower_wishbone.outer"], -now["chassis_height_mm"]
    x = lower[0] - caster * (height - lower[2]) - now["trail_mm"]
    return wheel, np.array([x, left * now["half_track_mm"], height])


def _bar_line(one: Vector, other: Vector, arm: Vector) -> Vector:
    along = (other - one) / np.linalg.norm(other - one)
    return np.array([(one + other) / 2.0, one + along * ((arm - one) @ along), arm])


def _carried(core: _core.Corner, joints: Mapping[str, Vector]) -> dict[str, str]:
    carriers = {
        "pushrod.outer": core.pushrod_outer_on,
        "spring.outer": core.spring_outer_on,
        "drop_link.outer": core.drop_link_outer_on,
    }
    ends = {_core.Body.upper_wishbone: "upper_wishbone.outer"}
    return {point: ends.get(body, "lower_wishbone.outer") for point, body in carriers.items() if point in joints}


def _array(vector: _core.Vector) -> Vector:
    return np.array([vector.x, vector.y, vector.z])
