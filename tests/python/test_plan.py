"""The demo morning from Python: the whole car comes out, options do what they say, the plan keeps its word."""

from __future__ import annotations

import itertools
import re
import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import shimwise as sw

TOLERANCE = {  # common practice, no source
    "toe": np.degrees(np.arcsin(0.5 / 520.0)),  # 0.5 mm at the flags
    "camber": 0.05,
    "ride_height": 0.5,
    "front_difference": 1.0,
}
BOTH_RODS = ["front_left.track rod", "front_right.track rod"]
FRONT_DIFFERENCE = {"car": {"front_difference": {"value_kg": 0.0}}}


@pytest.fixture(scope="module")
def measured(car: sw.Car) -> sw.Measured:
    return sw.load_readings(sw.demo_files().readings, car).reduce()


@pytest.fixture(scope="module")
def targets(car: sw.Car) -> sw.Targets:
    return sw.load_targets(sw.demo_files().targets, car)


def wanted(car: sw.Car, /, **tables: Any) -> sw.Targets:
    return sw.load_targets({"format": "shimwise-targets/1"} | tables, car)


def turned(answer: sw.Answer) -> set[str]:
    return {one.key for one in answer.turned}


def test_every_value_comes_inside_the_tolerances_of_the_trade(plan: sw.Plan) -> None:
    values = plan.values
    asked = values[values.asks == "asked"]
    assert len(asked) == 13
    for key, row in asked.iterrows():
        kind = next(name for name in TOLERANCE if name in str(key))
        assert abs(row["then"] - row["target"]) <= TOLERANCE[kind], key
    assert values.within.all()
    assert not plan.nothing.values.within.all()
    assert plan.refusals == []


def test_values_say_what_was_read_and_why_they_stand_there(car: sw.Car, plan: sw.Plan, measured: sw.Measured) -> None:
    values, read = plan.values, measured.frame()
    known = values[values.read]
    assert np.array_equal(known.measured, read.value[known.index])
    assert set(values.index[~values.read]) == {f"{corner}.caster" for corner in car.corners}
    assert values.uncertainty[values.asks == "asked"].between(0.0, 1.0, inclusive="neither").all()
    assert values.uncertainty[~values.read].isna().all()
    assert values.asks[["front_left.toe", "front_left.caster", "rear_difference", "rake"]].tolist() == [
        "asked", "limit", "kept", "limit",
    ]  # fmt: skip
    assert values.least["front_left.caster"] == 4.0
    assert np.isnan(values.target["front_left.caster"])
    assert values.unit["rake"] == "mm"


def test_the_chance_to_pass_is_stated_and_high(plan: sw.Plan) -> None:
    assert 0.8 <= plan.chance.value <= 1.0
    assert plan.chances[plan.choice] == plan.chance
    assert plan.chances["nothing"].value < 0.01
    assert plan.chance.error < 1e-3


def test_the_chance_agrees_with_drawn_readings(plan: sw.Plan) -> None:
    reading = plan[plan.choice].core.next
    drawn = np.random.default_rng(3).multivariate_normal(reading.predicted, reading.covariance, size=200_000)
    inside = ((drawn >= reading.lower) & (drawn <= reading.upper)).all(axis=1).mean()
    assert abs(inside - plan.chance.value) < 0.006  # seven standard deviations of 200,000 draws


def test_coarse_instruments_make_a_perfect_plan_a_gamble(tmp_path: Path) -> None:
    text = sw.demo_files().car.read_text(encoding="utf-8")
    coarse = tmp_path / "coarse.toml"
    changed = text.replace(
        "resolution_deg = 0.02, repeatability_deg = 0.01", "resolution_deg = 0.2, repeatability_deg = 0.1"
    )
    assert changed != text
    coarse.write_text(changed, encoding="utf-8")
    files = sw.demo_files()
    other = sw.load_car(coarse)
    plan = sw.plan(other, sw.load_readings(files.readings, other).reduce(), sw.load_targets(files.targets, other))
    assert plan.closest.chance.value < 0.05


def test_the_car_after_is_set_as_planned(car: sw.Car, plan: sw.Plan) -> None:
    after = plan.car_after()
    for one in plan[plan.choice].core.settings:
        setting = after.adjuster(one.key).setting
        now = setting.now_turns if hasattr(setting, "now_turns") else setting.total_mm
        assert now == pytest.approx(one.after, abs=1e-12)
    by_settings = car.with_settings(plan.settings)
    assert by_settings.settings.turns == after.settings.turns
    assert by_settings.settings.shims_mm == after.settings.shims_mm
    assert set(plan.settings) == turned(plan[plan.choice])


def test_the_plan_meets_its_own_prediction(car: sw.Car, measured: sw.Measured, plan: sw.Plan) -> None:
    """What `expect` says of the same settings, which are then no change from a plan but words."""
    for answer in plan.choices.values():
        if not answer.turned:
            continue
        change = {one.key: one.shims.shims_mm or one.after - one.before for one in answer.turned}
        then = car.expect(measured, change).frame()["then"]
        read = answer.values[answer.values.read]
        np.testing.assert_allclose(then[read.index], read["then"], atol=1e-9)


def test_each_answer_says_the_same_as_the_plan_of_itself(plan: sw.Plan) -> None:
    best = plan[plan.choice]
    assert (plan.cost, plan.minutes, plan.chance, plan.settings) == (
        best.cost, best.minutes, best.chance, best.settings,
    )  # fmt: skip
    assert plan.values.equals(best.values)
    assert (plan.nothing.settings, plan.nothing.minutes, plan.nothing.touches) == ({}, 0.0, False)
    assert plan.closest.cost <= plan.nothing.cost
    assert plan.least_work is not None
    assert plan.closest.cost <= plan.least_work.cost
    assert plan.least_work.minutes <= plan.closest.minutes
    assert plan.least_work.chance.value >= plan.closest.chance.value - 0.05
    assert plan.proof.proven
    assert plan.proof.combinations > 1e6
    assert plan.proof.bound <= plan.closest.cost + 1e-9


def test_the_reading_that_is_worth_taking_again_raises_the_chance(plan: sw.Plan, measured: sw.Measured) -> None:
    assert plan.read_again is not None
    assert plan.read_again.key in measured.keys
    assert plan.chance.value < plan.read_again.chance <= 1.0


def mirrored(content: dict[str, Any]) -> dict[str, Any]:
    """The same with left and right exchanged in every key."""

    def other(key: str) -> str:
        return key.replace("left", "?").replace("right", "left").replace("?", "right")

    return {
        key if key == "left_and_right" else other(key): mirrored(value) if isinstance(value, dict) else value
        for key, value in content.items()
    }


def test_a_mirrored_car_gets_the_mirrored_plan(plan: sw.Plan) -> None:
    files = sw.demo_files()
    content = tomllib.loads(files.car.read_text(encoding="utf-8"))
    content["mass"]["cg_mm"][1] *= -1.0
    for one in content["ballast"]:
        one["at_mm"][1] *= -1.0
    other = sw.load_car(content)
    readings = sw.load_readings(mirrored(tomllib.loads(files.readings.read_text(encoding="utf-8"))), other)
    found = sw.plan(other, readings.reduce(), sw.load_targets(files.targets, other))
    assert found.choice == plan.choice
    for name, answer in plan.choices.items():
        there = mirrored(answer.settings)
        assert set(found[name].settings) == set(there), name
        for key, now in found[name].settings.items():
            assert now == pytest.approx(there[key], abs=1e-9), key
        assert found[name].cost == pytest.approx(answer.cost, rel=1e-6), name
        assert found[name].chance.value == pytest.approx(answer.chance.value, abs=5e-4), name


def test_measuring_the_planned_car_again_plans_nothing(car: sw.Car, plan: sw.Plan) -> None:
    """There and back: readings equal to the targets leave every adjuster alone."""
    after = plan.car_after()
    readings = tomllib.loads(sw.demo_files().readings.read_text(encoding="utf-8"))
    targets = tomllib.loads(sw.demo_files().targets.read_text(encoding="utf-8"))
    zero = -0.5 * sum(readings["gauge_check"]["camber_gauge_deg"].values())
    for corner in car.corners:
        flags = 520.0 * np.sin(np.radians(targets[corner]["toe"]["value_deg"]))
        readings[corner]["flags_mm"] = {"front": 40.0 + flags / 2, "rear": 40.0 - flags / 2}
        readings[corner]["camber_deg"] = targets[corner]["camber"]["value_deg"] - zero
        readings[corner]["scale_kg"] = {"front": 98.2, "rear": 150.8}[corner.partition("_")[0]]
        del readings[corner]["shims_mm"]
        readings["ride_heights_mm"][corner] = targets["ride_height"][corner]["value_mm"]
    readings["pads"]["height_mm"] = dict.fromkeys(car.corners, 0.0)
    again = sw.plan(after, sw.load_readings(readings, after).reduce(), sw.load_targets(targets, after))
    assert again.choice == "nothing"
    assert again.nothing.within
    assert again.nothing.chance.value > 0.8


def test_what_is_kept_stays_and_what_is_free_is_none_of_the_plan(car: sw.Car, measured: sw.Measured) -> None:
    asked = wanted(car, **FRONT_DIFFERENCE)
    by_itself = sw.plan(car, measured, asked).values
    assert by_itself.asks.to_dict() == {
        **{f"ride_height.{corner}": "kept" for corner in car.corners},
        **{f"{corner}.{name}": "kept" for corner in car.corners for name in ("toe", "camber", "caster")},
        "front_difference": "asked",
        "rear_difference": "kept",
    }
    assert (by_itself.then - by_itself.measured).abs()["rear_difference"] <= 10.0
    free = sw.plan(car, measured, asked, free=["toe", "camber", "ride_height", "rear_difference", "caster"]).values
    assert list(free.index) == ["front_difference"]
    kept = sw.plan(car, measured, asked, keep="camber").values
    for corner in car.corners:
        moved = kept.then[f"{corner}.camber"] - kept.measured[f"{corner}.camber"]
        assert kept.asks[f"{corner}.camber"] == "kept"
        assert abs(moved) <= 0.05


def test_what_is_held_takes_part_where_it_is_named(car: sw.Car, measured: sw.Measured, plan: sw.Plan) -> None:
    held = {of.purpose.name: of.keys for of in plan.core.held}
    assert "front_left.spring platform" in held["corner_weight"]
    assert all(of.gain >= 0.0 for of in plan.core.held)
    with_it = sw.plan(car, measured, sw.load_targets(sw.demo_files().targets, car), turn="front_left.spring platform")
    assert "front_left.spring platform" in {one.key for one in with_it.closest.core.settings}
    assert "front_left.spring platform" not in {one.key for one in plan.closest.core.settings}
    assert with_it.closest.cost <= plan.closest.cost


@pytest.mark.parametrize("name", ["rear_left", "rear_left.pushrod", "ride_height"])
def test_nobody_turns_what_is_forbidden(car: sw.Car, measured: sw.Measured, name: str) -> None:
    heights = wanted(car, ride_height={"rear_left": {"value_mm": 42.0}, "rear_right": {"value_mm": 42.0}})
    free = sw.plan(car, measured, heights)
    assert "rear_left.pushrod" in turned(free.closest)
    kept = sw.plan(car, measured, heights, forbid=name)
    assert "rear_left.pushrod" not in {one.key for one in kept.closest.core.settings}


def test_what_is_forced_is_turned_by_so_much(car: sw.Car, measured: sw.Measured, targets: sw.Targets) -> None:
    forced = {"front_left.pushrod": "-2 flats", "front_left.camber shim": "2.0 + 0.5 mm"}
    plan = sw.plan(car, measured, targets, force=forced)
    for answer in (plan.closest, plan[plan.choice]):
        assert answer.settings["front_left.pushrod"] == pytest.approx(-2.0 / 6.0)
        assert sum(answer.settings["front_left.camber shim"]) == pytest.approx(2.5)  # type: ignore[arg-type]


def test_what_is_tied_turns_by_equal_steps(car: sw.Car, measured: sw.Measured, targets: sw.Targets) -> None:
    left, right = BOTH_RODS
    apart = sw.plan(car, measured, targets).closest.settings
    assert apart[left] != pytest.approx(apart[right])
    tied = sw.plan(car, measured, targets, tie=[BOTH_RODS]).closest.settings
    assert tied[left] == pytest.approx(tied[right])
    assert tied[left] != 0.0


def test_of_plans_of_the_same_minutes_the_preferred_is_taken(car: sw.Car, measured: sw.Measured) -> None:
    asked = wanted(car, **FRONT_DIFFERENCE)
    rear = ["rear_left.spring platform", "rear_right.spring platform"]
    by_itself = sw.plan(car, measured, asked).least_work
    preferred = sw.plan(car, measured, asked, prefer=rear).least_work
    assert by_itself is not None
    assert preferred is not None
    assert preferred.minutes <= by_itself.minutes
    assert turned(preferred) <= set(rear)


def test_no_plan_takes_longer_than_it_may(car: sw.Car, measured: sw.Measured) -> None:
    asked = wanted(car, **FRONT_DIFFERENCE)
    assert sw.plan(car, measured, asked).closest.minutes > 12.0
    hurried = sw.plan(car, measured, asked, within_minutes=12)
    assert all(answer.minutes <= 12.0 for answer in hurried.choices.values())
    assert hurried.closest.within
    assert sw.plan(car, measured, asked, within_minutes=0).choice == "nothing"


def test_what_the_model_may_be_off_is_in_the_chance_alone(
    car: sw.Car, measured: sw.Measured, targets: sw.Targets, plan: sw.Plan
) -> None:
    sure, unsure = (sw.plan(car, measured, targets, model_share=share).closest for share in (0.0, 0.1))
    assert sure.chance.value > plan.closest.chance.value > unsure.chance.value
    assert sure.settings == plan.closest.settings == unsure.settings


def test_asks_that_exclude_each_other_are_named(car: sw.Car, measured: sw.Measured) -> None:
    """Heights of 30 and 42 mm and a rake of 15 mm, each within 0.5 mm: equally far out they miss by 1 tolerance.

    12 + 2 (0.5 + 0.5 miss) = 15 - (0.5 + 0.5 miss); whole steps make it a little more.
    """
    heights = {corner: {"value_mm": 30.0 if corner.startswith("front") else 42.0} for corner in car.corners}
    plan = sw.plan(
        car, measured, wanted(car, ride_height=heights, car={"rake": {"value_mm": 15.0, "tolerance_mm": 0.5}})
    )
    assert not plan.closest.within
    far = re.fullmatch(
        r"whatever may be turned, one value or more stays outside by ([\d.]+) of its .*", plan.refusals[0]
    )
    assert far is not None
    assert 1.0 <= float(far[1]) <= 1.2
    said = " ".join(plan.refusals)
    for key in ("rake", "ride_height.front", "ride_height.rear"):
        assert re.search(rf"{key}\w* would be ", said), key
    assert "Without the target of rake it may be met." in plan.refusals


def test_what_is_forbidden_is_named_where_it_stands_in_the_way(car: sw.Car, measured: sw.Measured) -> None:
    """No track rod is turned for a weight: by degrees of toe it could be."""
    level = wanted(car, car={"front_difference": {"value_kg": 0.0, "tolerance_kg": 1.0}})
    plan = sw.plan(car, measured, level, forbid=["ride_height", "corner_weight"])
    assert plan.closest.settings == {}
    assert any(
        line.startswith("Were front_left.pushrod, ") and line.endswith("it may be met.") for line in plan.refusals
    )
    assert not sw.plan(car, measured, level).refusals


def test_a_closest_plan_outside_is_no_proof_that_none_is_inside(car: sw.Car, measured: sw.Measured) -> None:
    """Least squares may leave one value out where another plan has both in: then nothing says that it cannot be met."""
    toe, camber = 0.120368, -2.623375
    asked = {
        "toe": {"value_deg": toe, "tolerance_deg": 0.03},
        "camber": {"value_deg": camber, "tolerance_deg": 0.018},
    }
    forbid = ["front_right", "rear_left", "rear_right", "ride_height", "corner_weight", "caster", "bar_free"]
    plan = sw.plan(car, measured, wanted(car, front_left=asked), forbid=forbid)
    linear = plan.core.linear
    lists = [[0.0] if never else one for one, never in zip(linear.allowed, linear.forbidden, strict=True)]
    x = np.array(list(itertools.product(*lists)))
    then = linear.then_0 + x @ linear.effect.T
    rows = [linear.values.index("front_left.toe"), linear.values.index("front_left.camber")]
    off = (then[:, rows] - [toe, camber]) / [0.03, 0.018]
    inside, cost = (np.abs(off) <= 1.0).all(axis=1), (off**2).sum(axis=1)
    assert inside.any()
    assert cost.min() < cost[inside].min()
    assert plan.closest.cost == pytest.approx(cost.min(), rel=0.02)
    assert plan.refusals == []
    says_so = any("does not forbid a plan with every target inside" in note for note in plan.notes)
    assert says_so or any(answer.within for answer in plan.choices.values())


ALL_BUT_ONE_PACK = [
    "front_right",
    "rear_left",
    "rear_right",
    "toe",
    "ride_height",
    "corner_weight",
    "caster",
    "bar_free",
]


def test_a_limit_that_stands_in_the_way_is_named(car: sw.Car, measured: sw.Measured) -> None:
    """3 mm of shims can come out at the front left: some 0.8 deg of camber, and 1 deg is asked for."""
    asked = wanted(car, front_left={"camber": {"value_deg": -3.75, "tolerance_deg": 0.05}})
    plan = sw.plan(car, measured, asked, forbid=ALL_BUT_ONE_PACK)
    assert "At the end of its range: front_left.camber shim." in plan.refusals
    assert "With more range at front_left.camber shim it may be met." in plan.refusals
    assert plan.closest.turned[0].after == 0.0


def test_a_target_between_two_steps_is_said_to_lack_finer_ones(car: sw.Car, measured: sw.Measured) -> None:
    asked = wanted(car, front_left={"camber": {"value_deg": -2.6, "tolerance_deg": 0.001}})
    plan = sw.plan(car, measured, asked, forbid=ALL_BUT_ONE_PACK)
    assert plan.refusals[-1] == "Only steps that can be set stand in the way: real amounts meet it."


def test_text_and_html_show_the_card_and_its_cautions(plan: sw.Plan) -> None:
    text = repr(plan)
    assert max(len(line) for line in text.splitlines()) <= 80
    for words in ("chocked", "minimum thread engagement", "torque", "rack lock", "qualified person", "Chance to pass"):
        assert words in text, words
    assert "chance to pass" in plan._repr_html_()


def test_everything_shows_why_this_one_and_what_else(plan: sw.Plan) -> None:
    text = plan.text(everything=True)
    assert max(len(line.rstrip()) for line in text.splitlines()) <= 80
    heads = ["What could be done", "Why this one", "Measured and wanted", "What is read now and then", "Runners-up"]
    heads += ["Held, as what is asked", "Worth reading again", "Proof", "Notes"]
    choices = text.index(heads[0])  # behind the card, which has notes and a proof of its own
    places = [text.index(head, choices) for head in heads]
    assert places == sorted(places)
    assert "Why this one" not in plan.text()


def test_an_answer_shows_itself(plan: sw.Plan) -> None:
    text = repr(plan.closest)
    assert max(len(line.rstrip()) for line in text.splitlines()) <= 80
    assert text.startswith(
        f"closest: {plan.closest.minutes:.0f} minutes, chance to pass {plan.closest.chance.value:.2f}"
    )
    assert "chocked" in text
    assert "nothing is turned" in repr(plan.nothing)
    assert "chocked" not in repr(plan.nothing)


def test_measured_is_a_table(measured: sw.Measured) -> None:
    frame = measured.frame()
    assert frame.loc["front_left.toe", "unit"] == "deg"
    assert (frame.uncertainty >= 0.0).all()
    assert measured.covariance.shape == (len(frame), len(frame))
    np.testing.assert_allclose(np.sqrt(np.diag(measured.covariance)), frame.uncertainty, rtol=1e-12)
    assert "front_left.toe" in repr(measured)


def test_an_unknown_choice_gets_one_sentence(plan: sw.Plan) -> None:
    with pytest.raises(sw.InputError, match="choice = 'best': this plan has nothing, closest, least_work"):
        plan.card("best")


def test_what_was_read_of_one_car_is_not_planned_or_tried_on_another(car: sw.Car) -> None:
    files = sw.demo_files()
    measured = sw.load_readings(files.readings, car).reduce()
    other = sw.load_car(car.as_dict() | {"name": "Robin"})
    with pytest.raises(sw.InputError, match='measured: was read of "Wren", this car is "Robin"'):
        sw.plan(other, measured, sw.load_targets(files.targets, other))
    with pytest.raises(sw.InputError, match='measured: was read of "Wren", this car is "Robin"'):
        other.expect(measured, {"front_left.track rod": 0.25})
