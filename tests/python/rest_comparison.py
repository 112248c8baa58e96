"""A car at rest beside what the independent oracle (tests/oracle/rest.py) says of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from rest_outputs import Rest as OracleRest
    from shimwise.standing.rest import Rest

LOAD = 1e-8  # relative
ANGLE_DEG = 1e-9
LENGTH_MM = 1e-8
PERCENT = 1e-7
BAR = 1e-8  # relative
BAR_WEIGHED = 1e-7  # of a car by its scales, whose centre of gravity is found to 1e-8 mm (cpp/src/rest/drawn_loads.cpp)


def near(ours: float, theirs: float, bound: float, what: str) -> None:
    assert abs(ours - theirs) <= bound, f"{what}: {ours!r}, the oracle {theirs!r}"


def agree(ours: Rest, theirs: OracleRest) -> None:
    """Every value that both have, each inside its bound."""
    agree_in_values(ours.values, theirs)
    loads = ours.loads
    for name, corner in theirs.corner.items():
        assert bool(loads.loc[name, "on_droop_stop"]) == corner.stop_closed, f"{name}: droop stop"
        if corner.stop_closed:
            scale_N = max(1.0, abs(corner.spring_load_N))
            near(loads.loc[name, "stop_pull_N"], corner.stop_pull_N, LOAD * scale_N, f"{name} stop's pull")
            near(loads.loc[name, "missing_N"], corner.missing_load_N, LOAD * scale_N, f"{name} missing load")
        for angle, value in corner.chassis.items():
            near(ours.about_chassis.loc[name, angle], value, ANGLE_DEG, f"{name} {angle} in the chassis")


def agree_in_values(ours: Mapping[str, float], theirs: OracleRest, of_bar: float = BAR) -> None:
    """By the names of `Car.at_rest().values`."""
    near(ours["height_mm"], theirs.ground_height_mm, LENGTH_MM, "height")
    near(ours["pitch_deg"], theirs.ground_pitch_deg, ANGLE_DEG, "pitch")
    near(ours["roll_deg"], theirs.ground_roll_deg, ANGLE_DEG, "roll")
    near(ours.get("twist_deg", 0.0), theirs.twist_deg, ANGLE_DEG, "twist")
    near(sum(ours[f"{name}.weight_kg"] for name in theirs.corner), theirs.total_kg, LOAD * theirs.total_kg, "total")
    near(ours["cross_weight_percent"], 100.0 * theirs.cross_weight, PERCENT, "cross weight")
    near(ours["front_share_percent"], 100.0 * theirs.front_share, PERCENT, "front share")
    near(ours["left_share_percent"], 100.0 * theirs.left_share, PERCENT, "left share")
    for name, height_mm in theirs.ride_height_mm.items():
        near(ours[f"ride_height.{name}_mm"], height_mm, LENGTH_MM, f"ride height {name}")
    if theirs.rake_mm is not None and theirs.rake_deg is not None:
        near(ours["rake_mm"], theirs.rake_mm, LENGTH_MM, "rake")
        near(ours["rake_angle_deg"], theirs.rake_deg, ANGLE_DEG, "rake angle")
    for axle in ("front", "rear"):
        if (bar := f"{axle}_bar_torque_Nm") in ours:
            near(ours[bar], theirs.bar_torque_Nm[axle], of_bar * max(1.0, abs(ours[bar])), f"{axle} bar")
        if (third := f"{axle}_third_load_N") in ours:
            near(ours[third], theirs.third_force_N[axle], LOAD * max(1.0, ours[third]), f"{axle} third")
    for name, corner in theirs.corner.items():
        near(ours[f"{name}.weight_kg"], corner.weight_kg, LOAD * corner.weight_kg, f"{name} weight")
        near(ours[f"{name}.spring_length_mm"], corner.spring_length_mm, LENGTH_MM, f"{name} spring length")
        scale_N = max(1.0, abs(corner.spring_load_N))
        near(ours[f"{name}.spring_load_N"], corner.spring_load_N, LOAD * scale_N, f"{name} spring")
        near(ours[f"{name}.rubber_load_N"], corner.rubber_load_N, LOAD * scale_N, f"{name} rubber")
        for key, value in corner.ground.items():
            bound = ANGLE_DEG if key.endswith("_deg") else LENGTH_MM
            near(ours[f"{name}.{key}"], value, bound, f"{name} {key} over the ground")
