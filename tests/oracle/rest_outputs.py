"""What a car at rest shows: weights, heights over the ground, alignment in the ground frame, loads of its parts.

Ground: best plane of the pads' heights along plumb at the present contacts, equal weights; x is the chassis' x laid
onto it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from adjusters import Table
from car_table import CORNER_NAMES, is_vector
from rest_car import AXLES, SIDES, G, RestCar, State, share_turned, turn_of
from vectors import Array, unit

ALIGNMENT = ("toe_deg", "camber_deg", "inclination_deg", "caster_deg", "kingpin_inclination_deg")
AT_CONTACT = ("trail_mm", "scrub_mm", "half_track_mm", "chassis_height_mm")  # where the wheel stands on its level pad


@dataclass
class RestCorner:
    """One corner; alignment in the ground frame and in the frame of its half of the chassis.

    The ground's has what is measured to the contact too, and the wheel's inclination to plumb.
    """

    load_N: float  # at the contact, along plumb
    weight_kg: float
    ground: dict[str, float]  # ALIGNMENT, AT_CONTACT, inclination_to_plumb_deg
    chassis: dict[str, float]  # ALIGNMENT
    spring_length_mm: float
    spring_load_N: float  # without the rubber
    rubber_load_N: float
    motion_ratio: float  # by the contact along plumb
    travel_mm: float  # of the wheel centre in the chassis, from drawn
    stop_closed: bool
    stop_pull_N: float
    missing_load_N: float  # at the contact, before the stop's damper moves
    contact_mm: Array  # plumb axes, from the point of pad height 0 below the chassis origin


@dataclass
class Rest:
    """Pose over plumb (from pad height 0) and over the ground; pitch + = nose down, roll + = left side up."""

    height_mm: float
    pitch_deg: float
    roll_deg: float
    twist_deg: float
    ground_height_mm: float
    ground_pitch_deg: float
    ground_roll_deg: float
    corner: dict[str, RestCorner]
    ride_height_mm: dict[str, float]
    rake_mm: float | None
    rake_deg: float | None
    bar_torque_Nm: dict[str, float]  # by axle: rate times (left - right) arm angle
    third_force_N: dict[str, float]  # by axle, + as it carries
    total_kg: float
    cross_weight: float  # (FR + RL) / total
    front_share: float
    left_share: float
    front_difference_kg: float  # left - right
    rear_difference_kg: float
    energy_Nmm: float


def ride_height_points(car: Table) -> dict[str, Array]:
    """Every named point in true coordinates, right ones mirrored unless given."""
    given = car.get("ride_height_points", {})
    points = {
        name: np.array(item["at_mm"], dtype=float) for name, item in given.items() if is_vector(item.get("at_mm"))
    }
    for name in [n for n in points if n.endswith("_left")]:
        points.setdefault(name.removesuffix("_left") + "_right", points[name] * [1.0, -1.0, 1.0])
    return points


def outputs_of(car: RestCar, state: State, load_N: dict[str, float], pull_N: dict[str, float]) -> Rest:
    """All outputs of a solved state."""
    height, pitch, roll, twist = state.pose
    contacts = car.contacts_over(state)
    pads = np.array([car.pads_mm[name] for name in CORNER_NAMES])
    level, by_x, by_y = np.linalg.lstsq(np.column_stack([np.ones(4), contacts[:, :2]]), pads, rcond=None)[0]
    normal = unit([-by_x, -by_y, 1.0])

    def over(point: Array) -> float:
        """Of a point in plumb axes, perpendicular to the ground."""
        return float((point - [0.0, 0.0, level]) @ normal)

    def frame(turn: Array) -> Array:
        """Ground axes as rows, in the axes of the body that is turned by `turn`."""
        ahead = unit(turn[:, 0] - turn[:, 0] @ normal * normal)
        return np.array([ahead, np.cross(normal, ahead), normal]) @ turn

    up = frame(turn_of(pitch, roll))[2]
    corners = {}
    for name in CORNER_NAMES:
        half = frame(turn_of(pitch, roll + share_turned(name) * twist))
        corners[name] = _corner(car, state, name, half, load_N[name], pull_N.get(name), contacts)

    def placed(point: Array) -> Array:
        turn = turn_of(pitch, roll + car.share_at(float(point[0])) * twist)
        return np.asarray(turn @ point + [0.0, 0.0, height])

    points = {name: placed(point) for name, point in ride_height_points(car.file).items()}
    heights = {name: over(point) for name, point in points.items()}
    rake_mm, rake_deg = _rake(car.file, points, heights)
    kg = np.array([load_N[name] for name in CORNER_NAMES]) / G
    return Rest(
        height_mm=float(height),
        pitch_deg=float(np.degrees(pitch)),
        roll_deg=float(np.degrees(roll)),
        twist_deg=float(np.degrees(twist)),
        ground_height_mm=over(np.array([0.0, 0.0, height])),
        ground_pitch_deg=float(np.degrees(np.arcsin(-up[0]))),
        ground_roll_deg=float(np.degrees(np.arctan2(up[1], up[2]))),
        corner=corners,
        ride_height_mm=heights,
        rake_mm=rake_mm,
        rake_deg=rake_deg,
        bar_torque_Nm={axle: car.bar_torque_Nmm(axle, state.corner) / 1000.0 for axle in car.bars},
        third_force_N={axle: _third(car, state, axle) for axle in AXLES if axle in car.thirds},
        total_kg=float(car.total_kg),
        cross_weight=float((kg[1] + kg[2]) / kg.sum()),
        front_share=float((kg[0] + kg[1]) / kg.sum()),
        left_share=float((kg[0] + kg[2]) / kg.sum()),
        front_difference_kg=float(kg[0] - kg[1]),
        rear_difference_kg=float(kg[2] - kg[3]),
        energy_Nmm=state.energy_Nmm,
    )


def _third(car: RestCar, state: State, axle: str) -> float:
    return car.third_force(axle, {side: state.corner[f"{axle}_{side}"].at["third"] for side in SIDES})[0]


def _corner(
    car: RestCar, state: State, name: str, ground: Array, load: float, pull: float | None, contacts: Array
) -> RestCorner:
    s, corner, strut = state.corner[name], car.corners[name], car.struts[name]
    spring, _, rubber, _ = (float(v[0]) for v in strut(np.array([s.length_mm])))
    ratio = -s.length_rate

    def alignment(frame: Array) -> dict[str, float]:
        corner.frame, corner.up = frame, frame[2]
        rows = (v[None] for v in (s.axis, s.at["lower_wishbone.outer"], s.at["upper_wishbone.outer"], s.contact))
        found = corner.alignment(*rows)
        return {key: float(found[key][0]) for key in (*ALIGNMENT, *AT_CONTACT)}

    in_ground, in_chassis = alignment(ground), alignment(np.eye(3))
    plumb = turn_of(state.pose[1], state.pose[2] + share_turned(name) * state.pose[3])[2]
    in_ground["inclination_to_plumb_deg"] = float(np.degrees(np.arcsin(-s.axis @ plumb)))
    return RestCorner(
        load_N=load,
        weight_kg=load / G,
        ground=in_ground,
        chassis={key: in_chassis[key] for key in ALIGNMENT},
        spring_length_mm=s.length_mm,
        spring_load_N=spring,
        rubber_load_N=rubber,
        motion_ratio=ratio,
        travel_mm=float(s.at["wheel.centre"][2] - corner.drawn["wheel.centre"][2]),
        stop_closed=pull is not None,
        stop_pull_N=pull or 0.0,
        missing_load_N=(pull or 0.0) * ratio,
        contact_mm=contacts[CORNER_NAMES.index(name)],
    )


def _rake(car: Table, points: dict[str, Array], heights: dict[str, float]) -> tuple[float, float] | tuple[None, None]:
    """Rear less front height, each the mean of left and right; as an angle over the distance of the two middles."""
    if "rake" not in car:
        return None, None
    middle, height = {}, {}
    for end in AXLES:
        name = car["rake"][end]
        both = [name, name.removesuffix("_left") + "_right"] if name.endswith("_left") else [name]
        middle[end] = np.mean([points[n] for n in both], axis=0)
        height[end] = float(np.mean([heights[n] for n in both]))
    rake = height["rear"] - height["front"]
    return rake, float(np.degrees(np.arcsin(rake / np.linalg.norm(middle["rear"] - middle["front"]))))
