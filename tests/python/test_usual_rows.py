"""Every row of what is usual speaks: the demo's files with one thing changed, and the row's own sentence."""

from __future__ import annotations

from pathlib import Path

import pytest
from mornings import demo_morning
from test_doubts import doubts_of

from shimwise import _core

CHECKED = "camber_gauge_deg = { facing = 0.06"
DRIFTED = "camber_gauge_deg = { facing = 0.46, turned = 0.42 }\n"

Edit = tuple[str, str, str]  # file, what stands there, what is typed

# By the row's words: what makes it speak, and of which field.
ROWS: dict[str, tuple[str, list[Edit]]] = {
    "the front contacts ahead of the rear ones": (
        "front_left.wheel.centre",
        [("car", "centre = [0.0, 640.0", "centre = [2400.0, 640.0")],
    ),
    "the left contact beside the right one": (
        "front_left.wheel.centre",
        [("car", "centre = [0.0, 640.0", "centre = [0.0, 1240.0")],
    ),
    "the car's mass": ("mass.total_kg", [("car", "total_kg = 498.0", "total_kg = 4980.0")]),
    "the front axle's share of the weight": ("mass.cg_mm", [("car", "[-1420.0, 4.0, 285.0]", "[-1800.0, 4.0, 285.0]")]),
    "the centre of gravity beside the centre plane": (
        "mass.cg_mm",
        [("car", "[-1420.0, 4.0, 285.0]", "[-1420.0, 130.0, 285.0]")],
    ),
    "the centre of gravity over the ground": (
        "mass.cg_mm",
        [("car", "[-1420.0, 4.0, 285.0]", "[-1420.0, 4.0, 28.5]")],
    ),
    "the unsprung mass of a corner": ("mass.unsprung_kg.front", [("car", "front = 14.5, rear", "front = 3.2, rear")]),
    "a ballast's place behind the front axle, in wheelbases": (
        "ballast[1].at_mm",
        [("car", "at_mm = [-1300.0", "at_mm = [1800.0")],
    ),
    "the setup wheel's radius": (
        "setup_wheel.front.radius_mm",
        [("car", "radius_mm = 255.0", "radius_mm = 145.0"), ("car", "640.0, 224.964", "640.0, 114.964")],
    ),
    "the setup wheel's width": ("setup_wheel.front.width_mm", [("car", "width_mm = 10.0", "width_mm = 410.0")]),
    "the setup wheel's offset": ("setup_wheel.front.offset_mm", [("car", "offset_mm = 0.0", "offset_mm = 160.0")]),
    "the flags' span": ("setup_wheel.front.flag_span_mm", [("car", "flag_span_mm = 520.0", "flag_span_mm = 1400.0")]),
    "the tyre's loaded radius": (
        "tyre.front.loaded_radius_mm",
        [("car", "loaded_radius_mm = 252.0", "loaded_radius_mm = 504.0")],
    ),
    "the tyre's rate": ("tyre.front.rate_N_per_mm", [("car", "rate_N_per_mm = 180.0", "rate_N_per_mm = 1800.0")]),
    "toe as drawn": ("front_left.wheel.toe_deg", [("car", "toe_deg = 0.10", "toe_deg = 3.5")]),
    "camber as drawn": ("front_left.wheel.camber_deg", [("car", "camber_deg = -2.60", "camber_deg = -8.5")]),
    "caster at rest": ("front_left.upper_wishbone", [("car", "outer = [-14.0, 572.0", "outer = [-84.0, 572.0")]),
    "kingpin inclination at rest": (
        "front_left.upper_wishbone",
        [("car", "outer = [-14.0, 572.0, 338.0]", "outer = [-14.0, 482.0, 338.0]")],
    ),
    "trail at rest": ("front_left.lower_wishbone", [("car", "outer = [6.0, 606.0", "outer = [106.0, 606.0")]),
    "scrub at rest": (
        "front_left.lower_wishbone",
        [("car", "centre = [0.0, 640.0", "centre = [0.0, 790.0")],
    ),
    "the motion ratio at rest": (
        "front_left.spring",
        [("car", "spring = [8.0, 290.0, 455.0]", "spring = [8.0, 290.0, 405.0]")],
    ),
    "how much farther a rod's outer end is from its own wishbone's joint than from the other's": (
        "front_left.pushrod.outer_on",
        [("car", 'outer_on = "lower_wishbone"', 'outer_on = "upper_wishbone"')],
    ),
    "the rod's angle out of the plane across the rocker's axis": (
        "front_left.rocker.axis_direction",
        [("car", "axis_direction = [1.0, 0.0, 0.0]", "axis_direction = [0.3, -0.6, 0.7]")],
    ),
    "the spring's angle out of the plane across the rocker's axis": (
        "front_left.rocker.axis_direction",
        [("car", "axis_direction = [1.0, 0.0, 0.0]", "axis_direction = [0.3, 0.9, 0.2]")],
    ),
    "the rocker's axis point outboard of the centre plane": (
        "front_left.rocker.axis_point",
        [("car", "axis_point = [8.0, 285.0", "axis_point = [8.0, -285.0")],
    ),
    "a wheel's rate by its spring": (
        "front_left.spring.rate_N_per_mm",
        [("car", "rate_N_per_mm = 90.0", "rate_N_per_mm = 2.0")],
    ),
    "the frequency of a corner on its spring": (
        "front_left.spring.rate_N_per_mm",
        [("car", "front = 14.5, rear", "front = 79.0, rear"), ("car", "rate_N_per_mm = 90.0", "rate_N_per_mm = 900.0")],
    ),
    "a spring's rate": ("front_left.spring.rate_N_per_mm", [("car", "rate_N_per_mm = 90.0", "rate_N_per_mm = 1600.0")]),
    "a damper's stroke": (
        "front_left.damper",
        [("car", "shortest_mm = 205.0, longest_mm = 250.0", "shortest_mm = 225.0, longest_mm = 235.0")],
    ),
    "a bump rubber's gap": (
        "front_left.bump_rubber.gap_mm",
        [("car", "bump_rubber = { gap_mm = 14.0", "bump_rubber = { gap_mm = 95.0")],
    ),
    "a wheel at rest from where it is drawn": (
        "front_left.spring",
        [
            ("car", "load_at_drawn_N = 1120.0", "load_at_drawn_N = 3500.0"),
            ("car", "longest_mm = 250.0", "longest_mm = 290.0"),
        ],
    ),
    "a ride-height point over the ground at rest": (
        "ride_height_points.front_left",
        [("car", "front_left = { at_mm = [0.0, 310.0, 0.0]", "front_left = { at_mm = [0.0, 310.0, -28.0]")],
    ),
    "a thread's pitch": ('front_left.adjuster "spring platform"', [("car", "pitch_mm = 1.5", "pitch_mm = 0.06")]),
    "a thread's pitch beside the nearest standard one": (
        'front_left.adjuster "spring platform"',
        [("car", "pitch_mm = 1.5", "pitch_mm = 1.63")],
    ),
    "a metric thread's pitch over the coarse one of its size": (
        'front_left.adjuster "track rod"',
        [("car", "M8x1.25", "M8x1.75")],
    ),
    "a length from drawn by its turns": (
        'front_left.adjuster "spring platform"',
        [("car", "now_turns = 0.0\nlimits_turns = [-4.0, 8.0]", "now_turns = 14.0\nlimits_turns = [-4.0, 28.0]")],
    ),
    "a limit of turns": (
        'front_left.adjuster "track rod"',
        [("car", "limits_turns = [-6.0, 6.0]", "limits_turns = [-60.0, 6.0]")],
    ),
    "a thread's engagement": ('front_left.adjuster "track rod"', [("car", "engaged_mm = 20.0", "engaged_mm = 200.0")]),
    "a pack of shims beside the one drawn": (
        'front_left.adjuster "camber shim"',
        [("car", "drawn_with_mm = 3.0", "drawn_with_mm = 14.0")],
    ),
    "a shim": ("shims.front_mm", [("car", "front_mm = [0.1, 0.1,", "front_mm = [0.01, 0.1,")]),
    "the thickness uncertainty of a shim": (
        'front_left.adjuster "camber shim"',
        [("car", "thickness_uncertainty_mm = 0.01", "thickness_uncertainty_mm = 0.5")],
    ),
    "what 1 mm of shims moves its joint away from the body it lies on": (
        'front_left.adjuster "camber shim"',
        [("car", "direction = [0.0, -1.0, 0.0]", "direction = [0.0, 1.0, 0.0]")],
    ),
    "what 1 mm of an adjuster does to the value it is for": (
        'front_left.adjuster "pushrod"',
        [("car", 'changes = "pushrod"\npurpose = "ride_height"', 'changes = "pushrod"\npurpose = "toe"')],
    ),
    "minutes of an adjuster": ('front_left.adjuster "track rod"', [("car", "minutes = 4", "minutes = 240")]),
    "rack travel to one side": ("rack.travel_mm", [("car", "travel_mm = [-32.0, 32.0]", "travel_mm = [-320.0, 32.0]")]),
    "rack travel a turn": ("rack.mm_per_turn", [("car", "mm_per_turn = 38.0", "mm_per_turn = 380.0")]),
    "the strings' bars apart, in wheelbases": (
        "strings.bars_apart_mm",
        [("car", "bars_apart_mm = 3900.0", "bars_apart_mm = 390.0")],
    ),
    "a bar's rate": ("rear_bar", [("car", "rate_Nm_per_deg = 3.5", "rate_Nm_per_deg = 3500.0")]),
    "the flag ruler's error": (
        "instruments.flag_ruler",
        [("car", "flag_ruler = { resolution_mm = 0.2", "flag_ruler = { resolution_mm = 20.0")],
    ),
    "the camber gauge's error": (
        "instruments.camber_gauge",
        [("car", "camber_gauge = { resolution_deg = 0.02", "camber_gauge = { resolution_deg = 2.0")],
    ),
    "the camber gauge's zero error": (
        "instruments.camber_gauge",
        [("car", "zero_error_deg = 0.0", "zero_error_deg = 3.0")],
    ),
    "an error of heights and pads": (
        "instruments.height_gauge",
        [("car", "height_gauge = { resolution_mm = 0.2", "height_gauge = { resolution_mm = 20.0")],
    ),
    "a scale's error": (
        "instruments.scale",
        [("car", "scale = { resolution_kg = 0.1", "scale = { resolution_kg = 10.0")],
    ),
    "scatter of weights from settling": ("settling.warp_kg", [("car", "warp_kg = 0.15", "warp_kg = 15.0")]),
    "scatter of heights from settling": (
        "settling.ride_height_mm",
        [("car", "ride_height_mm = 0.1", "ride_height_mm = 10.0")],
    ),
    "scatter of angles from settling": ("settling.toe_deg", [("car", "\ntoe_deg = 0.005", "\ntoe_deg = 0.5")]),
    "toe read less that of the car file": (
        "front_left.flags_mm",
        [("readings", "front = 41.6, rear = 39.6", "front = 111.6, rear = 39.6")],
    ),
    "camber read less that of the car file": (
        "front_left.camber_deg",
        [("readings", "camber_deg = -2.72", "camber_deg = -7.22")],
    ),
    "ride height read less that of the car file": (
        "ride_heights_mm.front_left",
        [("readings", "front_left = 30.8", "front_left = 3.08"), ("readings", "rear_left = 42.8", "rear_left = 15.1")],
    ),
    "a weight read over that of the car file": (
        "front_left.scale_kg",
        [("readings", "scale_kg = 100.8", "scale_kg = 10.8")],
    ),
    "the four scales over the mass of the car file": (
        "scale_kg",
        [("readings", "scale_kg = 149.7", "scale_kg = 179.7")],
    ),
    "ride height read off the plane through all of them": (
        "ride_heights_mm.rear_left",
        [("readings", "rear_left = 42.8", "rear_left = 62.8")],
    ),
    "spread of one height read again": ("ride_heights_mm.front_right", [("readings", "[29.4, 29.6]", "[29.4, 31.6]")]),
    "spread of one flag read again": ("front_left.flags_mm", [("readings", "front = 41.6,", "front = [41.6, 44.6],")]),
    "spread of one gauge reading taken again": (
        "front_left.camber_deg",
        [("readings", "camber_deg = -2.72", "camber_deg = [-2.72, -2.27]")],
    ),
    "spread of one scale read again": (
        "front_left.scale_kg",
        [("readings", "scale_kg = 100.8", "scale_kg = [100.8, 108.0]")],
    ),
    "half the sum of the gauge facing and turned": (
        "front_left.camber_deg",
        [("readings", "camber_deg = -2.72", "camber_deg = { facing = -2.72, turned = -2.64 }")],
    ),
    "a flag's reading": (
        "front_left.flags_mm",
        [("readings", "front = 41.6, rear = 39.6", "front = 416.0, rear = 414.0")],
    ),
    "a string's distance at the front less at the rear": (
        "strings.left",
        [("readings", "rear_bar_mm = { left = 905.0", "rear_bar_mm = { left = 950.0")],
    ),
    "the left string's distance less the right one's": (
        "strings.front_bar_mm",
        [("readings", "front_bar_mm = { left = 905.0", "front_bar_mm = { left = 950.0")],
    ),
    "a pad's height from the mean of the four": (
        "pads.height_mm.front_right",
        [("readings", "front_right = 0.1, rear_left", "front_right = 10.1, rear_left")],
    ),
    "the gauge's zero by this morning's check": (
        "gauge_check.camber_gauge_deg",
        [("readings", "facing = 0.06, turned = 0.02", "facing = 1.6, turned = 0.02")],
    ),
    "how far the checks of the gauge's zero lie apart": (
        "gauge_check",
        [
            ("readings", "[gauge_check]", "[[gauge_check]]\nat = 2026-05-02T07:00:00Z\n" + DRIFTED + "[[gauge_check]]"),
            ("readings", CHECKED, "at = 2026-05-02T08:00:00Z\n" + CHECKED),
        ],
    ),
    "what was read of rods and packs less the settings": (
        "front_left.camber shim",
        [
            ("car", "limits_mm = [0.0, 6.0]", "limits_mm = [0.0, 20.0]"),
            ("readings", '"camber shim" = [2.0, 1.0]', '"camber shim" = [8.0, 2.0]'),
        ],
    ),
    "toe wanted less toe read": (
        "front_left.toe",
        [("targets", "toe = { value_deg = 0.10", "toe = { value_deg = 1.0")],
    ),
    "camber wanted less camber read": ("front_left.camber", [("targets", "value_deg = -2.60", "value_deg = 2.60")]),
    "height wanted less height read": ("ride_height.front_left", [("targets", "value_mm = 30.0", "value_mm = 300.0")]),
    "a difference of weights wanted less read": (
        "front_difference",
        [("targets", "value_kg = 0.0", "value_kg = 100.0")],
    ),
    "a share wanted less the one read": (
        "cross_weight",
        [("targets", "[car]", "[car]\ncross_weight = { value_percent = 5.0, tolerance_percent = 0.2 }")],
    ),
    "caster wanted less that of the car file": (
        "front_left.caster",
        [("targets", "caster = { least_deg = 4.0 }", "caster = { least_deg = 14.0 }")],
    ),
    "a spring's length wanted less that of the car at rest": (
        "front_left.spring_length",
        [("targets", "caster = {", "spring_length = { value_mm = 100.0, tolerance_mm = 1.0 }\ncaster = {")],
    ),
    "a tolerance of toe": ("front_left.toe", [("targets", "tolerance_mm = 0.5", "tolerance_mm = 50.0")]),
    "a tolerance of camber or caster": (
        "front_left.camber",
        [("targets", "tolerance_deg = 0.05", "tolerance_deg = 5.0")],
    ),
    "a tolerance of heights": (
        "rake",
        [("targets", "value_mm = 12.0, tolerance_mm = 0.5", "value_mm = 12.0, tolerance_mm = 50.0")],
    ),
    "a tolerance of weights": ("front_difference", [("targets", "tolerance_kg = 1.0", "tolerance_kg = 100.0")]),
    "a tolerance of shares": (
        "cross_weight",
        [("targets", "[car]", "[car]\ncross_weight = { value_percent = 49.0, tolerance_percent = 10.0 }")],
    ),
}


def test_every_row_is_here() -> None:
    assert list(ROWS) == [usual.what for usual in _core.usual_list()]


@pytest.mark.parametrize("row", ROWS)
def test_a_row_speaks_where_it_is_left(row: str, tmp_path: Path) -> None:
    field, edits = ROWS[row]
    morning = demo_morning()
    for file, was, typed in edits:
        text = getattr(morning, file)
        assert was in text
        setattr(morning, file, text.replace(was, typed, 1))
    said = doubts_of(morning, tmp_path)
    assert any(f" {field}: {row} is " in doubt for doubt in said), said
