"""`shimwise rest` and `shimwise effects --hold rest`."""

from __future__ import annotations

import csv
import io
import json
import re
import subprocess
from collections.abc import Callable

import pandas as pd
import pytest

import shimwise as sw

Run = Callable[..., subprocess.CompletedProcess[str]]

CAR = str(sw.demo_files().car)
CORNERS = ["front_left", "front_right", "rear_left", "rear_right"]


def cells(text: str) -> list[list[str]]:
    """Lines cut where at least two spaces stand."""
    return [re.split(r"\s{2,}", line.strip()) for line in text.splitlines()]


def numbers(line: list[str]) -> list[float]:
    return [float(cell) for cell in line]


@pytest.mark.parametrize(
    "words",
    [
        ["rest", CAR],
        ["rest", CAR, "--tyres", "--pads", "1.25,-2.5,3.75,-1.25"],
        ["effects", CAR, "--hold", "rest"],
        ["effects", CAR, "--hold", "rest", "--per", "turn"],
        ["effects", CAR, "--hold", "rest", "--per", "mm", "--corner", "rear_right"],
    ],
)
def test_the_tables_fit_80_columns(shimwise: Run, words: list[str]) -> None:
    told = shimwise(*words).stdout
    assert max(len(line) for line in told.splitlines()) <= 80
    assert "…" not in told
    assert "ground frame, chassis taken as rigid" in told
    assert "FR + RL" in told
    assert "gives no chassis_twist_Nm_per_deg" in " ".join(told.split())
    assert told.splitlines()[-1].startswith(f"shimwise {sw.__version__}; wren.toml ")


def test_rest_prints_the_numbers_of_json(shimwise: Run, car: sw.Car) -> None:
    state = ["--pads", "front_left=3", "--pads", "rear_left=-2", "--ballast", "fuel=30"]
    content = json.loads(shimwise("rest", CAR, *state, "--json").stdout)
    rest = car.at_rest(pads_mm={"front_left": 3.0, "rear_left": -2.0}, ballast_kg={"fuel": 30.0})
    assert content["values"] == rest.values
    assert content["about_chassis"] == rest.about_chassis.to_dict("index")
    assert content["frame"] == "ground"
    assert content["chassis_is_rigid"] is True
    assert content["pads_mm"] == {"front_left": 3.0, "front_right": 0.0, "rear_left": -2.0, "rear_right": 0.0}
    assert content["ballast_kg"] == {"driver": 75.0, "fuel": 30.0}
    assert content["shimwise"] == sw.__version__
    assert set(content["inputs"]) == {"wren.toml"}
    told = shimwise("rest", CAR, *state).stdout
    stands = "pads front left +3, rear left -2 mm (+ = higher), rack at centre, driver 75 kg, fuel 30 kg."
    assert stands in " ".join(told.split())
    rows = {line[0]: line[1:] for line in cells(told)}
    for label, what, digits in [
        ("scale, kg", "weight_kg", 1),
        ("toe, deg", "toe_deg", 3),
        ("camber, deg", "camber_deg", 3),
        ("camber gauge, deg", "inclination_to_plumb_deg", 3),
        ("spring, eye to eye, mm", "spring_length_mm", 2),
        ("spring load, N", "spring_load_N", 0),
    ]:
        assert numbers(rows[label]) == [round(rest.values[f"{corner}.{what}"], digits) for corner in CORNERS], label
    assert numbers(rows["ride height, mm"]) == [round(mm, 2) for mm in rest.ride_heights_mm.values()]
    assert rows["cross weight"] == [f"{rest.cross_weight_percent:.2f} %", "FR + RL"]
    assert rows["total"] == ["516.0 kg"]
    side = "left" if rest.front_difference_kg > 0.0 else "right"
    assert rows["front difference"] == [f"{abs(rest.front_difference_kg):.1f} kg", f"more at the {side}"]
    assert rows["rake"] == [f"{rest.rake_mm:.2f} mm", f"higher at the rear, {rest.rake_deg:.3f} deg"]


def test_no_label_is_broken(shimwise: Run) -> None:
    told = shimwise("effects", CAR, "--hold", "rest").stdout
    starts = [line.split("  ")[0].strip() for line in told.splitlines()]
    for label in ("spring platform", "upper front leg", "pad 1 mm higher", "1 kg of ballast"):
        assert label in starts
    assert " away from spring +" in told
    assert " 0.1 mm thicker " in told


def test_four_pads_may_be_given_at_once(shimwise: Run) -> None:
    one = shimwise("rest", CAR, "--pads", "-1,2,0,0.5", "--json").stdout
    other = ["--pads", "front_left=-1", "--pads", "front_right=2", "--pads", "rear_right=0.5"]
    assert one == shimwise("rest", CAR, *other, "--json").stdout


def test_csv_has_one_row_per_value(shimwise: Run, car: sw.Car) -> None:
    rows = list(csv.DictReader(io.StringIO(shimwise("rest", CAR, "--csv").stdout)))
    values = car.at_rest().values
    assert {row["name"]: float(row["value"]) for row in rows} == values
    assert len(rows) == len(values)
    assert all(row["name"].endswith(row["unit"].replace("/", "_per_")) for row in rows)
    assert all(row["frame"] == "ground" and row["chassis"] == "chassis taken as rigid" for row in rows)
    assert all(re.fullmatch(rf"shimwise {sw.__version__}; wren\.toml [0-9a-f]{{8}}", row["origin"]) for row in rows)


def _table(car: sw.Car, hold: str) -> pd.DataFrame:
    """Of one hold; with the springs held the command has the corners under each other, and not the whole car."""
    if hold != "spring":
        return car.effects(hold)
    return pd.concat(
        {
            (f"{name}.{adjuster}", per): row
            for name, corner in car.corners.items()
            for (adjuster, per), row in corner.effects(hold).iterrows()  # type: ignore[misc]
        },
        axis=1,
        names=["adjuster", "per"],
    ).T


@pytest.mark.parametrize("hold", ["contact", "wheel", "spring", "rest"])
@pytest.mark.parametrize("corner", [None, "rear_left"])
def test_csv_of_effects_is_the_frame(shimwise: Run, car: sw.Car, hold: str, corner: str | None) -> None:
    words = [] if corner is None else ["--corner", corner]
    rows = list(csv.DictReader(io.StringIO(shimwise("effects", CAR, "--hold", hold, "--csv", *words).stdout)))
    table = _table(car, hold)
    keys = table.index.get_level_values("adjuster")
    if corner:
        table = table[keys.str.startswith(f"{corner}.") | (keys == f"pad.{corner}")]
    assert [(row["adjuster"], row["per"]) for row in rows] == list(table.index)
    for row, (_, expected) in zip(rows, table.iterrows(), strict=True):
        assert {name: float(row[name]) for name in table.columns} == expected.to_dict()
        assert row["hold"] == hold
        assert row["frame"] == ("ground" if hold == "rest" else "chassis")
        assert row["origin"].startswith("shimwise ")


def test_json_of_effects_is_the_frame(shimwise: Run, car: sw.Car) -> None:
    content = json.loads(shimwise("effects", CAR, "--hold", "rest", "--json").stdout)
    table = car.effects("rest")
    assert content["hold"] == "rest"
    assert content["frame"] == "ground"
    assert content["now"] == table.attrs["at"]
    assert content["left_out"] == []
    assert set(content["inputs"]) == {"wren.toml"}
    for row, (key, expected) in zip(content["rows"], table.iterrows(), strict=True):
        assert (row["adjuster"], row["per"]) == key
        assert {name: row[name] for name in table.columns} == expected.to_dict()
    amounts = {(row["adjuster"], row["per"]): row for row in content["rows"]}
    assert amounts["front_left.pushrod", "turn"]["amount_mm"] == pytest.approx(2.5)
    assert amounts["ballast.fuel", "kg"]["amount_kg"] == 1.0


def test_the_effects_shown_are_those_of_the_table(shimwise: Run, car: sw.Car) -> None:
    told = shimwise("effects", CAR, "--hold", "rest", "--per", "turn", "--corner", "front_left").stdout
    lines = [line.split() for line in told.splitlines()]
    row = car.effects("rest").loc[("front_left.pushrod", "turn")]
    heights = [f"ride_height.{corner}_mm" for corner in CORNERS]
    names = ["cross_weight_percent", "front_difference_kg", "rear_difference_kg", *heights, "rake_mm"]
    shown = lines[next(i for i, line in enumerate(lines) if line == ["pushrod"]) + 1]
    assert shown[0] == "longer"
    assert numbers(shown[1:9]) == [round(row[name], 2) for name in names]
    assert numbers(shown[9:]) == [round(row[f"front_left.{name}_deg"], 3) for name in ("toe", "camber")]
    assert "Nothing here moves with: drop link." in told
    assert "Bars off: front and rear." in " ".join(told.split())
    # of pads and ballast one corner has its own pad
    assert "pad 1 mm higher" in told
    assert "rear right" not in told
    assert "1 kg of ballast" not in told
    assert "rack to the left" not in told


def test_pads_and_ballast_stand_under_the_corners(shimwise: Run, car: sw.Car) -> None:
    told = shimwise("effects", CAR, "--hold", "rest").stdout
    lines = [line.split() for line in told.splitlines()]
    table = car.effects("rest")
    pads = lines.index(["pad", "1", "mm", "higher"])
    ballast = lines.index(["1", "kg", "of", "ballast"])
    weights = [f"{corner}.weight_kg" for corner in CORNERS]
    for number, corner in enumerate(CORNERS):
        row = table.loc[(f"pad.{corner}", "mm")]
        assert lines[pads + 1 + number][:2] == corner.split("_")
        assert numbers(lines[pads + 1 + number][2:6]) == [round(row[name], 2) for name in weights]
    for number, name in enumerate(["driver", "fuel"]):
        row = table.loc[(f"ballast.{name}", "kg")]
        assert numbers(lines[ballast + 1 + number][1:5]) == [round(row[weight], 2) for weight in weights]


def test_what_is_invented_is_said(shimwise: Run) -> None:
    shimwise("new", "mine")
    told = shimwise("rest", "mine/car.toml").stdout
    assert "still say INVENTED" in " ".join(told.split())
    assert "still say INVENTED" in json.loads(shimwise("rest", "mine/car.toml", "--json").stdout)["notes"][0]


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["--pads", "1,2,3"], "needs four numbers in mm with commas"),
        (["--pads", "1,2,3,x"], "needs four numbers in mm with commas"),
        (["--pads", "front_lft=2"], 'no such pad; did you mean "front_left"?'),
        (["--pads", "front_left=a", "--pads", "rear_left=1"], "needs a name and a number"),
        (["--pads", "nan,0,0,0"], "front_left = nan: needs a finite number"),
        (["--ballast", "fule=2"], 'no such ballast; did you mean "fuel"?'),
        (["--ballast", "fuel=2", "--ballast", "fuel=3"], "'fuel' is named twice"),
        (["--ballast", "fuel=-2"], "fuel: is a ballast of 0 kg or more"),
        (["--json", "--csv"], "--json and --csv: one of them"),
        (["--csv", "--json"], "--json and --csv: one of them"),
    ],
)
def test_bad_words_get_one_sentence_and_code_2(shimwise: Run, words: list[str], sentence: str) -> None:
    done = shimwise("rest", CAR, *words, code=2)
    assert sentence in " ".join(done.stderr.split())
    assert done.stdout == ""


def test_a_pad_too_high_is_out_of_reach(shimwise: Run) -> None:
    done = shimwise("rest", CAR, "--pads", "front_left=90", code=1)
    assert re.fullmatch(
        r"cannot be reached: front_right: the wheel is off its pad: .* \d+\.\d N \(\d+\.\d\d kg\)\n", done.stderr
    )
    assert done.stdout == ""


def test_solid_struts_are_printed_with_what_rocks(shimwise: Run, car: sw.Car) -> None:
    told = shimwise("rest", CAR, "--solid", "--pads", "front_left=2").stdout
    solid = car.on_solid_struts(pads_mm={"front_left": 2.0})
    assert "Wren on solid struts, ground frame" in told
    assert f"left to rock: {abs(solid.rocking_mm):.2f} mm, front right and rear left high" in told
    assert "there are no weights" in " ".join(told.split())
    content = json.loads(shimwise("rest", CAR, "--solid", "--pads", "front_left=2", "--json").stdout)
    assert content["rocking_mm"] == solid.rocking_mm
    assert content["hold"] == "spring"
    assert "--solid goes without" in shimwise("rest", CAR, "--solid", "--tyres", code=2).stderr
