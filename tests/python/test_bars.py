"""Bars on and off: by call, by option, and what is said of them."""

from __future__ import annotations

import csv
import io
import json
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from rest_comparison import agree

import shimwise as sw
from random_cars import car_text, changed_since, weighed_car
from rest_outputs import outputs_of

Run = Callable[..., subprocess.CompletedProcess[str]]

CAR = str(sw.demo_files().car)
TURNED = {"front_left.pushrod": "+1 turn"}


@pytest.fixture(scope="module")
def one_bar(tmp_path_factory: pytest.TempPathFactory) -> sw.Car:
    """The demo car without its rear bar."""
    head, bar, tail = sw.demo_files().car.read_text(encoding="utf-8").partition("[rear_bar]")
    assert bar
    path = tmp_path_factory.mktemp("one_bar") / "one_bar.toml"
    path.write_text(head + tail[tail.index("\n[") + 1 :], encoding="utf-8")
    return sw.load_car(path)


def test_a_bar_that_is_on_carries(car: sw.Car) -> None:
    assert car.bars == {"front": False, "rear": False}
    on = car.with_bars(front=True)
    assert on.bars == {"front": "medium", "rear": False}
    assert on.with_bars(rear=True).bars == {"front": "medium", "rear": True}
    assert list(on.at_rest(settings=TURNED).bar_torques_Nm) == ["front"]
    assert abs(on.at_rest(settings=TURNED).bar_torques_Nm["front"]) > 1.0
    assert on.with_bars(front=False).at_rest(settings=TURNED).values == car.at_rest(settings=TURNED).values
    assert "front_bar_torque_Nm" in on.effects("rest").columns
    assert "front_bar_torque_Nm" not in car.effects("rest").columns
    assert on.effects("rest").attrs["bars"] == on.bars
    assert on.recipe({"cross_weight": 0.5}).as_dict()["bars"] == on.bars


def test_a_blade_goes_in_by_its_name(car: sw.Car) -> None:
    torques = {}
    for blade in ("soft", "hard"):
        on = car.with_bars(front=blade)
        assert on.bars == {"front": blade, "rear": False}
        torques[blade] = abs(on.at_rest(settings=TURNED).bar_torques_Nm["front"])
    assert torques["hard"] > 1.2 * torques["soft"] > 1.0
    assert car.with_bars(front="hard").with_bars(front=False).with_bars(front=True).bars["front"] == "hard"


def test_bars_of_a_car_that_was_weighed_with_them_as_they_were(size: Callable[[int, int], int], tmp_path: Path) -> None:
    """Against the independent oracle."""
    for number in range(size(3, 50)):
        weighed, other_bars, settings = weighed_car(number)
        path = tmp_path / f"car{number}.toml"
        path.write_text(car_text(weighed))
        car = sw.load_car(path)
        other = car.with_bars(**{axle: not on for axle, on in car.bars.items()})
        assert other.bars.keys() == {axle for axle in ("front", "rear") if f"{axle}_bar" in weighed}
        model, found = changed_since(weighed, other_bars, settings)
        agree(other.at_rest(settings=settings), outputs_of(model, found.state, found.load_N(), found.pull_N))


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"front": "sotf"}, r'front_bar.blade = "sotf": is no blade of this bar; did you mean "soft"\?'),
        ({"rear": True}, "rear_bar: the car has none"),
        ({"rear": False}, "rear_bar: the car has none"),
        ({"front": 1}, "front = 1: needs True, False or the name of a blade"),
        ({"front": ""}, "front = '': needs True, False or the name of a blade"),
    ],
)
def test_a_bar_that_is_not_there_is_named(one_bar: sw.Car, asked: dict[str, Any], sentence: str) -> None:
    with pytest.raises(sw.InputError, match=sentence):
        one_bar.with_bars(**asked)


def test_a_bar_without_blades_has_none_to_name(car: sw.Car) -> None:
    with pytest.raises(sw.InputError, match="this bar has no blades, but one rate"):
        car.with_bars(rear="soft")


@pytest.mark.parametrize(
    ("words", "bars", "said"),
    [
        ([], {"front": False, "rear": False}, "Bars off: front and rear."),
        (["--bars", "front"], {"front": "medium", "rear": False}, "Bars on: front (blade medium); off: rear."),
        (["--bars", "both"], {"front": "medium", "rear": True}, "Bars on: front (blade medium) and rear."),
        (["--bars", "none"], {"front": False, "rear": False}, "Bars off: front and rear."),
        (["--bars", "rear, front=hard"], {"front": "hard", "rear": True}, "Bars on: front (blade hard) and rear."),
    ],
)
@pytest.mark.parametrize(
    "command", [["rest"], ["effects", "--hold", "rest"], ["recipes", "--aim", "cross_weight=0.5"]], ids=lambda c: c[0]
)
def test_bars_by_option(
    shimwise: Run, command: list[str], words: list[str], bars: dict[str, bool | str], said: str
) -> None:
    name, *how = command
    assert said in " ".join(shimwise(name, CAR, *how, *words).stdout.split())
    assert json.loads(shimwise(name, CAR, *how, *words, "--json").stdout)["bars"] == bars


@pytest.mark.parametrize("which", ["front=hard", "front=medium,rear", "none"])
def test_every_row_for_a_spreadsheet_says_the_bars_as_the_option_takes_them(shimwise: Run, which: str) -> None:
    for command in (["rest", CAR], ["effects", CAR, "--hold", "rest"]):
        rows = csv.DictReader(io.StringIO(shimwise(*command, "--bars", which, "--csv").stdout))
        assert {row["bars"] for row in rows} == {which}


def test_of_a_bar_that_the_car_does_not_have_nothing_is_said(shimwise: Run, one_bar: sw.Car) -> None:
    for which, said in (("front", "Bars on: front (blade medium)."), ("none", "Bars off: front.")):
        assert said in " ".join(shimwise("rest", one_bar.file, "--bars", which).stdout.split())
    done = shimwise("rest", one_bar.file, "--bars", "both", code=2)
    assert "rear_bar: the car has none" in done.stderr


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["rest", CAR, "--bars", "frnt"], "needs front, rear, both or none, or blades such as"),
        (["rest", CAR, "--bars", "front,front"], "needs front, rear, both or none, or blades such as"),
        (["rest", CAR, "--bars", "front="], "needs front, rear, both or none, or blades such as"),
        (["rest", CAR, "--bars", ""], "needs front, rear, both or none, or blades such as"),
        (["rest", CAR, "--bars", "rear=soft"], "this bar has no blades, but one rate"),
        (["rest", CAR, "--bars", "front", "--solid"], "--solid goes without --tyres, --ballast and --bars"),
        (["effects", CAR, "--bars", "front"], "--bars needs --hold rest"),
        (["recipes", CAR, "--bars", "front"], "--bars needs --aim"),
    ],
)
def test_bars_that_cannot_be_are_refused(shimwise: Run, words: list[str], sentence: str) -> None:
    done = shimwise(*words, code=2)
    assert sentence in " ".join(done.stderr.split())
    assert done.stdout == ""
