"""Alignment, joints and effects of a corner from Python: arrays in, labelled arrays out."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
import xarray as xr

import shimwise as sw

CORNERS = ["front_left", "front_right", "rear_left", "rear_right"]


def test_each_array_is_a_dimension_of_its_own(car: sw.Car) -> None:
    both = car.front_left.alignment(travel_mm=[-20.0, 0.0, 20.0], rack_mm=[-10.0, 10.0])
    assert dict(both.sizes) == {"rack_mm": 2, "travel_mm": 3}
    for rack, travel in itertools.product((-10.0, 10.0), (-20.0, 0.0, 20.0)):
        one = car.front_left.alignment(travel_mm=travel, rack_mm=rack)
        assert one.sizes == {}
        for name in both:
            assert float(both[name].sel(rack_mm=rack, travel_mm=travel)) == float(one[name]), name


def test_arrays_that_share_a_dimension_go_together(car: sw.Car) -> None:
    travel = xr.DataArray([-5.0, 0.0, 5.0], dims="state")
    rack = xr.DataArray([3.0, 2.0, 1.0], dims="state")
    together = car.front_left.alignment(travel_mm=travel, rack_mm=rack)
    assert dict(together.sizes) == {"state": 3}
    for i in range(3):
        one = car.front_left.alignment(travel_mm=travel.values[i], rack_mm=rack.values[i])
        assert float(together.toe_deg[i]) == float(one.toe_deg)


def test_a_long_sweep_equals_single_states(car: sw.Car) -> None:
    travel = np.random.default_rng(7).uniform(-30.0, 30.0, 2000)
    swept = car.rear_right.alignment(travel_mm=travel)
    for i in range(0, 2000, 97):
        one = car.rear_right.alignment(travel_mm=travel[i])
        for name in swept:
            assert abs(float(swept[name][i]) - float(one[name])) <= 1e-9, name


def test_units_and_signs_are_attributes(car: sw.Car) -> None:
    state = car.front_left.alignment(travel_mm=0.0)
    assert state.toe_deg.attrs["units"] == "deg"
    assert state.motion_ratio.attrs["units"] == "1"
    assert "toe-in" in state.toe_deg.attrs["sign"]
    assert float(state.toe_deg) == pytest.approx(0.10, abs=1e-12)  # as drawn
    assert float(state.camber_deg) == pytest.approx(-2.60, abs=1e-12)


def test_links_keep_their_length(car: sw.Car) -> None:
    at = car.front_left.joints(travel_mm=np.linspace(-30.0, 30.0, 121), rack_mm=[-15.0, 0.0, 15.0])
    for a, b in [
        ("upper_wishbone.front", "upper_wishbone.outer"),
        ("upper_wishbone.rear", "upper_wishbone.outer"),
        ("lower_wishbone.front", "lower_wishbone.outer"),
        ("lower_wishbone.rear", "lower_wishbone.outer"),
        ("track_rod.inner", "track_rod.outer"),
        ("pushrod.outer", "pushrod.inner"),
        ("upper_wishbone.outer", "lower_wishbone.outer"),
        ("rocker.axis_point", "rocker.drop_link"),
    ]:
        length = np.sqrt(((at[a] - at[b]) ** 2).sum("axis"))
        assert float(abs(length - length.values.flat[0]).max()) <= 1e-9, (a, b)


@pytest.mark.parametrize("left", ["front_left", "rear_left"])
def test_the_mirrored_corner_gives_the_same(car: sw.Car, left: str) -> None:
    travel = np.linspace(-25.0, 25.0, 11)
    one = car.corners[left].alignment(travel_mm=travel)
    other = car.corners[left.replace("left", "right")].alignment(travel_mm=travel)
    for name in one:
        np.testing.assert_allclose(one[name], other[name], rtol=0.0, atol=1e-9, err_msg=str(name))


@pytest.mark.parametrize("corner", CORNERS)
@pytest.mark.parametrize("hold", ["contact", "wheel", "spring"])
def test_a_turn_is_lead_times_a_millimetre_and_near_its_steps(car: sw.Car, corner: str, hold: str) -> None:
    table = car.corners[corner].effects(hold=hold)
    assert np.isfinite(table.values).all()
    for adjuster in car.corners[corner].adjusters:
        rows = table.loc[adjuster.name]
        setting = adjuster.setting
        if not hasattr(setting, "lead_mm"):
            assert list(rows.index) == ["step thicker", "step thinner", "mm"]
            continue
        np.testing.assert_allclose(rows.loc["turn"], rows.loc["mm"] * setting.lead_mm, rtol=1e-12, atol=1e-300)
        up, down = (step for _way, step in rows.drop(index=["turn", "flat", "mm"]).iterrows())
        np.testing.assert_allclose((up - down) / 2.0, rows.loc["turn"] * setting.step_turns, rtol=0.02, atol=2e-4)


@pytest.mark.parametrize("corner", CORNERS)
def test_a_thicker_shim_at_the_upright_is_more_positive_camber(car: sw.Car, corner: str) -> None:
    table = car.corners[corner].effects()
    assert table.loc[("camber shim", "mm"), "camber_deg"] > 0.1
    assert table.loc[("camber shim", "step thicker"), "camber_deg"] > 0.0
    assert table.loc[("camber shim", "step thinner"), "camber_deg"] < 0.0


def test_what_is_held_does_not_change(car: sw.Car) -> None:
    assert (car.front_left.effects(hold="contact").chassis_height_mm.xs("mm", level="per") == 0.0).all()
    assert (car.front_left.effects(hold="spring").spring_length_mm.xs("mm", level="per") == 0.0).all()


def test_bad_arguments_get_one_sentence(car: sw.Car) -> None:
    with pytest.raises(sw.InputError, match="hold = 'rest': needs one of wheel, contact, spring"):
        car.front_left.effects(hold="rest")
    with pytest.raises(sw.InputError, match="travel_mm: has 2 dimensions"):
        car.front_left.alignment(travel_mm=[[0.0, 1.0]])
    with pytest.raises(sw.InputError, match="rack_mm: holds a number that is not finite"):
        car.front_left.alignment(rack_mm=float("nan"))


def test_a_travel_out_of_reach_says_by_how_much(car: sw.Car) -> None:
    with pytest.raises(sw.OutOfReach, match=r"front_left: .* mm"):
        car.front_left.alignment(travel_mm=[0.0, 400.0])


@pytest.mark.parametrize(
    ("words", "turns"),
    [
        (0.5, 0.5),
        ("+2 flats", 1.0 / 3.0),
        ("-1 quarter flat", -1.0 / 24.0),
        ("0.25 turns", 0.25),
        ("1/2 turn", 0.5),
        ("+2.5 mm", 1.0),
    ],
)
def test_settings_take_words(car: sw.Car, words: float | str, turns: float) -> None:
    after = car.with_settings({"front_left.track rod": words})
    assert after.settings.turns["front_left.track rod"] == pytest.approx(turns, abs=1e-15)
    assert car.settings.turns["front_left.track rod"] == 0.0  # a car never changes


def test_a_sign_counts_from_the_present_setting(car: sw.Car) -> None:
    once = car.with_settings({"front_left.track rod": "+1 flat"})
    twice = once.with_settings({"front_left.track rod": "+1 flat"})
    assert twice.settings.turns["front_left.track rod"] == pytest.approx(2.0 / 6.0, abs=1e-15)
    back = once.with_settings({"front_left.track rod": "1 flat"})
    assert back.settings.turns["front_left.track rod"] == pytest.approx(1.0 / 6.0, abs=1e-15)


@pytest.mark.parametrize(
    ("settings", "sentence"),
    [
        ({"front_left.trackrod": 1.0}, "no such adjuster"),
        ({"front.track rod": 1.0}, "no such adjuster"),
        ({"front_left.track rod": "two flats"}, "needs a number with turns"),
        ({"front_left.track rod": 40.0}, "limits_turns"),
        ({"front_left.camber shim": 2.0}, "or the shims fitted"),
        ({"front_left.camber shim": [9.0]}, "limits_mm"),
    ],
)
def test_bad_settings_get_one_sentence(car: sw.Car, settings: dict[str, object], sentence: str) -> None:
    with pytest.raises(sw.InputError, match=sentence) as error:
        car.with_settings(settings)  # type: ignore[arg-type]
    assert "\n" not in str(error.value)
