"""The demo morning from Python: it comes out, and the plan keeps what it predicts."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import shimwise as sw

TOLERANCE_DEG = {"toe": np.degrees(np.arcsin(0.5 / 520.0)), "camber": 0.05}  # 0.5 mm at the flags; common practice


def test_every_toe_and_camber_comes_inside_the_tolerances_of_the_trade(plan: sw.Plan) -> None:
    checked = 0
    for corner in plan[plan.choice].corners:
        for output in corner.outputs:
            kind = output.key.partition(".")[2]
            if kind in TOLERANCE_DEG:
                assert abs(output.predicted - output.target.value) <= TOLERANCE_DEG[kind], output.key
                checked += 1
    assert checked == 8


def test_the_chance_to_pass_is_stated_and_high(plan: sw.Plan) -> None:
    assert 0.9 <= plan.chances[plan.choice].value <= 1.0
    assert plan.chances["nothing"].value < 0.01
    assert plan.chances[plan.choice].error < 1e-3


def test_the_chance_agrees_with_drawn_readings(plan: sw.Plan) -> None:
    reading = plan[plan.choice].next
    drawn = np.random.default_rng(3).multivariate_normal(reading.predicted, reading.covariance, size=200_000)
    inside = ((drawn >= reading.lower) & (drawn <= reading.upper)).all(axis=1).mean()
    assert abs(inside - plan.chances[plan.choice].value) < 0.004  # seven standard deviations of 200,000 draws


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
    assert plan.chances["closest"].value < 0.05


def test_the_car_after_is_set_as_planned(car: sw.Car, plan: sw.Plan) -> None:
    after = plan.car_after()
    for name, corner in zip(car.corners, plan[plan.choice].corners, strict=True):
        for setting in corner.settings:
            short = setting.key.partition(".")[2]
            (adjuster,) = (a for a in after.corners[name].adjusters if a.name == short)
            now = adjuster.setting.now_turns if hasattr(adjuster.setting, "now_turns") else adjuster.setting.total_mm
            assert now == pytest.approx(setting.after, abs=1e-12)


def test_measuring_the_planned_car_again_plans_nothing(car: sw.Car, plan: sw.Plan, tmp_path: Path) -> None:
    """There and back: readings equal to the targets leave every adjuster alone."""
    after = plan.car_after()
    readings = sw.demo_files().readings.read_text(encoding="utf-8")
    for corner in ("front_left", "front_right", "rear_left", "rear_right"):
        wanted = {
            k: v.value
            for k, v in sw.load_targets(sw.demo_files().targets, car).corners[list(car.corners).index(corner)].items()
        }
        flags = 520.0 * np.sin(np.radians(wanted["toe"]))
        head, _, tail = readings.partition(f"[{corner}]\n")
        lines = tail.split("\n")
        lines = [
            f"flags_mm = {{ front = {40.0 + flags / 2:.6f}, rear = {40.0 - flags / 2:.6f} }}"
            if line.startswith("flags_mm")
            else line
            for line in lines[:2]
        ] + lines[2:]
        lines = [
            f"camber_deg = {wanted['camber'] + 0.04:.6f}" if line.startswith("camber_deg") and i < 4 else line
            for i, line in enumerate(lines)
        ]
        readings = head + f"[{corner}]\n" + "\n".join(lines)
    path = tmp_path / "again.toml"
    path.write_text(readings, encoding="utf-8")
    again = sw.plan(after, sw.load_readings(path, after).reduce(), sw.load_targets(sw.demo_files().targets, after))
    assert again.choice == "nothing"
    assert again.chances["nothing"].value > 0.9


def test_the_closest_plan_is_never_dearer_and_least_work_never_longer(plan: sw.Plan) -> None:
    assert plan["closest"].cost <= plan["nothing"].cost
    assert "least_work" in plan.choices
    assert plan["closest"].cost <= plan["least_work"].cost
    assert plan["least_work"].minutes <= plan["closest"].minutes
    for corner in plan["closest"].corners:
        assert corner.proof.evaluated == corner.proof.combinations > 1000
        assert corner.proof.second_cost >= corner.cost


def test_text_and_html_show_the_card_and_its_cautions(plan: sw.Plan) -> None:
    text = repr(plan)
    assert max(len(line) for line in text.splitlines()) <= 80
    for words in ("chocked", "minimum thread engagement", "torque", "rack lock", "qualified person", "chance to pass"):
        assert words in text, words
    order = [text.index(f"\n{n}  ") for n in range(11)]
    assert order == sorted(order)
    assert "chance to pass" in plan._repr_html_()


def test_measured_is_a_table(car: sw.Car) -> None:
    measured = sw.load_readings(sw.demo_files().readings, car).reduce()
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
