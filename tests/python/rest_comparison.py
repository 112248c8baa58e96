"""A car at rest beside what the independent oracle (tests/oracle/rest.py) says of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shimwise import _core

if TYPE_CHECKING:
    from rest_outputs import Rest as OracleRest
    from shimwise.standing.rest import Rest

LOAD = 1e-8  # relative
ANGLE_DEG = 1e-9
LENGTH_MM = 1e-8
PERCENT = 1e-7


def near(ours: float, theirs: float, bound: float, what: str) -> None:
    assert abs(ours - theirs) <= bound, f"{what}: {ours!r}, the oracle {theirs!r}"


def agree(ours: Rest, theirs: OracleRest) -> None:
    """Every value that both have, each inside its bound."""
    near(ours.height_mm, theirs.ground_height_mm, LENGTH_MM, "height")
    near(ours.pitch_deg, theirs.ground_pitch_deg, ANGLE_DEG, "pitch")
    near(ours.roll_deg, theirs.ground_roll_deg, ANGLE_DEG, "roll")
    near(ours.twist_deg or 0.0, theirs.twist_deg, ANGLE_DEG, "twist")
    near(ours.total_kg, theirs.total_kg, LOAD * theirs.total_kg, "total")
    near(ours.cross_weight_percent, 100.0 * theirs.cross_weight, PERCENT, "cross weight")
    near(ours.front_share_percent, 100.0 * theirs.front_share, PERCENT, "front share")
    near(ours.left_share_percent, 100.0 * theirs.left_share, PERCENT, "left share")
    for name, height_mm in theirs.ride_height_mm.items():
        near(ours.ride_heights_mm[name], height_mm, LENGTH_MM, f"ride height {name}")
    if theirs.rake_mm is not None and theirs.rake_deg is not None:
        near(ours.value("rake_mm"), theirs.rake_mm, LENGTH_MM, "rake")
        near(ours.value("rake_angle_deg"), theirs.rake_deg, ANGLE_DEG, "rake angle")
    for axle, torque_Nm in ours.bar_torques_Nm.items():
        near(torque_Nm, theirs.bar_torque_Nm[axle], 1e-8 * max(1.0, abs(torque_Nm)), f"{axle} bar")
    for axle, force_N in ours.third_loads_N.items():
        near(force_N, theirs.third_force_N[axle], LOAD * max(1.0, force_N), f"{axle} third")
    loads = ours.loads
    for name in _core.CornerId.__members__:
        corner = theirs.corner[name]
        near(ours.weights_kg[name], corner.weight_kg, LOAD * corner.weight_kg, f"{name} weight")
        near(ours.value(f"{name}.spring_length_mm"), corner.spring_length_mm, LENGTH_MM, f"{name} spring length")
        scale_N = max(1.0, abs(corner.spring_load_N))
        near(loads.loc[name, "spring_load_N"], corner.spring_load_N, LOAD * scale_N, f"{name} spring")
        near(loads.loc[name, "rubber_load_N"], corner.rubber_load_N, LOAD * scale_N, f"{name} rubber")
        assert bool(loads.loc[name, "on_droop_stop"]) == corner.stop_closed, f"{name}: droop stop"
        if corner.stop_closed:
            near(loads.loc[name, "stop_pull_N"], corner.stop_pull_N, LOAD * scale_N, f"{name} stop's pull")
            near(loads.loc[name, "missing_N"], corner.missing_load_N, LOAD * scale_N, f"{name} missing load")
        for key, value in corner.ground.items():
            bound = ANGLE_DEG if key.endswith("_deg") else LENGTH_MM
            near(ours.value(f"{name}.{key}"), value, bound, f"{name} {key} over the ground")
        for angle, value in corner.chassis.items():
            near(ours.about_chassis.loc[name, angle], value, ANGLE_DEG, f"{name} {angle} in the chassis")
