"""Curves, steering, slopes of the effect table, moved points: labelled as promised, and the library's own numbers."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
import xarray as xr

import shimwise as sw
from shimwise import _core

TRAVEL = np.linspace(-25.0, 25.0, 11)


@pytest.fixture
def resting(tmp_path: Path) -> sw.Car:
    """The demo car with springs that rest as drawn."""
    text = sw.demo_files().car.read_text()
    for load in ("load_at_drawn_N = 1120.0", "load_at_drawn_N = 1818.0"):
        assert load in text
        text = text.replace(load, "rests_as_drawn = true")
    file = tmp_path / "resting.toml"
    file.write_text(text)
    return sw.load_car(file)


def test_curves_hold_alignment_and_more(car: sw.Car) -> None:
    curves = car.front_left.curves(travel_mm=TRAVEL, rack_mm=[-5.0, 0.0, 5.0])
    alignment = car.front_left.alignment(travel_mm=TRAVEL, rack_mm=[-5.0, 0.0, 5.0])
    for name, values in alignment.items():
        np.testing.assert_allclose(curves[name].values, values.values, rtol=0, atol=1e-9)
    assert curves["toe_deg"].dims == ("rack_mm", "travel_mm")
    more = {info.column: info for info in _core.curve_list()}
    assert set(curves) == set(alignment) | set(more)
    for name, info in more.items():
        assert curves[name].attrs["units"] == (info.unit or "1")
        assert curves[name].attrs["sign"] == info.sign
    assert np.isfinite(curves.to_dataarray().values).all()
    assert float(curves.wheelbase_change_mm.sel(rack_mm=0, travel_mm=0)) == 0.0


def test_outputs_are_chosen_by_their_names(car: sw.Car, resting: sw.Car) -> None:
    every = car.front_left.curves(travel_mm=TRAVEL)
    chosen = car.front_left.curves(travel_mm=TRAVEL, outputs=["instant_axis_along_y", "toe", "toe"])
    assert list(chosen) == ["instant_axis_along_y", "toe_deg"]
    for name in chosen:
        xr.testing.assert_identical(chosen[name], every[name])
    for one in ("camber", ["camber"], ["camber_deg"]):
        assert list(car.front_left.curves(outputs=one)) == ["camber_deg"]
    for outputs, sentence in (
        (["toe", "camer"], "outputs = 'camer': is not known; did you mean \"camber\"?"),
        (["toe_degg"], "outputs = 'toe_degg': is not known; did you mean \"toe_deg\"?"),
        ([], "outputs = []: needs a list of names, such as toe"),
        ([1.0], "outputs = [1.0]: needs a list of names, such as toe"),
    ):
        with pytest.raises(sw.InputError) as error:
            car.front_left.curves(outputs=outputs)  # type: ignore[arg-type]
        assert str(error.value) == sentence
    with pytest.raises(sw.InputError) as error:
        resting.front_left.curves(outputs=["toe", "spring_load"])
    assert str(error.value) == (
        "outputs = spring_load: cannot be given: the spring rests as drawn, so the file gives no load"
    )
    assert "left_out" not in resting.front_left.curves(outputs=["toe"]).attrs


def test_columns_carry_their_units() -> None:
    columns = {info.column for info in _core.curve_list()}
    assert {
        "contact_x_mm",
        "motion_ratio_gain_per_mm",
        "instant_axis_pitch_mm_per_rad",
        "instant_axis_along_x",
        "wheel_rate_N_per_mm",
        "spring_load_N",
    } <= columns
    assert [info.column for info in _core.output_list()] == _core.column_names()


def test_what_needs_the_springs_load_is_left_out_where_it_rests_as_drawn(car: sw.Car, resting: sw.Car) -> None:
    full, less = (c.front_left.curves(travel_mm=TRAVEL) for c in (car, resting))
    gone = set(full) - set(less)
    assert gone == {
        "spring_load_N",
        "rubber_load_N",
        "wheel_rate_spring_N_per_mm",
        "wheel_rate_rubber_N_per_mm",
        "wheel_rate_load_N_per_mm",
        "wheel_rate_N_per_mm",
    }
    assert less.attrs["left_out"] == dict.fromkeys(gone, "the spring rests as drawn, so the file gives no load")
    for name in less:
        np.testing.assert_array_equal(less[name].values, full[name].values)


def test_as_it_runs_is_on_the_tyre(car: sw.Car, tmp_path: Path) -> None:
    """A car whose setup wheels are as large as its tyres, and without width, stands as it runs."""
    text = sw.demo_files().car.read_text()
    wheels = "radius_mm = 255.0, width_mm = 10.0", "radius_mm = 265.0, width_mm = 10.0"
    for wheel, radius in zip(wheels, (252.0, 261.0), strict=True):
        assert wheel in text
        text = text.replace(wheel, f"radius_mm = {radius}, width_mm = 0.0")
    file = tmp_path / "running.toml"
    file.write_text(text)
    for name, corner in sw.load_car(file).corners.items():
        runs = corner.curves(travel_mm=TRAVEL)
        on_plate = car.corners[name].curves(travel_mm=TRAVEL)
        for column in ("trail_mm", "scrub_mm", "roll_centre_height_mm"):
            as_it_runs = column.replace("_mm", "_as_it_runs_mm")
            np.testing.assert_allclose(on_plate[as_it_runs], runs[column], rtol=0, atol=1e-9)
            np.testing.assert_allclose(runs[as_it_runs], runs[column], rtol=0, atol=1e-9)
        assert abs(on_plate.roll_centre_height_mm - runs.roll_centre_height_mm).max() > 0.1
    tyre = text[text.index("[tyre]") : text.index("[strings]")]
    file.write_text(text.replace(tyre, ""))
    bare = sw.load_car(file).rear_left.curves(travel_mm=TRAVEL)
    assert set(bare.attrs["left_out"].values()) == {"the file gives no tyre"}
    assert not [name for name in bare if "as_it_runs" in str(name)]


def test_wheel_rate_at_drawn_is_the_springs_with_its_load(car: sw.Car) -> None:
    at = car.front_left.curves()
    ratio, gain = float(at.motion_ratio), float(at.motion_ratio_gain_per_mm)
    assert float(at.spring_load_N) == pytest.approx(1120.0, abs=1e-9)
    assert float(at.wheel_rate_spring_N_per_mm) == pytest.approx(90.0 * ratio**2, rel=1e-12)
    assert float(at.wheel_rate_load_N_per_mm) == pytest.approx(1120.0 * gain, rel=1e-12)
    assert float(at.rubber_load_N) == 0.0


def test_steering_shares_a_dimension_or_makes_one(car: sw.Car) -> None:
    rack = [-20.0, 0.0, 20.0]
    steering = car.steering(rack_mm=rack, travel_mm=[0.0, 10.0])
    assert steering.left_deg.dims == ("rack_mm", "travel_mm")
    assert np.all(steering.sel(rack_mm=0.0).to_dataarray().values == 0.0)
    np.testing.assert_allclose(steering.ackermann_error_deg, steering.outer_deg - steering.ideal_outer_deg, atol=1e-12)
    plan = car.front_left.curves(), car.front_right.curves(), car.rear_left.curves()
    track = float(plan[0].half_track_mm + plan[1].half_track_mm)
    wheelbase = float(plan[0].contact_x_mm - plan[2].contact_x_mm)
    ideal = sw.ideal_outer_deg(steering.inner_deg.values, track / wheelbase)
    np.testing.assert_allclose(ideal, steering.ideal_outer_deg.values, rtol=0, atol=1e-10)


def test_slopes_of_the_effect_table_are_its_differences(car: sw.Car) -> None:
    for hold in ("contact", "wheel", "spring"):
        slopes = car.front_left.effects_per_travel(hold, travel_mm=4.0)
        tables = [car.front_left.effects(hold, travel_mm=4.0 + more) for more in (-0.5, 0.5)]
        difference = tables[1] - tables[0]
        for key in slopes.index:
            scale = slopes.abs().max()
            error = (slopes.loc[key] - difference.loc[key]).abs() / scale.clip(lower=1e-6)
            assert (error < 1e-3).all(), (hold, key)
        assert slopes.attrs == {"hold": hold, "frame": "chassis"}
        assert ("camber shim", "turn") not in slopes.index
        assert ("camber shim", "mm") in slopes.index


def test_points_move_as_drawn_or_as_built(car: sw.Car) -> None:
    by = {"front_left.track_rod.inner": (0.0, 2.0, 0.0)}
    drawn, built = (car.with_points(by, moved=moved) for moved in ("drawn", "built"))
    toe = [float(c.front_left.alignment().toe_deg) for c in (car, drawn, built)]
    assert toe[1] == pytest.approx(toe[0], abs=1e-10)
    assert abs(toe[2] - toe[0]) > 0.5
    there = built.with_points({"front_left.track_rod.inner": (0.0, -2.0, 0.0)}, moved="built")
    assert float(there.front_left.alignment().toe_deg) == pytest.approx(toe[0], abs=1e-12)
    assert float(drawn.front_right.alignment(travel_mm=20.0).toe_deg) == pytest.approx(
        float(car.front_right.alignment(travel_mm=20.0).toe_deg), abs=1e-12
    )


@pytest.mark.parametrize(
    ("by", "moved", "sentence"),
    [
        ({"front_left.track_rod.inner": (0, 0, 1)}, "bent", "moved = 'bent': needs one of drawn, built"),
        ({"front_left.track_rod.inner": (0, 1)}, "drawn", "front_left.track_rod.inner = (0, 1): needs 3 numbers"),
        ({"front_left.track_rod.iner": (0, 0, 1)}, "drawn", 'did you mean "track_rod.inner"?'),
        ({"front_left.track_rod.inner": (0, 0, float("nan"))}, "built", "is moved by a number that is not finite"),
        ({"front_left.wheel.centre": (0, -900, 0)}, "drawn", "is on the wrong side"),
    ],
)
def test_a_move_that_cannot_be_gets_its_sentence(
    car: sw.Car, by: dict[str, tuple[float, ...]], moved: str, sentence: str
) -> None:
    with pytest.raises(sw.InputError) as error:
        car.with_points(by, moved=moved)
    assert sentence in str(error.value)


def run(*words: str, code: int = 0) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "shimwise.cli", "curves", str(sw.demo_files().car), *words],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == code, done.stderr
    return done.stdout if code == 0 else done.stderr


def test_the_command_prints_what_the_library_gives(car: sw.Car) -> None:
    data = json.loads(run("--corner", "front_left", "--travel", "-20:20:10", "--rack", "-10:10:5", "--json"))
    expected = car.front_left.curves(travel_mm=np.arange(-20.0, 21.0, 10.0))
    for name in expected:
        np.testing.assert_array_equal(data["over_travel"]["front_left"][name], expected[name].values)
    steering = car.steering(rack_mm=np.arange(-10.0, 11.0, 5.0))
    np.testing.assert_array_equal(data["steering"]["ackermann_error_deg"], steering.ackermann_error_deg.values)
    assert set(data["over_rack"]) == {"front_left"}


def test_the_command_prints_the_outputs_that_are_named() -> None:
    words = ["--corner", "front_left", "--travel", "-10:10:10", "--outputs", "roll_centre_height_as_it_runs, toe"]
    printed = run(*words).splitlines()
    assert [line.split() for line in printed[4:7]] == [
        ["travel", "it", "runs", "toe"],
        ["mm", "mm", "deg"],
        ["-10.0", "54.51", "0.120"],
    ]
    assert "  - toe: about the vertical, + = front of the wheel toward the centre line" in [x.rstrip() for x in printed]
    data = json.loads(run(*words, "--rack", "-5:5:5", "--json"))
    assert list(data["over_travel"]["front_left"]) == ["travel_mm", "roll_centre_height_as_it_runs_mm", "toe_deg"]
    assert list(data["over_rack"]["front_left"]) == ["rack_mm", "roll_centre_height_as_it_runs_mm", "toe_deg"]
    assert "steering" not in data
    assert run("--outputs", "to", code=2) == "outputs = 'to': is not known; did you mean \"toe\"?\n"
    assert run("--outputs", "", code=2).startswith("outputs = ''")


def test_tables_fit_80_columns() -> None:
    printed = run("--rack", "-30:30:10")
    assert max(len(line) for line in printed.splitlines()) <= 80
    assert "outer by" in printed
    assert "…" not in printed


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["--travel", "a:b"], "needs mm as FROM:TO or FROM:TO:STEP"),
        (["--travel", "30:-30"], "needs FROM below TO and a STEP above 0"),
        (["--rack", "-30:30:0"], "needs FROM below TO and a STEP above 0"),
        (["--rack", "-30:30:0.01"], "makes more than 1001 values"),
        (["--travel", "nan:5"], "needs mm as FROM:TO or FROM:TO:STEP"),
        (["--travel=-1e308:1e308:1"], "goes beyond 10000 mm"),
        (["--travel", "0:1:1e-320"], "makes more than 1001 values"),
        (["--travel", "1e5"], "needs mm as FROM:TO or FROM:TO:STEP"),
    ],
)
def test_a_range_that_is_none_gets_one_sentence(words: list[str], sentence: str) -> None:
    assert sentence in run(*words, code=2)


def test_a_travel_that_cannot_be_reached_is_said() -> None:
    assert "cannot be reached: front_left: " in run("--travel", "0:900:300", code=1)


def test_arrays_that_share_a_dimension_go_together(car: sw.Car) -> None:
    together = xr.DataArray([1.0, 2.0, 3.0], dims="state"), xr.DataArray([-3.0, 0.0, 3.0], dims="state")
    found = car.front_left.curves(travel_mm=together[0], rack_mm=together[1])
    assert found.toe_deg.dims == ("state",)
    alone = car.front_left.curves(travel_mm=3.0, rack_mm=3.0)
    assert float(found.contact_x_mm[2]) == pytest.approx(float(alone.contact_x_mm), abs=1e-9)


@pytest.mark.parametrize(
    ("inner", "ratio", "sentence"),
    [
        (float("nan"), 0.5, "inner_deg: holds a number that is not finite"),
        (180.0, 0.5, "inner_deg: needs angles between -180 and 180"),
        ([1.0, 2.0], -0.1, "track_over_wheelbase: must not be negative"),
    ],
)
def test_ackermanns_rule_refuses_what_is_no_angle(inner: float, ratio: float, sentence: str) -> None:
    with pytest.raises(sw.InputError) as error:
        sw.ideal_outer_deg(inner, ratio)
    assert str(error.value) == sentence


def test_a_state_that_is_no_number_is_refused_by_its_name(car: sw.Car) -> None:
    nan = float("nan")
    for call in (
        lambda: car.front_left.effects(travel_mm=nan),
        lambda: car.front_left.effects_per_travel(travel_mm=nan),
        lambda: car.front_left.forces(load_N=(0, 0, 1000), travel_mm=nan),
        lambda: car.front_left.curves(travel_mm=nan),
    ):
        with pytest.raises(sw.InputError, match="travel_mm: holds a number that is not finite"):
            call()
    with pytest.raises(sw.InputError, match="goes beyond 1e"):
        car.front_left.forces(load_N=(1e308, 0, 0))
    with pytest.raises(sw.InputError, match="needs three numbers"):
        car.front_left.forces(load_N=("a", 0, 0))  # type: ignore[arg-type]
    with pytest.raises(sw.InputError, match="needs 3 numbers"):
        car.with_points({"front_left.track_rod.inner": 5}, moved="drawn")  # type: ignore[dict-item]
    with pytest.raises(sw.OutOfReach, match="front_left: the held wheel travel is out of reach by"):
        car.front_left.effects_per_travel(travel_mm=900.0)
