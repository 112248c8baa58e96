"""Forces of a corner by virtual work: what the contact moves when one part of the solved linkage gives way by a little.

Strut and all lengths but one keep, so the linkage is rigid; the load's work over that part's movement is the force in
it. Nothing is balanced here: only solved positions are compared.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from copy import copy

import numpy as np

from corner import Corner
from forces import ARMS, Forces, two_across
from places import Parts
from vectors import Array, rotation, unit

STEP_MM = 0.1
STEP_RAD = 1e-3
OFFSETS = np.array([-2.0, -1.0, 1.0, 2.0])
WEIGHTS = np.array([1.0, -8.0, 8.0, -1.0]) / 12
BASIS = np.eye(3)

Change = Callable[[Parts, Array], None]


def virtual_work(corner: Corner, q: Array, parts: Parts, load_N: Sequence[float]) -> Forces:
    """Of one solved state (a single row): the same forces as `forces`."""
    load = np.asarray(load_N, dtype=float)
    placed = corner.place(q, parts)
    at = {name: point[0] for name, point in placed.at.items()}
    strut_mm = float(corner.held(placed, "spring")[0][0])
    on_wheel = (placed.contact[0] - at["wheel.centre"]) @ rotation(q[:, :3])[0]

    def work(change: Change, step: float = STEP_MM, strut: float = 0.0, moved: Corner = corner) -> float:
        """Of the load, per mm (or radian) of the change: the material point at the contact moves with the upright."""
        many = parts.repeated(len(OFFSETS))
        change(many, step * OFFSETS)
        near = moved.polish(np.repeat(q, len(OFFSETS), axis=0), many, "spring", strut_mm + strut * step * OFFSETS)
        pivot = corner.drawn["wheel.centre"] + near[:, 3:6]
        contact = pivot + rotation(near[:, :3]) @ on_wheel
        return float(WEIGHTS @ contact @ load / step)

    def longer(name: str) -> Change:
        def change(many: Parts, by: Array) -> None:
            many.length[name] = many.length[name] + by

        return change

    def shifted(names: Sequence[str], direction: Array) -> Change:
        def change(many: Parts, by: Array) -> None:
            for name in names:
                many.point[name] = many.point[name] + np.outer(by, direction)

        return change

    def force(names: Sequence[str], directions: Array) -> Array:
        """On the body that moves with these points, resolved along perpendicular directions and put together."""
        return np.array([work(shifted(names, d)) for d in directions]) @ directions

    result = Forces()
    carrier = corner.pushrod_on if corner.has_rocker else corner.spring_on
    result.axial["spring"] = work(lambda _many, _by: None, strut=1.0)
    for link in ["track_rod", *(["pushrod"] if corner.has_rocker else [])]:
        result.axial[link] = work(longer(link))
    for arm in ARMS:
        if arm != carrier:
            result.axial |= {leg: work(longer(leg)) for leg in (f"{arm}.front_leg", f"{arm}.rear_leg")}

    upright = rotation(q[:, :3])[0]
    strut_outer = "pushrod.outer" if corner.has_rocker else "spring.outer"
    joints = [f"{arm}.outer" for arm in ARMS] + ["track_rod.outer"] + [strut_outer] * (carrier == "upright")
    for joint in joints:  # these points are kept in the upright's own drawn frame
        result.on_upright[joint] = upright @ force([joint], BASIS)

    chassis = ["track_rod.inner", "spring.chassis", *(["rocker.axis_point"] if corner.has_rocker else [])]
    for point in chassis:
        result.on_chassis[point] = force([point], BASIS)
    for arm in ARMS:
        pickups = [f"{arm}.front", f"{arm}.rear"]
        axis = unit(at[pickups[1]] - at[pickups[0]])
        for pickup in pickups:
            result.on_chassis[pickup] = force([pickup], two_across(axis))
        result.along_pickups[arm] = work(shifted(pickups, axis))
    if corner.has_rocker:
        across = two_across(corner.rocker_axis)
        tilts = [work(*_tilted(corner, direction)) for direction in across]
        result.rocker_moment = np.array(tilts) @ across
    return result


def _tilted(corner: Corner, direction: Array) -> tuple[Change, float, float, Corner]:
    """The whole rocker turned, bearing and all, about an axis across its own through the bearing's point."""
    pivot = corner.drawn["rocker.axis_point"]

    def change(many: Parts, by: Array) -> None:
        turn = rotation(np.outer(by, direction))
        for name in ("pushrod.inner", "rocker.spring"):
            many.point[name] = pivot + np.einsum("nij,nj->ni", turn, many.point[name] - pivot)

    moved = copy(corner)
    moved.rocker_axis = rotation(np.outer(STEP_RAD * OFFSETS, direction)) @ corner.rocker_axis
    return change, STEP_RAD, 0.0, moved
