"""What if: from Python and from the command line the same numbers, those of the plan's card."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

import shimwise as sw
from shimwise import _core

Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture(scope="module")
def measured(car: sw.Car) -> sw.Measured:
    return sw.load_readings(sw.demo_files().readings, car).reduce()


def changes_of(plan: sw.Plan, choice: str) -> dict[str, float | list[float]]:
    """What a plan turns, as a change from how the car stands."""
    turned = plan[choice].turned
    return {s.key: list(s.shims.shims_mm) if s.key.endswith("shim") else s.after - s.before for s in turned}


@pytest.mark.parametrize("choice", ["closest", "least_work"])
def test_a_plan_tried_reads_what_the_plan_predicts(
    car: sw.Car, measured: sw.Measured, plan: sw.Plan, choice: str
) -> None:
    expected = car.expect(measured, changes_of(plan, choice))
    frame, values = expected.frame(), plan[choice].values
    read = values.index[values["read"]]
    assert {"front_left.toe", "rear_right.camber", "ride_height.front_left"} <= set(read)
    for key in read:
        assert frame.loc[key, "then"] == pytest.approx(values.loc[key, "then"], abs=1e-9), key
    assert expected.core.minutes == pytest.approx(plan[choice].minutes)


WORDS = ["front_left.track rod=+2 flats", "front_left.camber shim=+0.5 mm", "rear_right.toe link=1/2 flat shorter"]
CHANGE = {"front_left.track rod": 2 / 6, "front_left.camber shim": 0.5, "rear_right.toe link": -1 / 12}


def test_the_command_line_says_the_same_numbers(car: sw.Car, measured: sw.Measured, run: Run) -> None:
    expected = car.expect(measured, CHANGE)
    words = ["try", "wren.toml", "wren_readings.toml", *WORDS]
    content = json.loads(run(*words, "--json").stdout)
    for corner in content["corners"]:
        then = expected[corner["corner"]].then
        assert corner["then"] == {name: getattr(then, name) for name in corner["then"]}
    assert content["corners"][0]["turned"][0]["words"] == "2 flats longer (0.333 turn)"
    assert set(content["inputs"]) == {"wren.toml", "wren_readings.toml"}
    assert content["cautions"] == list(_core.cautions())
    told = run(*words).stdout
    assert max(map(len, told.splitlines())) <= 80
    for said in ("front left track rod: 2 flats longer", "add 0.5 mm: pack 2.0 + 1.0 + 0.5 mm", "1/2 flat shorter",
                 "chocked", "minimum thread engagement", "total toe front", "thrust angle"):  # fmt: skip
        assert said in told, said
    front = expected["front_left"].then
    assert f"{front.toe_deg:.3f}" in told
    assert f"{front.gauge_deg:.2f}" in told
    assert told.startswith("\n") is False
    assert repr(expected).splitlines()[0] == told.splitlines()[0]
    assert "track rod" in expected._repr_html_()


def test_the_frame_has_every_value_with_its_change(car: sw.Car, measured: sw.Measured) -> None:
    expected = car.expect(measured, CHANGE)
    frame = expected.frame()
    assert frame.index.is_unique
    np.testing.assert_array_equal(frame["change"], frame["then"] - frame["now"])
    for key in ("front_left.toe", "rear_right.camber", "total_toe_front", "camber_difference_front"):
        assert frame.loc[key, "now"] == pytest.approx(measured.frame().loc[key, "value"], abs=1e-12)
    front = expected["front_left"]
    caster = _core.column_names().index("caster_deg")
    assert frame.loc["front_left.model.caster", "change"] == front.model_then[caster] - front.model_now[caster]
    assert frame.loc["front_left.toe", "change"] == pytest.approx(
        frame.loc["front_left.model.toe", "change"], abs=1e-12
    )
    assert (
        0.0 < abs(frame.loc["rear_left.gauge", "change"]) < 0.01
    )  # the chassis moves a little, and all wheels with it
    change = frame["change"]
    difference = change["front_left.camber"] - change["front_right.camber"]
    assert change["camber_difference_front"] == pytest.approx(difference, abs=1e-12)
    assert abs(difference) > 0.1
    assert frame.attrs["hold"] == "rest"
    weights = [f"{corner}.weight" for corner in _core.CornerId.__members__]
    assert frame.loc[weights, "change"].sum() == pytest.approx(0.0, abs=1e-9)
    for key in [*weights, "ride_height.front_left", "cross_weight"]:
        assert frame.loc[key, "now"] == pytest.approx(measured.frame().loc[key, "value"], abs=1e-12)
    assert frame.loc["front_left.toe", "uncertainty"] > frame.loc["front_right.toe", "uncertainty"] > 0.0
    read = frame["source"] == "read"
    assert frame["uncertainty"].notna().equals(read)
    assert not frame[["now", "then", "change"]].isna().any().any()


def test_readings_win_over_settings(car: sw.Car, tmp_path: Path) -> None:
    text = sw.demo_files().readings.read_text(encoding="utf-8")
    path = tmp_path / "readings.toml"
    path.write_text(text.replace('"camber shim" = [2.0, 1.0]', '"camber shim" = [2.0]', 1), encoding="utf-8")
    expected = car.expect(sw.load_readings(path, car).reduce(), {"front_left.camber shim": 0.5})
    assert expected["front_left"].turned[0].words == "add 0.5 mm: pack 2.0 + 0.5 mm"


@pytest.mark.parametrize(
    ("key", "words", "turns"),
    [
        ("front_left.track rod", "+2 flats", 1 / 3),
        ("front_left.track rod", "1 1/2 flats longer", 0.25),
        ("front_left.track rod", "-1/4 flat", -1 / 24),
        ("front_left.track rod", "0.5 mm shorter", -0.2),
        ("front_left.track rod", -0.25, -0.25),
        ("front_left.track rod", "+3 quarter flats", 0.125),
        ("front_left.upper front leg", "-1 step", -0.5),
        ("front_left.upper front leg", "1 half turn longer", 0.5),
        ("front_left.spring platform", "3/12 turn toward the spring", 0.25),
        ("front_left.spring platform", "1 turn away from the spring", -1.0),
        ("front_left.camber shim", "+0.5", 0.5),
        ("front_left.camber shim", "-0.5 mm", -0.5),
        ("front_left.camber shim", "0.5 mm thinner", -0.5),
        ("front_left.camber shim", "0.2 mm thicker", 0.2),
        ("front_left.camber shim", "2.0 + 0.5 mm", -0.5),
        ("front_left.camber shim", "2.0 mm + 0.5 mm", -0.5),
        ("front_left.camber shim", [2.0, 0.5], -0.5),
        ("front_left.camber shim", "no shim", -3.0),
        ("front_left.track rod", np.int64(1), 1.0),
        ("front_left.track rod", np.float32(0.25), 0.25),
        ("front_left.camber shim", np.int64(1), 1.0),
        ("front_left.camber shim", [np.int64(2), np.float64(0.5)], -0.5),
    ],
)
def test_words_of_a_change(
    car: sw.Car, measured: sw.Measured, key: str, words: float | str | list[float], turns: float
) -> None:
    (turned,) = car.expect(measured, {key: words})[key.partition(".")[0]].turned
    assert turned.key == key
    assert turned.after - turned.before == pytest.approx(turns, abs=1e-12)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({}, "names no adjuster"),
        ({"front_left.trackrod": "+1 flat"}, r'has no such adjuster; did you mean "front_left.track rod"\?'),
        ({"fl.rod": "+1 flat"}, "has no such adjuster; it has front_left.track rod, "),
        ({"front_left.track rod": "+2 flats longer"}, "needs a number with turns"),
        ({"front_left.spring platform": "1 turn longer"}, r"such as \+2 flats \(toward the spring than it stands\)"),
        ({"front_left.track rod": "1 turn toward the spring"}, "needs a number with turns"),
        ({"front_left.track rod": "+1/0 flat"}, "needs a number with turns"),
        ({"front_left.track rod": "+0,5 mm"}, "has a decimal comma"),
        ({"front_left.track rod": [1.0]}, "needs a number with turns"),
        ({"front_left.camber shim": "thin"}, r"needs a change such as \+0.5 mm"),
        ({"front_left.camber shim": "+1 flat"}, r"needs a change such as \+0.5 mm"),
        (
            {"front_left.track rod": 7.0},
            "^front_left.track rod: its limit excludes the setting of 7 turns: allowed are -6 to 6$",
        ),
        ({"front_left.camber shim": 3.5}, "^front_left.camber shim: its limit excludes the stack of 6.5 mm"),
        ({"front_left.camber shim": "-3.5 mm"}, "^front_left.camber shim: adds up to less than nothing: -0.5 mm$"),
        ({"front_left.track rod": float("nan")}, "^front_left.track rod: must be a finite number$"),
        ({"front_left.camber shim": ["a"]}, r"^front_left.camber shim = \['a'\]: needs a change such as"),
        ({"front_left.camber shim": [[2.0]]}, r"^front_left.camber shim = \[\[2.0\]\]: needs a change such as"),
        ({"front_left.camber shim": None}, "^front_left.camber shim = None: needs a change such as"),
        ({"front_left.track rod": None}, "^front_left.track rod = None: needs a number with turns"),
        ({1: 0.5}, "^1: Wren has no such adjuster"),
        ("front_left.track rod", "^change = 'front_left.track rod': needs adjusters, such as"),
    ],
)
def test_a_wrong_change_gets_one_sentence(
    car: sw.Car, measured: sw.Measured, change: dict[str, float | str], sentence: str
) -> None:
    with pytest.raises(sw.InputError, match=sentence):
        car.expect(measured, change)


def test_what_cannot_be_stacked_or_predicted_is_said(car: sw.Car, measured: sw.Measured) -> None:
    expected = car.expect(measured, {"rear_left.camber shim": "+0.25 mm", "front_right.pushrod": "+1 flat"})
    assert expected["rear_left"].turned[0].words == "0.25 mm thicker (3.25 mm in all)"
    told = " ".join(repr(expected).split())
    assert "no shims at hand make 3.25 mm: 3.2 mm (2.0 + 1.0 + 0.2 mm) or 3.3 mm" in told
    assert "front right weight" in told
    assert "cross weight (FR + RL)" in told
    assert "The whole car, at rest again on its springs." in told
    assert "The chassis is taken as rigid" in told
    with pytest.raises(sw.InputError, match="corner = 'fl': needs one of front_left"):
        expected["fl"]


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["wren.toml", "wren_readings.toml"], "Missing argument"),
        (["wren.toml", "wren_readings.toml", "front_left.track rod"], 'needs "corner.adjuster name=change"'),
        (["wren.toml", "wren_readings.toml", "front_left.track rod="], 'needs "corner.adjuster name=change"'),
        (
            ["wren.toml", "wren_readings.toml", "front_left.pushrod=+1 flat", "front_left.pushrod=-1 flat"],
            "named twice",
        ),
        (["wren.toml", "wren_readings.toml", "front_left.trackrod=+1 flat"], "did you mean"),
        (["wren.toml", "wren_readings.toml", "front_left.track rod=+99 turns"], "allowed are -6 to 6"),
        (["wren.toml", "wren_targets.toml", "front_left.track rod=+1 flat"], "wren_targets.toml:"),
    ],
)
def test_bad_input_gets_one_sentence_and_code_2(run: Run, words: list[str], sentence: str) -> None:
    assert sentence in run("try", *words, code=2).stderr


def test_settings_are_where_a_change_starts(run: Run, tmp_path: Path) -> None:
    (tmp_path / "now.toml").write_text(
        'format = "shimwise-settings/1"\ncar = "Wren"\nturns = { "front_left.track rod" = 5.9 }\n', encoding="utf-8"
    )
    words = ["try", "wren.toml", "wren_readings.toml", "front_left.track rod=+1 flat", "--settings", "now.toml"]
    assert "6.06667 turns: allowed are -6 to 6" in run(*words, code=2).stderr


def test_a_car_that_does_not_stand_is_no_answer(run: Run) -> None:
    """Contacts are held and the note says why; heights and weights are not known, and the command ends with 1."""
    diagonal = {"front_left": (5, 8), "front_right": (-5, -4), "rear_left": (-5, -4), "rear_right": (5, 8)}
    words = [f"{corner}.pushrod={turns:+} turns" for corner, (turns, _) in diagonal.items()]
    words += [f"{corner}.spring platform={turns:+} turns" for corner, (_, turns) in diagonal.items()]
    text = run("try", "wren.toml", "wren_readings.toml", *words, code=1).stdout
    assert "The car does not stand" in text
    assert "off its pad" in " ".join(text.split())
    assert "nothing" not in text.lower()
    assert (
        json.loads(run("try", "wren.toml", "wren_readings.toml", *words, "--json", code=1).stdout)["held"] == "contact"
    )
