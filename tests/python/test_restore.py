"""The way back to a baseline, done on the nonlinear car."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from baselines import Table, accepted, sheet

import shimwise as sw
from shimwise import _core
from toml_text import toml_lines

Run = Callable[..., subprocess.CompletedProcess[str]]
SAME = 1e-9  # mm, deg, kg


def refitted(car: sw.Car, key: str, shims_mm: list[float]) -> sw.Car:
    """With these shims from its box, where what comes out goes."""
    axle, now = key.partition("_")[0], car.settings
    box = [*now.box_mm[axle], *now.shims_mm[key]]
    for mm in shims_mm:
        box.remove(mm)
    settings = _core.Settings()
    settings.car, settings.shims_mm, settings.box_mm = car.name, {key: shims_mm}, {axle: sorted(box)}
    return car.with_settings(settings)


def test_done_on_the_nonlinear_car_it_stands_as_it_stood(
    car: sw.Car, tmp_path: Path, size: Callable[[int, int], int]
) -> None:
    rng = np.random.default_rng(12)
    baseline = accepted(car, tmp_path / "b.toml")
    then = baseline.car.at_rest().values
    touched = 0
    for _ in range(size(20, 300)):
        now = car
        for key in car.settings.turns:
            if "drop" not in key and rng.random() < 0.4:
                now = now.with_settings({key: float(rng.integers(-3, 4)) / 6.0})
        for key in ("front_left.camber shim", "rear_right.camber shim"):
            pack = [[2.0], [2.0, 0.5], [1.0, 0.5, 0.2], [2.0, 1.0, 0.2]][int(rng.integers(4))]
            now = refitted(now, key, pack)
        back = sw.restore(now, baseline)
        assert back.whole
        touched += len(back.core.lines)
        again = back.car.at_rest().values
        assert max(abs(again[key] - then[key]) for key in then) <= SAME
        assert sum(map(len, back.core.settings.box_mm.values())) + sum(
            map(len, back.core.settings.shims_mm.values())
        ) == sum(map(len, now.settings.box_mm.values())) + sum(map(len, now.settings.shims_mm.values()))
        assert sw.restore(back.car, baseline).core.lines == []
    assert touched > 0


def test_words_amounts_and_order(car: sw.Car, tmp_path: Path) -> None:
    baseline = accepted(car, tmp_path / "b.toml")
    now = car.with_settings(
        {"front_left.track rod": "+2 flats", "rear_left.toe link": "-1 flat", "front_right.pushrod": "+3 flats"}
    )
    now = refitted(now, "front_left.camber shim", [2.0, 0.5])
    back = sw.restore(now, baseline)
    assert [(line.key, line.words) for line in back.core.lines] == [
        ("front_left.camber shim", "add 0.5 mm: pack 2.0 + 0.5 + 0.5 mm"),
        ("front_right.pushrod", "3 flats shorter (0.5 turn)"),
        ("rear_left.toe link", "1 flat longer (0.167 turn)"),
        ("front_left.track rod", "2 flats shorter (0.333 turn)"),
    ]
    assert back.core.minutes == sum(line.minutes for line in back.core.lines) > 0.0
    for line in back.core.lines:
        assert line.before != line.after


def test_what_the_shims_at_hand_do_not_make_is_said(car: sw.Car, tmp_path: Path, run: Run) -> None:
    baseline = accepted(car, tmp_path / "b.toml")
    settings = tmp_path / "now.toml"
    settings.write_text(
        'format = "shimwise-settings/1"\ncar = "Wren"\n[shims_mm]\n"front_left.camber shim" = [2.0]\n'
        '"front_right.camber shim" = [2.0]\n[box_mm]\nfront = [1.0, 0.3]\n',
        encoding="utf-8",
    )
    back = sw.restore(car.with_settings(settings), baseline)
    assert not back.whole
    assert [line.key for line in back.core.lines] == ["front_left.camber shim"]
    (words,) = back.core.not_made
    assert words.startswith("front_right.camber shim: its shims make 3.0 mm only where those of a stack that shares")
    assert words.endswith("; it stays at 2.0 mm")
    said = run("restore", "wren.toml", "b.toml", "--settings", "now.toml", code=1).stdout
    assert max(map(len, said.splitlines())) <= 80
    assert "What cannot be made" in said
    for caution in _core.cautions():
        assert caution in " ".join(said.split())

    text = settings.read_text(encoding="utf-8").replace("[1.0, 0.3]", "[0.3]")
    settings.write_text(text, encoding="utf-8")
    alone = sw.restore(car.with_settings(settings), baseline).core.not_made
    assert "no shims at hand make 3.0 mm" in alone[0]
    assert "it stays at 2.0 mm" in alone[0]


def test_a_car_that_is_set_so_is_left_alone(car: sw.Car, tmp_path: Path, run: Run) -> None:
    accepted(car, tmp_path / "b.toml")
    said = run("restore", "wren.toml", "b.toml").stdout
    assert "It is set so already" in said
    told = json.loads(run("restore", "wren.toml", "b.toml", "--json").stdout)
    assert told["lines"] == []
    assert told["cautions"] == _core.cautions()
    assert told["roles"] == {"car": "wren.toml", "baseline": "b.toml"}


def test_another_car_and_an_adjuster_that_is_new_are_said(car: sw.Car, tmp_path: Path) -> None:
    baseline = accepted(car, tmp_path / "b.toml")
    table = car.as_dict()
    table["rear_left"]["adjuster"].append(
        table["rear_left"]["adjuster"][0] | {"name": "new leg", "changes": "lower_wishbone.rear_leg"}
    )
    grown = sw.load_car(table)
    notes = sw.restore(grown, sw.load_baseline(baseline.file, grown)).notes
    assert "rear_left.new leg: the baseline does not say how it was set; it stays as it is." in notes
    with pytest.raises(sw.InputError, match="this car is Finch"):
        sw.restore(sw.load_car(car.as_dict() | {"name": "Finch"}), baseline)
    with pytest.raises(sw.InputError, match=r"baseline = .*: needs a Baseline"):
        sw.restore(car, baseline.file)  # type: ignore[arg-type]


def test_with_readings_the_plan_brings_the_accepted_values_back(car: sw.Car, tmp_path: Path, run: Run) -> None:
    baseline = accepted(car, tmp_path / "b.toml")

    def off(table: Table) -> None:
        table["front_left"]["flags_mm"]["front"] += 4.0
        table["rear_right"]["camber_deg"] -= 0.2

    later = sheet(6.0, off)
    measured = sw.load_readings(later, car).reduce()
    plan = sw.restore(car, baseline, measured)
    then = {value.key: value.value for value in baseline.core.values}
    asked = {value.key: value for value in plan.closest.core.values if value.asks.name in ("asked", "limit")}
    assert {key.rpartition(".")[2] if "height" not in key else "height" for key in asked} == {
        *("toe", "camber", "height", "front_difference", "rear_difference")
    }
    assert plan.closest.within
    assert not plan.nothing.within
    for key, value in asked.items():
        assert value.target.value == pytest.approx(then[key], abs=1e-12)
        assert abs(value.then - then[key]) <= value.target.tolerance
    assert plan.core.notes[0].startswith("Wanted is how it was accepted at barn plate on 2026-05-02, 6 days before")
    same = sw.plan(car, measured, baseline.targets(measured, car))
    assert same.closest.settings == plan.closest.settings

    (tmp_path / "later.toml").write_text(toml_lines(later), encoding="utf-8")
    told = run("restore", "wren.toml", "b.toml", "later.toml", "--save", "card.json").stdout
    assert told.splitlines()[0].startswith("CARD  Wren: barn plate, 2026-05-08")
    assert "6 days before it was read: invented." in " ".join(told.split())
    assert run("plan", "wren.toml", "later.toml", "b.toml").stdout == told
    assert "Wanted is how it was accepted" in run("card", "card.json").stdout
    assert (
        "--save: a card is made of READINGS" in run("restore", "wren.toml", "b.toml", "--save", "c.json", code=2).stderr
    )


def test_a_rod_that_another_drawing_makes_of_the_same_turns_is_said(
    car: sw.Car, tmp_path: Path, edited: Callable[..., sw.Car]
) -> None:
    baseline = accepted(car, tmp_path / "b.toml")
    assert sw.restore(car, baseline).notes == []
    redrawn = edited(("inner = [90.0, 232.0, 155.5]", "inner = [90.0, 231.0, 155.5]"))
    back = sw.restore(redrawn, sw.load_baseline(baseline.file, redrawn))
    assert back.core.lines == []
    said = [f"front_{side}.track_rod: these turns make it 359.15 mm eye to eye, when" for side in ("left", "right")]
    assert [note[: len(said[0])] for note in back.core.notes] == [words[: len(said[0])] for words in said]


def test_solid_struts_beside_springs_are_doubted(car: sw.Car, tmp_path: Path) -> None:
    baseline = accepted(car, tmp_path / "b.toml")
    now = sheet(1.0, lambda table: table["state"].update(struts="solid"))
    measured = sw.load_readings(now, car).reduce()
    assert "springs when it was accepted, solid as it was read now" in " ".join(
        sw.restore(car, baseline, measured).doubts
    )
    same = sw.load_readings(sheet(1.0), car).reduce()
    assert "as it was read now" not in " ".join(sw.restore(car, baseline, same).doubts)


def test_a_baseline_of_another_car_is_no_target(car: sw.Car, tmp_path: Path) -> None:
    baseline = accepted(car, tmp_path / "b.toml")
    text = sw.demo_files().car.read_text(encoding="utf-8").replace('name = "Wren"', 'name = "Other"')
    other = sw.load_car(text=text)
    measured = sw.load_readings(sheet(), other).reduce()
    for ask in (lambda: baseline.targets(measured, other), lambda: sw.restore(other, baseline, measured)):
        with pytest.raises(sw.InputError, match="is of Wren, this car is Other"):
            ask()
