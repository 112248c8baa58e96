"""Recipes: what is printed is what, set on the car, moves one output alone."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import shimwise as sw
from shimwise import _core
from shimwise.shown import text_of
from shimwise.views import effects as effect_views
from shimwise.views import output_words

Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture
def run(shimwise: Run, tmp_path: Path) -> Run:
    """The command line beside the demo car's files."""
    for file in sw.demo_files():
        shutil.copy(file, tmp_path / file.name)
    return shimwise


FOUR = ("toe", "camber", "caster", "chassis_height")


def set_on(car: sw.Car, recipes: sw.Recipes, output: str) -> sw.Car:
    """The car with the exact amounts of a recipe, counted from its present settings."""
    settings: dict[str, float | list[float]] = {}
    for part in recipes[output].parts:
        setting = car.adjuster(part.key).setting
        if isinstance(setting, _core.Thread):
            settings[part.key] = setting.now_turns + part.turns
        else:
            settings[part.key] = [setting.total_mm + part.amount_mm]
    return car.with_settings(settings)


def held(car: sw.Car, corner: str, travel_mm: float) -> dict[str, float]:
    data = car.corners[corner].alignment(travel_mm=travel_mm)
    return {str(name): float(data[name]) for name in data}


def at_spring_length(car: sw.Car, corner: str, length_mm: float) -> dict[str, float]:
    """Outputs at a spring length, found by halving the travel: nothing of the recipes' own solver."""
    low, high = -25.0, 25.0  # the spring shortens as the wheel rises
    for _ in range(80):
        middle = 0.5 * (low + high)
        if held(car, corner, middle)["spring_length_mm"] > length_mm:
            low = middle
        else:
            high = middle
    return held(car, corner, low)


@pytest.mark.parametrize("corner", ["front_left", "rear_right"])
def test_recipes_set_on_the_car_move_one_output_alone(car: sw.Car, corner: str) -> None:
    recipes = car.corners[corner].recipes(dict.fromkeys(FOUR, 0.2))
    now = at_spring_length(car, corner, recipes.core.spring_length_mm)
    done = 0
    for recipe in recipes.core.recipes:
        if recipe.refusal:
            continue
        after = set_on(car, recipes, recipe.output.name)
        then = at_spring_length(after, corner, recipes.core.spring_length_mm)
        columns = _core.column_names()
        for kept in recipe.kept:
            name = columns[kept.value]
            assert then[name] == pytest.approx(now[name], abs=1e-9), name
        name = columns[recipe.output.value]
        assert then[name] - now[name] == pytest.approx(0.2, abs=1e-9)
        done += 1
    assert done == (4 if corner == "front_left" else 3)


def test_frames_hold_parts_and_changes(car: sw.Car) -> None:
    assert [recipe.by for recipe in car.front_left.recipes().core.recipes] == [1.0] * 4
    recipes = car.front_left.recipes({"toe": 1.0, "camber": 2.0, "caster": 0.5, "chassis_height": 1.0})
    frame, changes = recipes.frame(), recipes.changes()
    assert set(frame.index.get_level_values("output")) == set(FOUR)
    toe = frame.loc["toe"]
    assert toe.loc["track rod", "amount_mm"] == pytest.approx(toe.loc["track rod", "turns"] * 2.5)
    assert "shorter" in toe.loc["track rod", "nearest"]
    assert toe["minutes"].sum() == recipes["toe"].minutes
    assert changes.loc[("toe", "exact"), "toe_deg"] == pytest.approx(1.0, abs=1e-9)
    assert changes.loc[("toe", "exact"), "camber_deg"] == pytest.approx(0.0, abs=1e-9)
    assert 1e-6 < abs(changes.loc[("toe", "nearest"), "toe_deg"] - 1.0) < 0.1
    assert list(changes.columns) == _core.column_names()
    assert frame.attrs == {"corner": "front_left", "hold": "spring", "frame": "chassis"}
    over = [name for name in FOUR if not recipes[name].inside]
    assert over == ["camber"]  # two degrees need more shims than the bracket takes
    for name in over:
        assert (name, "nearest") not in changes.index
        assert not frame.loc[name, "inside"].any()
        assert (frame.loc[name, "nearest"] == "").all()


def test_text_says_what_to_turn_and_what_is_over_a_limit(car: sw.Car) -> None:
    text = repr(car.front_left.recipes({"toe": 0.2, "camber": 2.0}))
    assert max(map(len, text.splitlines())) <= 80
    told = " ".join(text.split())
    for said in ("one output alone, spring length held", "Toe 0.2 deg toe-in", "longer", "OVER A LIMIT",
                 "excludes the stack of", "Inside the limits it goes", "chocked", "thread engagement"):  # fmt: skip
        assert said in told, said
    assert "Camber 0.2 deg top inboard" in repr(car.front_left.recipes({"camber": -0.2}))
    rear = " ".join(repr(car.rear_left.recipes()).split())
    assert "None: this corner has no adjuster for caster" in rear
    assert "moves too: caster" in rear
    assert "track rod" in car.front_left.recipes()._repr_html_()


def test_the_command_line_says_the_same_numbers(car: sw.Car, run: Run) -> None:
    words = ["recipes", "wren.toml", "--corner", "front_left", "--by", "camber=0.25", "--by", "chassis_height=-2"]
    content = json.loads(run(*words, "--json").stdout)
    assert (content["hold"], content["frame"]) == ("spring", "chassis")
    found = car.front_left.recipes({"camber": 0.25, "chassis_height": -2.0})
    assert content["corners"]["front_left"] == json.loads(json.dumps(found.as_dict()))
    assert [r["output"] for r in content["corners"]["front_left"]["recipes"]] == ["camber", "chassis_height"]
    told = run(*words).stdout
    assert max(map(len, told.splitlines())) <= 80
    assert repr(found).strip() in told
    everything = run("recipes", "wren.toml").stdout
    assert max(map(len, everything.splitlines())) <= 80
    assert everything.count("one output alone") == 4
    assert everything.count("chocked") == 1


@pytest.mark.parametrize(
    ("by", "sentence"),
    [
        ("camber", "needs an output and an amount"),
        ("camber=a lot", "camber = 'a lot': needs a change, such as +0.25 deg"),
        ("cambre=1", 'cambre: has no recipe; did you mean "camber"?'),
        ("bump_steer=1", "bump_steer: has no recipe; known are toe, camber"),
        ("toe=0", "toe: must not be 0"),
        ("toe=nan", "toe = 'nan': needs a change, such as +0.25 deg or +1 mm (at the flags)"),
        ("camber=+1 mm", "camber = '+1 mm': is in deg, not in mm"),
    ],
)
def test_a_wrong_amount_gets_one_sentence(run: Run, by: str, sentence: str) -> None:
    assert sentence in run("recipes", "wren.toml", "--by", by, code=2).stderr


def test_an_output_that_was_not_asked_for_gets_one_sentence(car: sw.Car) -> None:
    with pytest.raises(sw.InputError, match="output = 'toe': there are recipes of camber"):
        car.front_left.recipes({"camber": 0.2})["toe"]


@pytest.mark.parametrize(
    ("by", "sentence"),
    [
        ({"toe": "a"}, "^toe = 'a': needs a change"),
        ({"toe": None}, "^toe = None: needs a change"),
        ({"toe": [0.1]}, r"^toe = \[0.1\]: needs a change"),
        ({1: 0.1}, "^by: 1 is no output's name"),
        ("toe", "^by = 'toe': needs outputs and amounts"),
        ({"toe": float("inf")}, "^toe: must be a finite number$"),
    ],
)
def test_amounts_that_are_none_get_one_sentence(car: sw.Car, by: Any, sentence: str) -> None:
    with pytest.raises(sw.InputError, match=sentence):
        car.front_left.recipes(by)


def test_amounts_may_be_numbers_of_any_kind(car: sw.Car) -> None:
    numbers = {"toe": np.float32(0.25), "chassis_height": np.int64(1)}
    assert (
        car.front_left.recipes(numbers).as_dict()
        == car.front_left.recipes({"toe": 0.25, "chassis_height": 1}).as_dict()
    )


def test_digits_and_names_of_outputs_stand_in_one_place(car: sw.Car, monkeypatch: pytest.MonkeyPatch) -> None:
    measured = sw.load_readings(sw.demo_files().readings, car).reduce()
    change = {"front_left.upper front leg": "1 half turn longer"}

    def told() -> list[str]:
        return [repr(car.front_left.recipes({"caster": 0.25})), repr(car.expect(measured, change)),
                text_of(effect_views.effects_view(car, "front_left", "contact", "step"), 80)]  # fmt: skip

    before = told()
    monkeypatch.setitem(output_words.DIGITS, "caster", 1)
    assert all(text != was for text, was in zip(told(), before, strict=True))
    assert {info.name for info in _core.output_list()} >= set(output_words.DIGITS)
    assert output_words.label("kingpin_inclination") == "kingpin"
    assert output_words.label("half_track") == "half track"
