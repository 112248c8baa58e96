"""Curves of a corner over travel: contact path, roll centre, instant axis, wheel rate; rates are differences."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from corner import Corner
from differences import STEP_MM, neighbours, per_mm
from places import Parts
from strut import Strut
from vectors import Array, cross, dot, norm, rotation

CURVES = (
    "contact_x_mm",
    "wheelbase_change_mm",
    "roll_centre_height_mm",
    "instant_axis_along_x",
    "instant_axis_along_y",
    "instant_axis_along_z",
    "instant_axis_x_mm",
    "instant_axis_y_mm",
    "instant_axis_z_mm",
    "instant_axis_pitch_mm_per_rad",
    "spring_load_N",
    "rubber_load_N",
    "motion_ratio_gain_per_mm",
    "wheel_rate_spring_N_per_mm",
    "wheel_rate_rubber_N_per_mm",
    "wheel_rate_load_N_per_mm",
    "wheel_rate_N_per_mm",
)


def instant_twist(corner: Corner, q: Array, parts: Parts, step_mm: float = STEP_MM) -> tuple[Array, Array]:
    """Spin of the upright (rad) and velocity of the wheel centre (mm), each per mm of wheel travel."""
    near, _many = neighbours(corner, q, parts, step_mm)
    turning = per_mm(rotation(near[:, :3]), step_mm) @ np.swapaxes(rotation(q[:, :3]), 1, 2)
    spin = np.stack([turning[:, 2, 1], turning[:, 0, 2], turning[:, 1, 0]], -1)
    return spin, per_mm(near[:, 3:6], step_mm)


def instant_axis(centre: Array, spin: Array, velocity: Array) -> tuple[Array, Array, Array]:
    """Screw axis of a twist given at `centre`: direction, its point nearest to `centre`, mm along it per radian."""
    squared = dot(spin, spin)[:, None]
    return spin / norm(spin)[:, None], centre + cross(spin, velocity) / squared, dot(spin, velocity) / squared[:, 0]


def curves(
    corner: Corner,
    strut: Strut,
    axle: str,
    travel_mm: Iterable[float],
    rack_mm: float = 0.0,
    step_mm: float = STEP_MM,
) -> dict[str, Array]:
    """All CURVES at present settings, in the chassis frame."""
    q, parts = corner.sweep(travel_mm, rack_mm)
    near, many = neighbours(corner, q, parts, step_mm)
    here, around = corner.place(q, parts), corner.place(near, many)
    rise = per_mm(around.contact[:, 2], step_mm)

    outward = corner.outboard * per_mm(around.contact[:, 1], step_mm)
    straight = corner.place(*corner.present()).contact[0, 0]
    longer = 1.0 if axle == "front" else -1.0
    result = {
        "contact_x_mm": here.contact[:, 0],
        "wheelbase_change_mm": longer * (here.contact[:, 0] - straight),
        "roll_centre_height_mm": corner.outboard * here.contact[:, 1] * outward / rise,
    }
    along, nearest, pitch = instant_axis(here.at["wheel.centre"], *instant_twist(corner, q, parts, step_mm))
    for i, name in enumerate("xyz"):
        result[f"instant_axis_along_{name}"] = along[:, i]
        result[f"instant_axis_{name}_mm"] = nearest[:, i]
    result["instant_axis_pitch_mm_per_rad"] = pitch
    result |= _loads(corner, strut, (q, parts), (near, many), rise, step_mm)
    return {name: result[name] for name in CURVES}


def _loads(
    corner: Corner,
    strut: Strut,
    here: tuple[Array, Parts],
    around: tuple[Array, Parts],
    rise: Array,
    step_mm: float,
) -> dict[str, Array]:
    """Strut and wheel rates. The wheel's load is load * motion ratio; its rate is the difference of that product.

    The strut's straight pieces of the state itself serve its neighbours too, so that a kink between them does not blur.
    """
    found, beside = corner.outputs(*here), corner.outputs(*around)
    length, ratio = found["spring_length_mm"], found["motion_ratio"]
    spring_N, spring_rate, rubber_N, rubber_rate = strut(length)
    load = spring_N + rubber_N
    each = len(beside["motion_ratio"]) // len(length)
    squeezed = np.repeat(length, each) - beside["spring_length_mm"]
    near_load = np.repeat(load, each) + np.repeat(spring_rate + rubber_rate, each) * squeezed
    gain = per_mm(beside["motion_ratio"], step_mm) / rise
    return {
        "spring_load_N": spring_N,
        "rubber_load_N": rubber_N,
        "motion_ratio_gain_per_mm": gain,
        "wheel_rate_spring_N_per_mm": spring_rate * ratio**2,
        "wheel_rate_rubber_N_per_mm": rubber_rate * ratio**2,
        "wheel_rate_load_N_per_mm": load * gain,
        "wheel_rate_N_per_mm": per_mm(near_load * beside["motion_ratio"], step_mm) / rise,
    }
