"""Cars, readings and targets from a path, a dictionary or a text: the same thing, and the same sentences."""

from __future__ import annotations

import copy
import datetime
import re
import sys
import tomllib
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import tomli_w

import shimwise as sw
from shimwise import _core

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "record"))

from inputs import demo_inputs, random_inputs

Table = dict[str, Any]


def read() -> tuple[str, str, str]:
    return tuple(Path(f"{name}.toml").read_text(encoding="utf-8") for name in ("car", "readings", "targets"))  # type: ignore[return-value]


def numbers_of(car: sw.Car, readings: sw.Readings, targets: sw.Targets) -> list[str]:
    """All that follows from the three, without the names that sentences begin with."""
    plan = sw.plan(car, readings.reduce(), targets)
    told = plan.as_dict()
    told["plan"].pop("refusals")  # of several nearest plans the one that a solver has within two seconds
    content = told | {"rest": car.at_rest().as_dict(), "effects": car.effects("rest").to_dict()}
    curves = car.front_left.curves(travel_mm=np.linspace(-5, 5, 3)).to_dict()
    return [re.sub(r"(dict|text|\w+\.toml): ", "", repr(one)) for one in (content, car.doubts, curves)]


def demand_same_however_given() -> None:
    car_text, readings_text, targets_text = read()
    car = sw.load_car("car.toml")
    wanted = numbers_of(car, sw.load_readings("readings.toml", car), sw.load_targets(Path("targets.toml"), car))
    of_dict = sw.load_car(tomllib.loads(car_text))
    readings = sw.load_readings(tomllib.loads(readings_text), of_dict)
    assert numbers_of(of_dict, readings, sw.load_targets(tomllib.loads(targets_text), of_dict)) == wanted
    of_text = sw.load_car(text=car_text)
    readings = sw.load_readings(car=of_text, text=readings_text)
    assert numbers_of(of_text, readings, sw.load_targets(car=of_text, text=targets_text)) == wanted


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


@pytest.fixture
def wren() -> Table:
    return tomllib.loads(sw.demo_files().car.read_text(encoding="utf-8"))


def sentence_of(given: Any) -> str:
    with pytest.raises(sw.InputError) as raised:
        sw.load_car(given)
    return str(raised.value)


def test_the_demo_car_is_the_same_from_a_file_a_dictionary_and_a_text() -> None:
    demo_inputs(sw.demo_files())
    demand_same_however_given()


def test_random_cars_are_the_same_from_a_file_a_dictionary_and_a_text(size: Callable[[int, int], int]) -> None:
    for number in range(size(1, 20)):
        random_inputs(number)
        demand_same_however_given()


def test_numpys_numbers_arrays_tuples_and_dates_are_taken(wren: Table) -> None:
    car = sw.load_car(wren)
    left = wren["front_left"]
    left["wheel"]["centre"] = np.array(left["wheel"]["centre"])
    left["track_rod"]["inner"] = tuple(np.float64(mm) for mm in left["track_rod"]["inner"])
    left["adjuster"][0]["now_turns"] = np.float32(0.0)
    wren["instruments"]["camber_gauge"]["valid_days"] = np.int64(60)
    wren["instruments"]["camber_gauge"]["checked"] = datetime.date(2026, 4, 20)
    wren["front_bar"]["connected"] = np.False_
    again = sw.load_car(wren)
    assert again.at_rest().values == car.at_rest().values
    assert again.core.instruments.__getstate__() == car.core.instruments.__getstate__()


def test_sentences_about_a_dictionary_name_no_line(wren: Table) -> None:
    wren["front_left"]["track_rod"]["inner"] = [90.0, 232.0]
    wren["front_left"]["spring"]["rate_N_per_mm"] = float("nan")
    wren["rear_left"]["damper"]["longest"] = 1.0
    assert sentence_of(wren).splitlines() == [
        "dict: front_left.track_rod.inner = [ 90.0, 232.0, ]: has 2 numbers, needs 3 (x, y, z)",
        "dict: front_left.spring.rate_N_per_mm = nan: must be a finite number",
        "dict: rear_left.damper.longest = 1.0: is not a key here; known are shortest_mm, longest_mm",
    ]


def test_a_dictionary_of_another_kind_is_refused() -> None:
    assert sentence_of({"name": "Wren"}).startswith("dict: format: is missing: the file needs the line format = ")
    assert sentence_of({"format": "shimwise-targets/1"}).startswith('dict: format = "shimwise-targets/1": this is a')


def test_sentences_about_a_text_name_its_lines(wren: Table) -> None:
    text = tomli_w.dumps(wren)
    broken = text.replace('name = "Wren"', "name = 4")
    line = 1 + broken[: broken.index("name = 4")].count("\n")
    with pytest.raises(sw.InputError) as raised:
        sw.load_car(text=broken)
    assert str(raised.value) == f"text:{line}:8: name = 4: needs a text in quotes"
    with pytest.raises(sw.InputError, match=r"^text:1:\d+: is not valid TOML"):
        sw.load_car(text="format = ")
    with pytest.raises(sw.InputError, match=r"^text:1:9: is not UTF-8 text"):
        sw.load_car(text="name = '\ud800'")


@pytest.mark.parametrize(
    ("value", "sentence"),
    [
        (None, "dict: front_left.wheel.toe_deg: is NoneType: needs what a TOML file can hold"),
        (Decimal("0.1"), "dict: front_left.wheel.toe_deg: is Decimal: needs what a TOML file can hold"),
        ({1: 2}, "dict: front_left.wheel.toe_deg: 1 is no name, a text is needed"),
        (2**70, "dict: front_left.wheel.toe_deg: is a whole number beyond all that is counted: needs what"),
        (1j, "dict: front_left.wheel.toe_deg: is complex: needs what a TOML file can hold"),
        ("\ud800", "dict: is not UTF-8 text"),
    ],
)
def test_what_no_file_can_hold_is_refused(wren: Table, value: Any, sentence: str) -> None:
    wren["front_left"]["wheel"]["toe_deg"] = value
    assert sentence_of(wren).startswith(sentence)


def test_a_dictionary_in_itself_is_refused(wren: Table) -> None:
    wren["mass"]["self"] = wren
    assert "holds tables and lists in each other deeper than any file of ours" in sentence_of(wren)


def test_a_path_and_a_text_are_not_guessed_at() -> None:
    text = sw.demo_files().car.read_text(encoding="utf-8")
    for call in (sw.load_car, lambda **two: sw.load_car(sw.demo_files().car, text=text, **two)):
        with pytest.raises(sw.InputError, match=r"^needs a path or a dictionary, or text=, the contents of a file$"):
            call()
    with pytest.raises(sw.InputError):  # a text is no path
        sw.load_car(text)
    with pytest.raises(sw.InputError, match="there is no such file"):
        sw.load_car("format")
    with pytest.raises(sw.InputError, match=r"^path = 3: needs the path of a file, or what it holds as a dictionary"):
        sw.load_car(3)  # type: ignore[call-overload]
    with pytest.raises(sw.InputError, match=r"^car = None: needs a CarAsSet"):
        sw.load_targets(text=text)  # type: ignore[call-overload]


def test_what_is_read_is_known_by_its_bytes(wren: Table) -> None:
    """A dictionary by the text that tomli_w writes of it: a file written so has the same digest."""
    written = tomli_w.dumps(wren)
    Path("wren.toml").write_text(written, encoding="utf-8")
    of_file, of_dict, of_text = sw.load_car("wren.toml"), sw.load_car(wren), sw.load_car(text=written)
    inputs = [_core.input_of(car.core) for car in (of_file, of_dict, of_text, copy.copy(of_dict))]
    assert len({read.digest for read in inputs}) == 1
    assert [(read.role, Path(read.file).name) for read in inputs[:3]] == [
        ("car", "wren.toml"),
        ("car", "dict"),
        ("car", "text"),
    ]
    assert repr(of_dict) == "<Car Wren from dict>"
    wren["name"] = "Lark"
    assert _core.input_of(sw.load_car(wren).core).digest != inputs[0].digest


def test_a_car_from_a_dictionary_is_planned_and_its_card_is_done() -> None:
    demo_inputs(sw.demo_files())
    tables = [tomllib.loads(text) for text in read()]
    car = sw.load_car(tables[0])
    readings, targets = sw.load_readings(tables[1], car), sw.load_targets(tables[2], car)
    plan = sw.plan(car, readings.reduce(), targets)
    inputs = [_core.input_of(one) for one in (car.core, readings.core, targets)]
    _core.save_card("card.json", plan.core, car.core, _core.Which.closest, inputs)
    left = _core.settings_of_card("card.json", car.core, [_core.input_of(car.core)])
    assert left.turns == plan.settings_after("closest").turns
    Path("saved.toml").write_text(tomli_w.dumps(tables[0]), encoding="utf-8")
    saved = sw.load_car("saved.toml")
    assert _core.settings_of_card("card.json", saved.core, [_core.input_of(saved.core)]).turns == left.turns
    other = sw.load_car(tables[0] | {"chassis_twist_Nm_per_deg": 9000.0})
    with pytest.raises(sw.InputError, match="dict: is not what the card was made from, or has changed since: card"):
        _core.settings_of_card("card.json", other.core, [_core.input_of(other.core)])
