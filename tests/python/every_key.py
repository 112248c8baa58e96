"""Files that have every key of docs/formats.md between them, and another value for each. All numbers are invented."""

from __future__ import annotations

import copy
import datetime
import tomllib
from typing import Any

from documented_keys import CORNER, Path

import shimwise as sw

Table = dict[str, Any]


def demo(which: str) -> Table:
    return tomllib.loads(getattr(sw.demo_files(), which).read_text(encoding="utf-8"))


def car_with_rockers() -> Table:
    """The demo car with bars, thirds, stops and rubbers that all act, and both kinds of box."""
    car = demo("car")
    car["chassis_twist_Nm_per_deg"] = 4000.0
    car["skid_new_mm"] = 25.0
    car["mass"]["unsprung_cg_mm"] = {"front": [0.0, 620.0, 230.0], "rear": [-2345.0, 610.0, 228.0]}
    car["ride_height_points"] |= {
        "nose": {"at_mm": [400.0, 0.0, 10.0], "from": "skid"},
        "tail": {"at_mm": [-2600.0, 0.0, 12.0], "from": "skid"},
    }
    car["shims"]["rear_mm"] = [0.3, 0.7]
    car["front_bar"]["connected"] = car["rear_bar"]["connected"] = True
    car["front_third"] |= {"gap_mm": -0.5, "right": [8.0, -278.0, 455.0], "carries": "push"}
    car["built_off_mm"] = {"front_left.track_rod.inner": [0.1, 0.2, 0.3]}
    car["rear_third"] = {
        "left": [-2330.0, 283.0, 465.0],
        "right": [-2330.0, -283.0, 465.0],
        "rate_N_per_mm": 50.0,
        "gap_mm": -0.5,
        "carries": "push",
    }
    for axle in ("front_left", "rear_left"):
        car[axle]["bump_rubber"]["gap_mm"] = 0.5
    car["known"] = {
        "toe_deg": 0.05,
        "camber_deg": 0.06,
        "places_mm": 0.7,
        "total_kg": 0.8,
        "total_at_mm": 3.0,
        "rods_mm": 0.9,
        "pushrods_mm": 1.2,
        "platforms_mm": 0.6,
    }
    for wheel in car["setup_wheel"].values():
        wheel |= {"offset_mm": 2.0, "flags_out_mm": 215.0}
    car["instruments"]["camber_gauge"]["zero_error_deg"] = 0.02
    for gauge in car["instruments"].values():
        gauge |= {key.replace("resolution", "repeatability"): 0.01 for key in list(gauge) if "resolution" in key}
    adjusters = {a["name"]: a for a in car["front_left"]["adjuster"]}
    stack, rear = adjusters["camber shim"], car["rear_left"]["adjuster"][1]
    stack["now_mm"] = 3.0
    adjusters["track rod"]["left_hand"] = "inner"
    del rear["box"]
    rear["box_mm"] = [0.2, 0.5, 1.0]
    adjusters["upper front leg"] |= {"length_limits_mm": [310.0, 360.0]}
    del adjusters["upper front leg"]["limits_turns"]
    return car


def car_with_direct_springs() -> Table:
    """Springs and drop links on wishbones, masses by scales, springs by their free length with a helper."""
    car = car_with_rockers()
    car["mass"] |= {
        "scales_kg": {"front_left": 98.6, "front_right": 97.6, "rear_left": 151.5, "rear_right": 150.3},
        "cg_height_mm": 285.0,
    }
    car["weighed"] = {
        "amounts_mm": {"rear_left.spring platform": 0.75},
        "front_bar": {"connected": False},
        "rear_bar": {"connected": False},
    }
    del car["mass"]["cg_mm"], car["front_third"], car["rear_third"]
    car["front_bar"]["rate_Nm_per_deg"] = 4.0
    del car["front_bar"]["blades_Nm_per_deg"], car["front_bar"]["blade"]
    car["rear_bar"] |= {"blades_Nm_per_deg": {"soft": 2.0, "hard": 4.0}, "blade": "soft"}
    del car["rear_bar"]["rate_Nm_per_deg"]
    for axle, x in (("front_left", 0.0), ("rear_left", -2340.0)):
        corner = car[axle]
        del corner["pushrod"], corner["rocker"], corner["damper"], corner["bump_rubber"]
        corner["spring"] = {
            "outer": [x, 500.0, 140.0],
            "outer_on": "lower_wishbone",
            "chassis": [x, 330.0, 420.0],
            "rate_N_per_mm": 60.0,
            "free_length_mm": 340.0,
            "seat_gap_mm": 30.0,
        }
        corner["helper"] = {"rate_N_per_mm": 200.0, "closes_at_mm": 3.0}
        arm = car["front_bar" if axle == "front_left" else "rear_bar"]["left"]["arm"]
        corner["drop_link"] = {"outer": [arm[0], arm[1] + 245.0, 150.0], "outer_on": "lower_wishbone"}
        corner["adjuster"] = [a for a in corner["adjuster"] if a["name"] != "pushrod"]
    car["front_left"]["adjuster"].append(
        {
            "name": "lower front leg",
            "changes": "lower_wishbone.front_leg",
            "purpose": "caster",
            "thread": "M12x1.75",
            "second_thread": "M10x1.5",
            "ends": "same_hand",
            "locks": "half_turn",
            "minutes": 9,
        }
    )
    car["rear_left"]["adjuster"].append(
        {
            "name": "lower front leg",
            "changes": "lower_wishbone.front_leg",
            "purpose": "toe",
            "pitch_mm": 1.75,
            "second_pitch_mm": 1.5,
            "ends": "same_hand",
            "locks": "half_turn",
            "minutes": 9,
        }
    )
    return car


def car_at_rest_as_drawn() -> Table:
    """Springs whose loads come from the car at rest, strings on stands; nothing else is new."""
    car = car_with_rockers()
    car["strings"]["on"] = "stands"
    for axle in ("front_left", "rear_left"):
        del car[axle]["spring"]["load_at_drawn_N"]
        car[axle]["spring"]["rests_as_drawn"] = True
    return car


def readings_with_strings() -> Table:
    """The demo morning on uneven pads, strings that are not parallel, a rod that was measured."""
    readings = demo("readings")
    readings["pads"]["height_mm"] = {"front_left": 0.4, "front_right": 0.1, "rear_left": -0.2, "rear_right": 0.0}
    readings["skid_mm"] = 22.5
    readings["ride_heights_mm"] |= {"nose": 40.0, "tail": 54.0}
    readings["strings"]["front_bar_mm"] = {"left": 907.0, "right": 904.0}
    readings["front_left"]["lengths_mm"] = {"track_rod": 358.2}
    readings["instruments"] = {"strings": "A", "camber_gauge": "A", "scale": "A"}
    return readings


def readings_with_the_files_zero() -> Table:
    """No check of the camber gauge this morning, and one from long ago."""
    readings = readings_with_strings()
    del readings["gauge_check"]
    readings["at"] = datetime.date(2026, 9, 2)
    return readings


def readings_with_steps() -> Table:
    """Pads along a straightedge, as uneven, with packing at hand; the gauge was checked twice."""
    readings = readings_with_strings()
    morning = datetime.datetime(2026, 5, 2, 8, 0, tzinfo=datetime.UTC)
    readings["gauge_check"] = [
        {"at": morning, "camber_gauge_deg": {"facing": 0.06, "turned": 0.02}},
        {"at": morning + datetime.timedelta(hours=2), "camber_gauge_deg": {"facing": 0.08, "turned": 0.03}},
    ]
    ring = ("front_left", "front_right", "rear_right", "rear_left", "front_left")
    readings["again"] = [
        {
            "ride_heights_mm": {"front_left": 30.9},
            **{corner: {"scale_kg": readings[corner]["scale_kg"] + 0.3} for corner in ring[:4]},
        },
        {corner: {key: readings[corner][key] for key in ("flags_mm", "camber_deg")} for corner in ring[:4]},
    ]
    up_mm = (-0.3, -0.1, -0.2, 0.5)
    readings["pads"] = {
        "steps_mm": [{"from": a, "to": b, "up": up} for a, b, up in zip(ring, ring[1:], up_mm, strict=False)],
        "packing_mm": readings["pads"]["packing_mm"],
    }
    return readings


def targets() -> Table:
    """The demo car's, and all else that can be asked for."""
    wanted = demo("targets")
    wanted["car"] |= {
        "total_toe_front": {"value_deg": 0.2, "tolerance_deg": 0.1, "least_deg": 0.0, "most_deg": 0.4},
        "total_toe_rear": {"value_deg": 0.3, "tolerance_deg": 0.1},
        "thrust_angle": {"value_deg": 0.0, "tolerance_deg": 0.05},
        "camber_difference_front": {"value_deg": 0.0, "tolerance_deg": 0.05},
        "camber_difference_rear": {"value_deg": 0.0, "tolerance_deg": 0.05},
        "caster_difference_front": {"value_deg": 0.0, "tolerance_deg": 0.2},
        "rear_difference": {"value_kg": 0.0, "tolerance_kg": 2.0},
        "cross_weight": {"value_percent": 50.0, "tolerance_percent": 0.5},
        "front_bar_torque": {"value_Nm": 0.0, "tolerance_Nm": 1.0},
        "rear_bar_torque": {"value_Nm": 0.0, "tolerance_Nm": 1.0},
    }
    wanted["front_left"]["spring_length"] = {"value_mm": 230.0, "tolerance_mm": 2.0}
    wanted["front_left"]["to_droop_stop"] = {"least_mm": 3.0}
    return wanted


def skid() -> Table:
    """The demo car's skid, after a change, with all that can be said of a new one."""
    worn = demo("skid")
    changed = {"distance_km": 0.0, "new": True, "thickness_mm": {"nose": 25.0, "tail": 25.0}}
    worn["check"][:0] = [{"distance_km": 300.0, "thickness_mm": {"nose": 21.0, "tail": 23.0}}]
    worn["check"][1] |= changed
    return worn


def sweeps() -> list[Table]:
    """Sweeps of the demo car that have every key between them; of each the first two inputs share a dimension."""
    shim, rod = "front_left.camber shim", "front_left.track rod"
    drawn = demo("sweep") | {"by": "random"}
    drawn["input"] = [
        {"name": rod, "between": [-0.5, 0.5], "change": True},
        {"name": shim, "among": [[2.0], [2.0, 0.5], [2.0, 2.0, 2.0]]},
        {"name": "front_right.camber shim", "values": [[2.0], [2.0, 2.0, 1.0, 0.5, 0.2]]},
        {"name": "travel_mm", "value": 2.0},
    ]
    listed = {
        "format": "shimwise-sweep/1",
        "outputs": ["cross_weight", "front_left.toe"],
        "hold": "rest",
        "input": [
            {"name": "pad.front_left", "values": [0.0, 1.0], "along": "pads"},
            {"name": "pad.rear_left", "from": 0.0, "to": 1.0, "count": 2, "along": "pads"},
        ],
    }
    return [drawn, listed]


CARS = {
    "rockers": car_with_rockers,
    "direct springs": car_with_direct_springs,
    "at rest as drawn": car_at_rest_as_drawn,
}
READINGS = {
    "strings": readings_with_strings,
    "zero of the file": readings_with_the_files_zero,
    "steps": readings_with_steps,
}

OTHER: Table = {
    f"{CORNER}.adjuster.left_hand": "outer",
    "instruments.strings": "B",
    "instruments.camber_gauge": "B",
    "instruments.scale": "B",
    "front_bar.blade": "hard",
    "rear_bar.blade": "hard",
    "front_third.carries": "pull",
    "rear_third.carries": "pull",
    "strings.on": "stands",
    "ride_height_points.from": "skid",
    "rake.front": "nose",
    "rake.rear": "tail",
    "rack.direction": [0.1, 1.0, 0.0],
    "rack.travel_mm": [-1.0, 1.0],
    f"{CORNER}.track_rod.inner_moves": "fixed",
    f"{CORNER}.pushrod.outer_on": "upright",
    f"{CORNER}.spring.outer_on": "upright",
    f"{CORNER}.drop_link.outer_on": "upright",
    f"{CORNER}.rocker.axis_direction": [1.0, 0.02, 0.01],
    f"{CORNER}.bump_rubber.force_N_at_mm": [[0.0, 0.0], [5.0, 600.0], [8.0, 1300.0]],
    f"{CORNER}.adjuster.purpose": "bar_free",
    f"{CORNER}.adjuster.changes": "lower_wishbone.rear_leg",
    f"{CORNER}.adjuster.moves": ["lower_wishbone.outer"],
    f"{CORNER}.adjuster.on": "chassis",
    f"{CORNER}.adjuster.length_limits_mm": [326.7, 326.75],
    f"{CORNER}.adjuster.direction": [0.0, -1.0, 0.2],
    f"{CORNER}.adjuster.thread": "M14x2",
    f"{CORNER}.adjuster.second_thread": "M8x1.25",
    f"{CORNER}.adjuster.ends": "one",
    f"{CORNER}.adjuster.locks": "turn",
    f"{CORNER}.adjuster.counted_in": "turn",
    f"{CORNER}.adjuster.limits_turns": [-0.001, 0.001],
    f"{CORNER}.adjuster.least_engaged_mm": 17.9,
    f"{CORNER}.adjuster.engaged_mm": 13.1,
    f"{CORNER}.adjuster.limits_mm": [2.9, 3.1],
    f"{CORNER}.adjuster.fitted_mm": [2.0, 0.5],
    f"{CORNER}.adjuster.box": "rear",
    f"{CORNER}.adjuster.box_mm": [0.3],
    "shims.<box>_mm": [0.3],
    "instruments.camber_gauge.checked": datetime.date(2026, 8, 30),
    "instruments.camber_gauge.valid_days": 300,
    "place": "another",
    "remarks": "another",
    "at": datetime.date(2026, 5, 3),
    "gauge_check.at": datetime.datetime(2026, 5, 2, 7, 30, tzinfo=datetime.UTC),
    "state.bars": "on",
    "state.rack": "free",
    "state.struts": "solid",
    "state.heights_from": "plate",
    "pads.steps_mm": 0.7,
    "pads.packing_mm": [0.3],
    f"{CORNER}.shims_mm": [2.0, 0.5],
}


def key_of(path: Path, known: dict[str, bool]) -> str:
    """The documented key that a value belongs to."""
    parts = [str(part) for part in path if isinstance(part, str)]
    before = "again." if parts[0] == "again" else ""
    parts = parts[bool(before) :]
    if parts[0] in ("front_left", "front_right", "rear_left", "rear_right"):
        parts[0] = CORNER
    if parts[0] in ("setup_wheel", "tyre", "ride_height_points"):
        del parts[1]
    if parts[0] == "shims":
        parts[1] = "<box>_mm"
    if parts[0] == "ride_heights_mm":
        parts[1] = "<point>"
    name = before + ".".join(parts)
    (key,) = sorted((k for k in known if name == k or name.startswith(k + ".")), key=len)[-1:] or [name]
    return key


def other_value(key: str, value: Any) -> Any:
    """Another value of the same kind."""
    if key in OTHER:
        return copy.deepcopy(OTHER[key])
    if isinstance(value, bool):
        return not value
    if isinstance(value, int | float):
        return value + 1 if isinstance(value, int) else value + 0.004 * max(abs(value), 1.0)
    return [other_value("", v) + 0.1 * at for at, v in enumerate(value)]
