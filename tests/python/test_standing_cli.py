"""--pads, --ballast and --rack of `rest`, `effects --hold rest` and `recipes --aim`: the arguments of the calls."""

from __future__ import annotations

import csv
import io
import json
import subprocess
from collections.abc import Callable

import pytest

import shimwise as sw

Run = Callable[..., subprocess.CompletedProcess[str]]

CAR = str(sw.demo_files().car)
GIVEN = ["--pads", "1.5,0,0,-1", "--ballast", "fuel=30", "--rack", "-11"]
PADS_MM = {"front_left": 1.5, "front_right": 0.0, "rear_left": 0.0, "rear_right": -1.0}
STATE = {"pads_mm": PADS_MM, "ballast_kg": {"fuel": 30.0}, "rack_mm": -11.0}
TOLD = {"pads_mm": PADS_MM, "ballast_kg": {"driver": 75.0, "fuel": 30.0}, "rack_mm": -11.0}
WORDS = "pads front left +1.5, rear right -1 mm (+ = higher), rack 11 mm to the right, driver 75 kg, fuel 30 kg"
AIM = ["--aim", "front_height=+2"]


def one_line(told: str) -> str:
    return " ".join(told.split())


def test_rest_is_that_of_the_call(shimwise: Run, car: sw.Car) -> None:
    content = json.loads(shimwise("rest", CAR, *GIVEN, "--json").stdout)
    assert content["values"] == car.at_rest(**STATE).values  # type: ignore[arg-type]
    assert content.items() >= TOLD.items()
    assert f"On setup wheels, {WORDS}." in one_line(shimwise("rest", CAR, *GIVEN).stdout)


def test_effects_are_those_of_the_call(shimwise: Run, car: sw.Car) -> None:
    content = json.loads(shimwise("effects", CAR, "--hold", "rest", *GIVEN, "--json").stdout)
    table = car.effects("rest", **STATE)  # type: ignore[arg-type]
    assert content.items() >= TOLD.items()
    assert content["now"] == table.attrs["at"] == car.at_rest(**STATE).values  # type: ignore[arg-type]
    assert len(content["rows"]) == len(table)
    for row, (key, expected) in zip(content["rows"], table.iterrows(), strict=True):
        assert (row["adjuster"], row["per"]) == key
        assert {name: row[name] for name in table.columns} == expected.to_dict()
    amounts = {(row["adjuster"], row["per"]): row["amount_mm"] for row in content["rows"] if row["adjuster"] == "rack"}
    assert amounts == {("rack", "turn"): 38.0, ("rack", "mm"): 1.0}
    assert f"On setup wheels, {WORDS}." in one_line(shimwise("effects", CAR, "--hold", "rest", *GIVEN).stdout)


def test_recipes_are_those_of_the_call(shimwise: Run, car: sw.Car) -> None:
    content = json.loads(shimwise("recipes", CAR, *AIM, *GIVEN, "--json").stdout)
    recipe = car.recipe({"front_height": 2.0}, **STATE)  # type: ignore[arg-type]
    assert content.items() >= TOLD.items()
    assert {part["key"]: part["turns"] for part in content["parts"]} == recipe.turns
    assert content["now"] == car.at_rest(**STATE).values  # type: ignore[arg-type]
    assert f"on setup wheels, {WORDS}; chassis" in one_line(shimwise("recipes", CAR, *AIM, *GIVEN).stdout)


@pytest.mark.parametrize("command", [["rest"], ["rest", "--solid"], ["effects", "--hold", "rest"]])
def test_every_row_of_a_spreadsheet_says_what_it_holds_for(shimwise: Run, command: list[str]) -> None:
    given = [*GIVEN[:2], *GIVEN[4:]] if "--solid" in command else GIVEN
    rows = list(csv.DictReader(io.StringIO(shimwise(*command, CAR, *given, "--csv").stdout)))
    assert rows
    fuel = 12.0 if "--solid" in command else 30.0
    for row in rows:
        assert row["pads_mm"] == "1.5,0.0,0.0,-1.0"
        assert row["ballast_kg"] == f"driver=75.0, fuel={fuel}"
        assert row["rack_mm"] == "-11.0"


def test_the_racks_rows_stand_under_the_pads(shimwise: Run, car: sw.Car) -> None:
    told = shimwise("effects", CAR, "--hold", "rest").stdout
    assert max(map(len, told.splitlines())) <= 80
    lines = [line.split() for line in told[told.index("rack to the left") :].splitlines()]
    table = car.effects("rest")
    for label, per in ((["1", "mm"], "mm"), (["1", "turn,", "38", "mm"], "turn")):
        (cells,) = [line[len(label) :] for line in lines if line[: len(label)] == label]
        row = table.loc[("rack", per)]
        assert float(cells[0]) == round(row["cross_weight_percent"], 2)
        assert float(cells[-1]) == pytest.approx(row["front_right.toe_deg"], abs=0.005)
        assert float(cells[-2]) == pytest.approx(row["front_left.toe_deg"], abs=0.005)
    assert ["A", "turn", "is", "one", "of", "the", "steering", "wheel."] in lines


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["rest", CAR, "--rack", "32.5"], "rack_mm = 32.5: goes beyond rack.travel_mm = [-32, 32]"),
        (["rest", CAR, "--rack", "x"], "'--rack': 'x' is not a valid float."),
        (["rest", CAR, "--rack", "nan"], "rack_mm = nan: needs a finite number"),
        (["effects", CAR, "--hold", "rest", "--rack", "33"], "rack_mm = 33: goes beyond"),
        (["effects", CAR, "--hold", "rest", "--pads", "1,2"], "needs four numbers in mm with commas"),
        (["recipes", CAR, *AIM, "--ballast", "fule=3"], 'no such ballast; did you mean "fuel"?'),
        (["effects", CAR, "--pads", "1,2,3,4"], "--pads: only with --hold rest: with --hold contact each corner"),
        (["effects", CAR, "--hold", "spring", "--rack", "0"], "--rack: only with --hold rest: with --hold spring"),
        (["effects", CAR, "--hold", "wheel", *GIVEN], "--pads, --ballast, --rack: only with --hold rest"),
        (["recipes", CAR, *GIVEN], "--pads, --ballast, --rack: only with --aim: without it each corner"),
    ],
)
def test_what_makes_no_sense_gets_one_sentence_and_code_2(shimwise: Run, words: list[str], sentence: str) -> None:
    done = shimwise(*words, code=2)
    assert sentence in one_line(done.stderr)
    assert done.stdout == ""
