"""Recipes of the whole car: what is printed is what, set on the car, moves what was asked and nothing that is kept."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

import shimwise as sw
from shimwise import _core

Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture
def run(shimwise: Run, tmp_path: Path) -> Run:
    """The command line beside the demo car's files."""
    for file in sw.demo_files():
        shutil.copy(file, tmp_path / file.name)
    return shimwise


def set_on(car: sw.Car, recipe: sw.CarRecipe, *, nearest: bool = False) -> sw.Car:
    """The car with a recipe's amounts, counted from its present settings."""
    settings: dict[str, float | list[float]] = {}
    for part in recipe.core.parts:
        amount_mm = part.nearest_mm if nearest else part.amount_mm
        setting = car.adjuster(part.key).setting
        if isinstance(setting, _core.Thread):
            settings[part.key] = setting.now_turns + amount_mm / setting.lead_mm
        else:
            settings[part.key] = [setting.total_mm + amount_mm]
    return car.with_settings(settings)


def ends(values: dict[str, float]) -> dict[str, float]:
    """Heights of the two ends beside the values of `Rest`."""
    front, rear = (
        0.5 * sum(values[f"ride_height.{end}_{side}_mm"] for side in ("left", "right")) for end in ("front", "rear")
    )
    return values | {"front_mm": front, "rear_mm": rear, "mean_mm": 0.5 * (front + rear)}


SENTENCES = {
    "front_height": (2.0, "front_mm", ("rear_mm", "roll_deg", "cross_weight_percent")),
    "cross_weight": (0.5, "cross_weight_percent", ("front_mm", "rear_mm", "roll_deg")),
    "rake": (1.0, "rake_mm", ("mean_mm", "roll_deg", "cross_weight_percent")),
}


@pytest.mark.parametrize("what", SENTENCES)
def test_a_recipe_set_on_the_car_does_what_it_says(car: sw.Car, what: str) -> None:
    by, moved, kept = SENTENCES[what]
    recipe = car.recipe({what: by})
    assert recipe.inside
    now = ends(car.at_rest().values)
    then = ends(set_on(car, recipe).at_rest().values)
    assert then[moved] - now[moved] == pytest.approx(by, abs=1e-9)
    for name in kept:
        assert then[name] == pytest.approx(now[name], abs=1e-9), name
    changes = recipe.changes()
    assert list(changes.index) == list(car.at_rest().values)
    assert changes.attrs == {"hold": "rest", "frame": "ground", "chassis_is_rigid": True}
    set_nearest = set_on(car, recipe, nearest=True).at_rest().values
    for name in changes.index:
        assert changes.loc[name, "now"] == pytest.approx(now[name], abs=1e-9)
        assert changes.loc[name, "exact"] == pytest.approx(then[name] - now[name], abs=1e-9)
        assert changes.loc[name, "nearest"] == pytest.approx(set_nearest[name] - now[name], abs=1e-9)
    frame = recipe.frame()
    assert frame["minutes"].sum() == recipe.minutes
    assert dict(frame["turns"]) == recipe.turns
    assert frame["inside"].all()
    assert recipe.core.nearest_within


def test_uneven_pads_and_what_may_turn(car: sw.Car) -> None:
    pads = {"front_right": 1.5}
    recipe = car.recipe({"cross_weight": "-0.5 %"}, turn=["spring platform"], pads_mm=pads)
    assert list(recipe.turns) == [f"{corner}.spring platform" for corner in car.corners]
    now = ends(car.at_rest(pads_mm=pads).values)
    then = ends(set_on(car, recipe).at_rest(pads_mm=pads).values)
    assert then["cross_weight_percent"] - now["cross_weight_percent"] == pytest.approx(-0.5, abs=1e-9)
    assert then["front_mm"] == pytest.approx(now["front_mm"], abs=1e-9)
    assert "pads front right +1.5 mm" in recipe.text()


def test_toe_is_kept_where_it_is_asked_for(car: sw.Car) -> None:
    recipe = car.recipe({"front_height": 2}, keep=["others", "toe"])
    then = set_on(car, recipe).at_rest().values
    now = car.at_rest().values
    for corner in car.corners:
        assert then[f"{corner}.toe_deg"] == pytest.approx(now[f"{corner}.toe_deg"], abs=1e-9)
    assert any("track rod" in key for key in recipe.turns)
    free = car.recipe({"front_height": 2}, keep=[])
    assert [value.name for value in free.core.values] == ["front_height"]


def test_text_says_what_to_turn_what_moves_and_the_cautions(car: sw.Car) -> None:
    text = repr(car.recipe({"front_height": "+2 mm"}))
    assert max(map(len, text.splitlines())) <= 80
    told = " ".join(text.split())
    for said in ("Wren: front height +2.00 mm; rear height, roll and cross weight stay: 16 minutes", "pads level",
                 "chassis taken as rigid", "0.572 turn longer", "3 1/2 flats longer (0.583 turn)", "leave it",
                 "scale, kg exactly", "toe, deg as set", "common practice, no source", "chocked",
                 "thread engagement"):  # fmt: skip
        assert said in told, said
    assert "pushrod" in car.recipe({"rake": 1.0})._repr_html_()


def test_over_a_limit_it_is_a_rate(car: sw.Car) -> None:
    recipe = car.recipe({"front_height": "+18 mm"}, turn=["pushrod"])
    assert not recipe.inside
    assert not recipe.refusal
    assert 0.9 < recipe.core.reach < 1.0
    told = " ".join(repr(recipe).split())
    assert "OVER A LIMIT, a rate only: front left pushrod" in told
    assert "Inside the limits it goes 9" in told
    assert recipe.changes()["nearest"].isna().all()
    assert not recipe.frame()["inside"].any()
    assert (recipe.frame()["nearest"] == "").all()


def test_a_refusal_gives_its_reason_and_nothing_to_turn(car: sw.Car) -> None:
    recipe = car.recipe({"front_difference": 5.0, "rear_difference": 5.0})
    assert not recipe.inside
    assert recipe.turns == {}
    assert recipe.frame().empty
    assert recipe.changes()["exact"].isna().all()
    told = " ".join(repr(recipe).split())
    assert "None: what may turn cannot do front difference +5 kg and rear difference +5 kg" in told
    assert "one unknown of the weights" in told
    assert "chocked" not in told  # nothing is turned


def test_the_command_line_says_the_same(car: sw.Car, run: Run) -> None:
    words = ["recipes", "wren.toml", "--aim", "front_height=+2 mm", "--keep", "others", "--keep", "toe"]
    content = json.loads(run(*words, "--json").stdout)
    found = car.recipe({"front_height": 2.0}, keep=["others", "toe"])
    for key, value in json.loads(json.dumps(found.as_dict())).items():
        assert content[key] == value, key
    assert (content["hold"], content["frame"], content["chassis_is_rigid"]) == ("rest", "ground", True)
    assert content["cautions"] == _core.cautions()
    assert content["change"]["front_left.toe_deg"] == pytest.approx(0.0, abs=1e-9)
    told = run(*words).stdout
    assert max(map(len, told.splitlines())) <= 80
    assert repr(found).strip() in told
    assert "spring platform" in run("recipes", "wren.toml", "--aim", "rake=1", "--turn", "spring platform").stdout
    assert "None: " in run("recipes", "wren.toml", "--aim", "front_share=0.5 %").stdout


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["--aim", "front_height"], "needs a value and an amount"),
        (["--aim", "front_height=a lot"], "front_height = 'a lot': needs a change, such as +2 mm"),
        (["--aim", "front_height=2 kg"], "front_height = '2 kg': is in mm, not in kg"),
        (["--aim", "cross_weight=2 mm"], "cross_weight = '2 mm': is in %, not in mm"),
        (["--aim", "front_hight=2"], 'front_hight: is no value of this car at rest; did you mean "front_height"?'),
        (["--aim", "rake=0"], "rake: must not be 0"),
        (["--aim", "rake=1", "--aim", "rake=2"], "'rake' is named twice"),
        (["--aim", "rake=1", "--keep", "rake"], "rake: cannot both change and be kept"),
        (["--aim", "rake=1", "--turn", "pushrods"], 'did you mean "pushrod"?'),
        (["--aim", "rake=1", "--corner", "front_left"], "--aim is of the whole car"),
        (["--keep", "rake"], "--keep and --turn need --aim"),
    ],
)
def test_wrong_words_get_one_sentence(run: Run, words: list[str], sentence: str) -> None:
    assert sentence in " ".join(run("recipes", "wren.toml", *words, code=2).stderr.split())


def test_wrong_arguments_get_one_sentence(car: sw.Car) -> None:
    for call, sentence in (
        (lambda: car.recipe("rake"), "needs values and amounts"),  # type: ignore[arg-type]
        (lambda: car.recipe({"rake": None}), "rake = None: needs a change"),  # type: ignore[dict-item]
        (lambda: car.recipe({"rake": float("nan")}), "must be a finite number"),
        (lambda: car.recipe({}), "name nothing"),
        (lambda: car.recipe({"rake": 1.0}, keep="roll"), "needs a list of names"),
        (lambda: car.recipe({"rake": 1.0}, turn=[3]), "needs a list of names"),  # type: ignore[list-item]
        (lambda: car.recipe({"rake": 1.0}, pads_mm={"front": 1.0}), "no such pad"),
    ):
        with pytest.raises(sw.InputError, match=sentence):
            call()
