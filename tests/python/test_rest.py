"""The car at rest from Python: laws that its numbers obey, its table, its refusals."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

import shimwise as sw

CORNERS = ["front_left", "front_right", "rear_left", "rear_right"]
WEIGHTS = [f"{corner}.weight_kg" for corner in CORNERS]
OTHER_SIDE = {"front_left": "front_right", "rear_left": "rear_right"}

Edited = Callable[..., sw.Car]

SYMMETRIC = ("cg_mm = [-1420.0, 4.0, 285.0]", "cg_mm = [-1420.0, 0.0, 285.0]")
TWISTS = ('name = "Wren"', 'name = "Wren"\nchassis_twist_Nm_per_deg = 1500.0')
BARS_ON = ("connected = false", "connected = true")
SHORT_DAMPER = ("longest_mm = 250.0", "longest_mm = 231.5")


@pytest.fixture(scope="module")
def table() -> pd.DataFrame:
    return sw.demo_car().effects("rest")


def test_the_scales_carry_the_car(car: sw.Car) -> None:
    rest = car.at_rest(pads_mm={"front_left": 3.0, "rear_left": -2.0}, ballast_kg={"fuel": 30.0})
    weights = rest.weights_kg
    assert sum(weights.values()) == pytest.approx(498.0 + 18.0, abs=1e-9)
    assert rest.total_kg == pytest.approx(516.0, abs=1e-9)
    fl, fr, rl, rr = (weights[corner] for corner in CORNERS)
    assert rest.cross_weight_percent == pytest.approx(100.0 * (fr + rl) / 516.0, abs=1e-10)
    assert rest.front_share_percent == pytest.approx(100.0 * (fl + fr) / 516.0, abs=1e-10)
    assert rest.left_share_percent == pytest.approx(100.0 * (fl + rl) / 516.0, abs=1e-10)
    assert rest.front_difference_kg == pytest.approx(fl - fr, abs=1e-10)
    assert rest.rear_difference_kg == pytest.approx(rl - rr, abs=1e-10)


def test_the_wheels_turn_the_weight_about_the_middle(car: sw.Car) -> None:
    # level pads: loads along plumb, the centre of gravity over the ground where the small roll puts it
    rest = car.at_rest()
    half = {corner: rest.corners.loc[corner, "half_track_mm"] for corner in CORNERS}
    side = {corner: 1.0 if corner.endswith("left") else -1.0 for corner in CORNERS}
    offset_mm = sum(rest.weights_kg[c] * side[c] * half[c] for c in CORNERS) / rest.total_kg
    rolled_mm = 4.0 - np.radians(rest.roll_deg) * (285.0 + rest.height_mm)
    assert offset_mm == pytest.approx(rolled_mm, abs=0.02)


def test_heights_and_rake_are_those_of_its_points(car: sw.Car) -> None:
    rest = car.at_rest(pads_mm={"rear_right": 4.0})
    heights = rest.ride_heights_mm
    assert list(heights) == CORNERS
    front = (heights["front_left"] + heights["front_right"]) / 2.0
    rear = (heights["rear_left"] + heights["rear_right"]) / 2.0
    assert rest.rake_mm == pytest.approx(rear - front, abs=1e-10)
    assert rest.rake_deg == pytest.approx(np.degrees(np.arcsin((rear - front) / 2345.0)), abs=1e-10)
    assert rest.rake_deg == pytest.approx(rest.pitch_deg, abs=1e-9)
    assert rest.height_mm == pytest.approx(front, abs=1e-3)


def test_level_pads_lift_everything_alike(car: sw.Car) -> None:
    low, high = car.at_rest(), car.at_rest(pads_mm=dict.fromkeys(CORNERS, 25.0))
    for name, value in low.values.items():
        assert high.value(name) == pytest.approx(value, abs=1e-8), name


def test_a_symmetric_car_answers_symmetrically(edited: Edited) -> None:
    car = edited(SYMMETRIC, TWISTS, BARS_ON)
    rest, table = car.at_rest(), car.effects("rest")
    assert abs(rest.roll_deg) <= 1e-9
    assert rest.twist_deg is not None
    assert abs(rest.twist_deg) <= 1e-9
    assert rest.cross_weight_percent == pytest.approx(50.0, abs=1e-9)
    assert all(abs(torque) <= 1e-9 for torque in rest.bar_torques_Nm.values())
    for left, right in OTHER_SIDE.items():
        np.testing.assert_allclose(rest.corners.loc[left], rest.corners.loc[right], rtol=0.0, atol=1e-9)
        assert rest.weights_kg[left] == pytest.approx(rest.weights_kg[right], abs=1e-9)
        one = table.loc[(f"{left}.pushrod", "mm")]
        other = table.loc[(f"{right}.pushrod", "mm")]
        assert one["cross_weight_percent"] == pytest.approx(-other["cross_weight_percent"], abs=1e-9)
        assert one[f"{left}.weight_kg"] == pytest.approx(other[f"{right}.weight_kg"], abs=1e-9)
        assert one["rake_mm"] == pytest.approx(other["rake_mm"], abs=1e-9)


def test_weight_only_moves_and_ballast_adds(table: pd.DataFrame) -> None:
    sums = table[WEIGHTS].sum(axis=1)
    ballast = table.index.get_level_values("adjuster").str.startswith("ballast.")
    assert ballast.sum() == 2
    largest = table[WEIGHTS].abs().to_numpy().max()
    assert largest >= 1.0
    assert (sums[~ballast].abs() <= 1e-9 * largest).all()
    assert ((sums[ballast] - 1.0).abs() <= 1e-9).all()


@pytest.mark.parametrize(
    ("key", "by"),
    [
        ("front_left.pushrod", 0.01),
        ("rear_right.spring platform", 0.01),
        ("front_right.track rod", 0.01),
        ("rear_left.toe link", 0.01),
        ("front_left.upper rear leg", 0.01),
    ],
)
def test_a_turn_is_the_slope_of_rest(car: sw.Car, table: pd.DataFrame, key: str, by: float) -> None:
    up, down = (pd.Series(car.at_rest(settings={key: turns}).values) for turns in (by, -by))
    slope = (up - down) / (2.0 * by)
    difference = (slope - table.loc[(key, "turn")]).abs()
    assert (difference <= 2e-5 * table.loc[(key, "turn")].abs().max()).all()


def test_pads_and_ballast_are_slopes_too(car: sw.Car, table: pd.DataFrame) -> None:
    for key, per, up, down in [
        ("pad.rear_left", "mm", {"pads_mm": {"rear_left": 0.01}}, {"pads_mm": {"rear_left": -0.01}}),
        ("ballast.fuel", "kg", {"ballast_kg": {"fuel": 12.01}}, {"ballast_kg": {"fuel": 11.99}}),
    ]:
        after, before = (pd.Series(car.at_rest(**state).values) for state in (up, down))  # type: ignore[arg-type]
        slope = (after - before) / 0.02
        difference = (slope - table.loc[(key, per)]).abs()
        assert (difference <= 2e-5 * table.loc[(key, per)].abs().max()).all(), key


def test_a_step_is_the_true_difference(car: sw.Car, table: pd.DataFrame) -> None:
    after = pd.Series(car.at_rest(settings={"rear_left.pushrod": 1.0 / 24.0}).values)
    change = after - pd.Series(car.at_rest().values)
    difference = (change - table.loc[("rear_left.pushrod", "step longer")]).abs()
    assert (difference <= 1e-9 * change.abs().max()).all()


def test_the_table_says_what_it_is(car: sw.Car, table: pd.DataFrame) -> None:
    assert table.index.names == ["adjuster", "per"]
    assert table.attrs["hold"] == "rest"
    assert table.attrs["frame"] == "ground"
    assert table.attrs["at"] == car.at_rest().values
    assert table.attrs["chassis_is_rigid"] is True
    assert table.attrs["left_out"] == []
    assert list(table.columns) == list(car.at_rest().values)
    assert list(table.loc["front_left.camber shim"].index) == ["step thicker", "step thinner", "mm"]
    assert list(table.loc["pad.front_left"].index) == ["mm"]


def test_steps_that_cannot_be_done_are_told(edited: Edited) -> None:
    table = edited(("shortest_mm = 205.0", "shortest_mm = 230.35")).effects("rest")
    assert len(table.attrs["left_out"]) >= 1
    assert all("past its shortest" in why for why in table.attrs["left_out"])
    told = {why.partition(",")[0] for why in table.attrs["left_out"]}
    assert told <= set(table.index.get_level_values("adjuster"))


@pytest.mark.parametrize("hold", ["contact", "wheel"])
def test_other_holds_are_the_corners_under_each_other(car: sw.Car, hold: str) -> None:
    table = car.effects(hold)
    assert table.attrs["hold"] == hold
    assert table.attrs["frame"] == "chassis"
    assert len(table) == sum(len(corner.effects(hold)) for corner in car.corners.values())
    for name, corner in car.corners.items():
        own = corner.effects(hold)
        assert table.attrs["at"][name] == own.attrs["at"]
        for (adjuster, per), row in own.iterrows():  # type: ignore[misc]
            pd.testing.assert_series_equal(table.loc[(f"{name}.{adjuster}", per)], row, check_names=False)


def test_contact_is_held_unless_said(car: sw.Car) -> None:
    pd.testing.assert_frame_equal(car.effects(), car.effects("contact"))


def test_settings_count_for_every_hold(car: sw.Car) -> None:
    settings = {"front_left.track rod": "+2 flats"}
    changed = car.with_settings(settings)
    for hold in ("contact", "rest"):
        pd.testing.assert_frame_equal(car.effects(hold, settings=settings), changed.effects(hold))
    assert car.at_rest(settings=settings).values == changed.at_rest().values


def test_tables_are_labelled(car: sw.Car) -> None:
    rest = car.at_rest()
    assert list(rest.corners.index) == CORNERS
    assert list(rest.corners.columns) == list(car.front_left.effects().columns)
    assert rest.corners.attrs["frame"] == "ground"
    loads = rest.loads
    assert list(loads.index) == CORNERS
    assert loads.dtypes.drop("on_droop_stop").eq(float).all()
    assert loads["on_droop_stop"].dtype == bool
    assert (loads["to_shortest_mm"] + 205.0).iloc[0] == pytest.approx(rest.corners["spring_length_mm"].iloc[0])
    assert (250.0 - loads["to_droop_stop_mm"]).iloc[0] == pytest.approx(rest.corners["spring_length_mm"].iloc[0])
    assert rest.third_loads_N == {"front": 0.0}
    assert rest.bar_torques_Nm == {}
    assert rest.chassis_is_rigid
    assert rest.twist_deg is None


def test_about_the_chassis_each_wheel_is_that_of_its_corner(car: sw.Car) -> None:
    rest = car.at_rest(pads_mm={"front_left": 6.0})
    about = rest.about_chassis
    assert about.attrs["frame"] == "chassis"
    assert list(about.columns) == list(rest.corners.columns)
    for name, corner in car.corners.items():
        # a corner by itself, ridden to the spring's length at rest
        travel_mm = np.linspace(-20.0, 20.0, 4001)
        alone = corner.alignment(travel_mm=travel_mm)
        for output in ("toe_deg", "camber_deg", "caster_deg", "half_track_mm", "chassis_height_mm"):
            at_rest = np.interp(-about.loc[name, "spring_length_mm"], -alone.spring_length_mm, alone[output])
            assert about.loc[name, output] == pytest.approx(float(at_rest), abs=1e-6), (name, output)
    assert abs(about.loc["front_left", "caster_deg"] - rest.corners.loc["front_left", "caster_deg"]) > 0.2  # rake


def test_a_car_without_stops_has_none(edited: Edited) -> None:
    rubber = "bump_rubber = { gap_mm = 14.0, force_N_at_mm = [[0.0, 0.0], [5.0, 400.0], [8.0, 1100.0]] }"
    rest = edited((rubber, "")).at_rest()
    assert rest.loads["to_rubber_mm"].dtype == float
    assert rest.loads["to_rubber_mm"].isna().all()
    assert "bump rubber" not in repr(rest)


def test_the_chassis_twists_where_the_file_says_so(edited: Edited) -> None:
    stiff, soft = edited().effects("rest"), edited(TWISTS).effects("rest")
    assert soft.attrs["chassis_is_rigid"] is False
    row = ("front_left.pushrod", "turn")
    shares = soft.loc[row, "cross_weight_percent"] / stiff.loc[row, "cross_weight_percent"]
    assert 0.5 < shares < 0.99
    rest = edited(TWISTS).at_rest(pads_mm={"front_left": 8.0})
    assert rest.twist_deg is not None
    assert rest.twist_deg > 0.01
    assert "chassis twists" in repr(rest)
    assert "taken as rigid" not in repr(rest)


def test_a_closed_droop_stop_is_said_with_what_is_missing(edited: Edited) -> None:
    # pads in warp, so that their best plane stays level
    rest = edited(SHORT_DAMPER).at_rest(pads_mm=dict(zip(CORNERS, (-4.0, 4.0, 4.0, -4.0), strict=True)))
    corner = rest.loads.loc["front_left"]
    assert corner["on_droop_stop"]
    assert corner["to_droop_stop_mm"] == 0.0
    assert rest.corners.loc["front_left", "spring_length_mm"] == pytest.approx(231.5, abs=1e-9)
    ratio = rest.corners.loc["front_left", "motion_ratio"]
    assert corner["stop_pull_N"] > 100.0
    assert corner["missing_N"] == pytest.approx(corner["stop_pull_N"] * ratio, rel=1e-4)
    told = " ".join(repr(rest).split())
    assert "front left: the damper is ON ITS DROOP STOP" in told
    assert f"pulls with {corner['stop_pull_N']:.0f} N" in told
    assert f"carries {corner['missing_N'] / 9.80665:.1f} kg ({corner['missing_N']:.0f} N) less" in told
    assert told.count("ON ITS") == rest.loads["on_droop_stop"].sum() == 1


def test_bars_and_third_springs_are_told(car: sw.Car, edited: Edited) -> None:
    told = {tuple(line.split()) for line in repr(car.at_rest()).splitlines()}
    assert ("front", "bar", "off") in told
    assert ("rear", "bar", "off") in told
    assert ("front", "third", "spring", "0", "N", "free") in told
    rest = edited(BARS_ON).at_rest(pads_mm={"front_left": 5.0})
    assert list(rest.bar_torques_Nm) == ["front", "rear"]
    lines = {tuple(line.split()) for line in repr(rest).splitlines()}
    torque = rest.bar_torques_Nm["front"]
    assert abs(torque) > 0.5
    assert ("front", "bar", f"{torque:+.1f}", "Nm", "left", "arm", "less", "right", "arm") in lines


def test_tyres_are_softer_than_setup_wheels(car: sw.Car) -> None:
    wheels, tyres = car.at_rest(), car.at_rest(on_tyres=True)
    assert tyres.total_kg == pytest.approx(wheels.total_kg, abs=1e-9)
    row = ("pad.front_left", "mm")
    on_tyres = car.effects("rest", on_tyres=True).loc[row, "front_left.weight_kg"]
    on_wheels = car.effects("rest").loc[row, "front_left.weight_kg"]
    assert 0.5 * on_wheels < on_tyres < 0.95 * on_wheels
    assert "On its tyres" in repr(tyres)


@pytest.mark.parametrize(
    ("state", "sentence"),
    [
        ({"pads_mm": {"front_lft": 1.0}}, 'Wren has no such pad; did you mean "front_left"'),
        ({"pads_mm": {"front_left": float("nan")}}, "front_left = nan: needs a finite number"),
        ({"pads_mm": {"front_left": "2"}}, "front_left = '2': needs a finite number"),
        ({"pads_mm": {"front_left": 1e5}}, "goes beyond 1000 mm"),
        ({"pads_mm": [1.0, 2.0, 3.0, 4.0]}, "needs names and numbers"),
        ({"ballast_kg": {"fule": 1.0}}, 'Wren has no such ballast; did you mean "fuel"'),
        ({"ballast_kg": {"fuel": float("inf")}}, "fuel = inf: needs a finite number"),
        ({"ballast_kg": {"fuel": -1.0}}, "fuel: is a ballast of 0 kg or more"),
        ({"settings": {"front_left.track rot": 1.0}}, "has no such adjuster"),
    ],
)
def test_bad_arguments_get_one_sentence(car: sw.Car, state: dict[str, object], sentence: str) -> None:
    for call in (car.at_rest, lambda **words: car.effects("rest", **words)):
        with pytest.raises(sw.InputError) as refusal:
            call(**state)  # type: ignore[arg-type]
        assert sentence in str(refusal.value)
        assert len(str(refusal.value).splitlines()) == 1


def test_what_only_rest_has_is_refused_elsewhere(car: sw.Car) -> None:
    for state in ({"pads_mm": {}}, {"ballast_kg": {}}, {"on_tyres": True}):
        with pytest.raises(sw.InputError, match='need hold = "rest"'):
            car.effects("contact", **state)  # type: ignore[arg-type]
    with pytest.raises(sw.InputError, match="hold = 'ride': needs one of"):
        car.effects("ride")


def test_a_value_is_asked_by_name(car: sw.Car) -> None:
    rest = car.at_rest()
    assert rest.value("front_left.toe_deg") == rest.corners.loc["front_left", "toe_deg"]
    with pytest.raises(sw.InputError, match=r"no such value as it stands; did you mean \"cross_weight_percent\""):
        rest.value("cross_weight_percnt")
    with pytest.raises(sw.InputError, match="'x': Wren has no such value as it stands; its `values`"):
        rest.value("x")


def test_a_state_out_of_reach_names_what_and_how_much(car: sw.Car) -> None:
    with pytest.raises(sw.OutOfReach, match=r"front_right: the wheel is off its pad: .* \d+\.\d N"):
        car.at_rest(pads_mm={"front_left": 90.0})
    with pytest.raises(sw.OutOfReach, match=r"front_right: "):
        car.effects("rest", pads_mm={"front_left": 90.0})


def test_it_shows_itself(car: sw.Car) -> None:
    rest = car.at_rest()
    assert repr(rest) == rest.text()
    assert "At rest" not in rest._repr_html_()
    assert "Wren at rest, ground frame, chassis taken as rigid" in rest._repr_html_()
    narrow = rest.text(width=80)
    assert max(len(line) for line in narrow.splitlines()) <= 80
    assert "…" not in narrow


def test_a_tall_car_that_balances_on_a_saddle_of_its_energy_does_not_stand(tmp_path: Path) -> None:
    """Both sides alike, so that it has no side to fall to, and a centre of gravity twenty metres up."""
    car = tmp_path / "tall.toml"
    car.write_text(sw.demo_files().car.read_text().replace("[-1420.0, 4.0, 285.0]", "[-1420.0, 0.0, 20000.0]"))
    with pytest.raises(sw.OutOfReach, match="does not stand stably"):
        sw.load_car(car).at_rest()
