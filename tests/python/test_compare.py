"""`shimwise compare` and `sw.compare`: two sheets side by side. Its numbers are simulated in tests/oracle."""

from __future__ import annotations

import json
import shutil
import subprocess
import tomllib
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

import shimwise as sw
from shimwise.data_of import data_of

Run = Callable[..., subprocess.CompletedProcess[str]]
PADDOCK = sw.demo_files().car.parent / "wren_paddock.toml"
FILES = ("wren.toml", "wren_readings.toml", "wren_paddock.toml")


@pytest.fixture
def beside(run: Run, tmp_path: Path) -> Run:
    shutil.copy(PADDOCK, tmp_path)
    return run


def test_the_table_fits_80_columns_and_says_what_is_left(beside: Run) -> None:
    said = beside("compare", *FILES).stdout
    assert max(map(len, said.splitlines())) <= 80
    assert "fuel 12.0 -> 20.0 kg" in said
    assert '(not named, then "paddock set")' in " ".join(said.split())
    assert "More is left than noise" in said
    assert "rear right toe" in " ".join(said.split()).rpartition("More is left")[2]


def test_a_sheet_beside_itself_is_noise_and_ends_with_0(beside: Run) -> None:
    said = beside("compare", FILES[0], FILES[1], FILES[1]).stdout
    assert "0 of 29 values changed" in said
    assert "every difference is inside its common tolerance" in " ".join(said.split())
    assert "Between them" not in said
    assert "Taken together, what is left is no more than noise" in " ".join(said.split())


def test_json_has_the_differences_the_causes_and_what_is_left(beside: Run, car: sw.Car) -> None:
    told = json.loads(beside("compare", *FILES, "--json").stdout)
    found = sw.compare(car, sw.load_readings(sw.demo_files().readings, car), sw.load_readings(PADDOCK, car))
    assert told["roles"] == {"car": "wren.toml", "old": "wren_readings.toml", "new": "wren_paddock.toml"}
    assert told["differences"] == json.loads(json.dumps(data_of(found.core.differences)))
    assert [cause["name"] for cause in told["causes"]] == ["fuel", "pads"]
    assert told["unexplained"] == found.unexplained == ["rear_right.toe", "total_toe_rear", "thrust_angle"]
    frame = found.frame()
    assert np.allclose(frame.change - frame.fuel - frame.pads, frame.left, atol=1e-12)
    assert (frame.changed == frame.index.isin(told["changed"])).all()


def test_settings_of_either_sheet_are_what_was_turned_between_them(beside: Run, tmp_path: Path) -> None:
    text = 'format = "shimwise-settings/1"\ncar = "Wren"\n[turns]\n"rear_right.toe link" = {}\n'
    now = sw.demo_car().adjuster("rear_right.toe link").setting.now_turns
    for name, turns in (("old", now - 1 / 6), ("new", now)):
        (tmp_path / f"{name}.toml").write_text(text.format(turns), encoding="utf-8")
    both = ["--settings-old", "old.toml", "--settings-new", "new.toml"]
    said = " ".join(beside("compare", *FILES, *both).stdout.split())
    assert "rear right toe link: 1 flat longer" in said
    assert "change fuel pads turns left u" in said
    back = json.loads(beside("compare", *FILES, "--settings-old", "new.toml", "--json").stdout)
    assert back["turned"] == []
    assert back["roles"]["old settings"] == "new.toml"


def test_a_sheet_that_lacks_a_value_is_compared_in_the_rest(car: sw.Car) -> None:
    table = tomllib.loads(PADDOCK.read_text(encoding="utf-8"))
    del table["front_left"]["camber_deg"]
    old = sw.load_readings(sw.demo_files().readings, car)
    found = sw.compare(car, old, sw.load_readings(table, car))
    assert "Read in the old sheet alone, and not compared: front_left.camber, camber_difference_front." in found.notes
    assert "front_left.camber" not in found.frame().index
    empty = sw.compare(car, old, sw.load_readings({"format": "shimwise-readings/1"}, car))
    assert "No value stands in both sheets." in empty.text()
    assert empty.frame().empty


def test_what_cannot_be_compared_is_refused(car: sw.Car, edited: Callable[..., sw.Car]) -> None:
    readings = sw.load_readings(sw.demo_files().readings, car)
    other = edited(("total_kg = 498.0", "total_kg = 499.0"))
    with pytest.raises(sw.InputError, match=r"new: was loaded for .*edited.toml, not for .*wren.toml"):
        sw.compare(car, readings, sw.load_readings(sw.demo_files().readings, other))
    with pytest.raises(sw.InputError, match=r"old = .*: needs a Readings"):
        sw.compare(car, sw.demo_files().readings, readings)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ({"scale": ""}, "instruments.scale = .*: is empty: a name is needed, or no such line"),
        ({"scale": 3}, "instruments.scale"),
        ({"scales": "A"}, "instruments.scales.*scale"),
    ],
)
def test_a_broken_name_of_an_instrument_is_said(car: sw.Car, value: dict[str, object], said: str) -> None:
    table = tomllib.loads(PADDOCK.read_text(encoding="utf-8")) | {"instruments": value}
    with pytest.raises(sw.InputError, match=said):
        sw.load_readings(table, car)
