"""Forces of a corner at rest under a load at its contact: every body's six equations, assembled and solved together.

Bodies: upright with wheel, both wishbones, rocker. Unknown: three components at each ball joint and pickup, one
tension along track rod, pushrod and strut, force and moment of the rocker's bearing. The split of a wishbone's two
pickups along their common axis is in no equation: the solution of least norm is taken, and only its sum is reported.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from corner import Corner
from vectors import Array, unit

ARMS = ("upper_wishbone", "lower_wishbone")
LEVER_MM = 100.0  # moments are divided by it, so that all rows are newtons
UNBALANCED = 1e-11  # of the load and the reactions


@dataclass
class Forces:
    """Tension of members (N, pull +); forces on the upright and on the chassis (N); a sum along each pickup axis.

    Of a pickup the force on the chassis is its part across the axis; the sum counts from front to rear pickup. The
    moment (N mm) is the rocker's on the chassis about rocker.axis_point.
    """

    axial: dict[str, float] = field(default_factory=dict)
    on_upright: dict[str, Array] = field(default_factory=dict)
    on_chassis: dict[str, Array] = field(default_factory=dict)
    along_pickups: dict[str, float] = field(default_factory=dict)
    rocker_moment: Array = field(default_factory=lambda: np.zeros(3))


def two_across(axis: Array) -> Array:
    """Two unit vectors, as rows, that make a right-angled trio with the axis."""
    return np.linalg.svd(axis[None, :])[2][1:]


class Assembly:
    """Columns are unknowns: a unit force or moment on one body and its opposite on another; the chassis has no rows."""

    def __init__(self, bodies: Sequence[str], about: Array) -> None:
        self.rows = {body: slice(6 * i, 6 * i + 6) for i, body in enumerate(bodies)}
        self.about = about
        self.columns: list[Array] = []
        self.names: list[str] = []

    def wrench(self, body: str, at: Array, force: Array, moment: Array | None = None) -> Array:
        column = np.zeros(6 * len(self.rows))
        if body in self.rows:
            about = np.cross(at - self.about, force) + (np.zeros(3) if moment is None else moment)
            column[self.rows[body]] = [*force, *about / LEVER_MM]
        return column

    def joint(self, name: str, on: str, by: str, at: Array) -> None:
        """A ball joint; its unknowns are the force on the first body."""
        for axis in np.eye(3):
            self.columns.append(self.wrench(on, at, axis) - self.wrench(by, at, axis))
            self.names.append(name)

    def member(self, name: str, ends: Sequence[tuple[str, Array]]) -> None:
        """A two-force member between points of two bodies; its unknown is the tension."""
        (one, a), (other, b) = ends
        along = unit(b - a)
        self.columns.append(self.wrench(one, a, along) - self.wrench(other, b, along))
        self.names.append(name)

    def bearing(self, name: str, on: str, at: Array, axis: Array) -> None:
        """Force and moment of the chassis on a body that turns freely about the axis."""
        self.joint(name, on, "chassis", at)
        for across in two_across(axis):
            self.columns.append(self.wrench(on, at, np.zeros(3), LEVER_MM * across))
            self.names.append(f"{name} moment")

    def solve(self, loads: Array) -> dict[str, Array]:
        """Unknowns by name. Every equation must be met: what redundancy there is leaves none unmet."""
        matrix = np.stack(self.columns, -1)
        found, _rest, _rank, _values = np.linalg.lstsq(matrix, -loads, rcond=1e-12)
        left_over = np.max(np.abs(matrix @ found + loads))
        if not left_over <= UNBALANCED * max(np.max(np.abs(found)), np.max(np.abs(loads))):
            raise ValueError(f"out of balance by {left_over} N")
        picked: dict[str, list[float]] = {}
        for name, value in zip(self.names, found, strict=True):
            picked.setdefault(name, []).append(value)
        return {name: np.array(values) for name, values in picked.items()}


def forces(corner: Corner, at: dict[str, Array], contact: Array, load_N: Sequence[float]) -> Forces:
    """Of one state: its points in the chassis frame and the load on the wheel (chassis axes) at its contact."""
    carrier = corner.pushrod_on if corner.has_rocker else corner.spring_on
    assembly = Assembly(["upright", *ARMS, *(["rocker"] if corner.has_rocker else [])], at["wheel.centre"])
    for arm in ARMS:
        assembly.joint(f"{arm}.outer", "upright", arm, at[f"{arm}.outer"])
        for end in ("front", "rear"):
            assembly.joint(f"{arm}.{end}", "chassis", arm, at[f"{arm}.{end}"])
    members = {"track_rod": (("upright", "track_rod.outer"), ("chassis", "track_rod.inner"))}
    if corner.has_rocker:
        assembly.bearing("rocker.axis_point", "rocker", at["rocker.axis_point"], corner.rocker_axis)
        members["pushrod"] = ((carrier, "pushrod.outer"), ("rocker", "pushrod.inner"))
        members["spring"] = (("rocker", "rocker.spring"), ("chassis", "spring.chassis"))
    else:
        members["spring"] = ((carrier, "spring.outer"), ("chassis", "spring.chassis"))
    for name, ends in members.items():
        assembly.member(name, [(body, at[point]) for body, point in ends])
    found = assembly.solve(assembly.wrench("upright", contact, np.asarray(load_N, dtype=float)))

    result = Forces()
    for name, ((body, outer), (other, inner)) in members.items():
        tension = float(found[name][0])
        result.axial[name] = tension
        pull = tension * unit(at[inner] - at[outer])
        if body == "upright":
            result.on_upright[outer] = pull
        if other == "chassis":
            result.on_chassis[inner] = -pull
    for arm in ARMS:
        outer = result.on_upright[f"{arm}.outer"] = found[f"{arm}.outer"]
        axis = unit(at[f"{arm}.rear"] - at[f"{arm}.front"])
        pickups = {f"{arm}.{end}": found[f"{arm}.{end}"] for end in ("front", "rear")}
        result.along_pickups[arm] = float(sum(force @ axis for force in pickups.values()))
        result.on_chassis |= {name: force - force @ axis * axis for name, force in pickups.items()}
        if arm != carrier:
            result.axial |= _legs(at, arm, outer)
    if corner.has_rocker:
        result.on_chassis["rocker.axis_point"] = -found["rocker.axis_point"]
        result.rocker_moment = -LEVER_MM * found["rocker.axis_point moment"] @ two_across(corner.rocker_axis)
    return result


def _legs(at: dict[str, Array], arm: str, outer: Array) -> dict[str, float]:
    """The joint's force on the upright split along the two legs, whose plane it must lie in."""
    directions = np.stack([unit(at[f"{arm}.{end}"] - at[f"{arm}.outer"]) for end in ("front", "rear")], -1)
    tension, _rest, _rank, _values = np.linalg.lstsq(directions, outer, rcond=None)
    return {f"{arm}.{end}_leg": float(value) for end, value in zip(("front", "rear"), tension, strict=True)}
