"""One grammar of amounts wherever they are written, and what they were taken for."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

import shimwise as sw

Run = Callable[..., subprocess.CompletedProcess[str]]
ROD, LEG, PLATFORM, SHIM = (f"front_left.{name}" for name in ("track rod", "upper front leg", "spring platform",
                                                              "camber shim"))  # fmt: skip
SET = {ROD: 0.125, LEG: 0.5, PLATFORM: -0.25, SHIM: [2.0, 0.5]}  # how the car stands


@pytest.fixture(scope="module")
def stands(car: sw.Car) -> sw.Car:
    return car.with_settings(SET)


@pytest.fixture(scope="module")
def measured(stands: sw.Car, tmp_path_factory: pytest.TempPathFactory) -> sw.Measured:
    text = sw.demo_files().readings.read_text(encoding="utf-8").replace("[2.0, 1.0]", "[2.0, 0.5]", 1)
    path = tmp_path_factory.mktemp("read") / "readings.toml"
    path.write_text(text, encoding="utf-8")
    return sw.load_readings(path, stands).reduce()


def one_line(told: str) -> str:
    return " ".join(told.split())


# Words, and the setting that they lead to from SET.
SAID = [
    (ROD, "+2 flats", 0.125 + 1 / 3),
    (ROD, "2 flats longer", 0.125 + 1 / 3),
    (ROD, "+1/4 flat", 0.125 + 1 / 24),
    (ROD, "half a turn shorter", -0.375),
    (ROD, "-0.5 mm", 0.125 - 0.2),
    (ROD, "=2 flats", 1 / 3),
    (ROD, "= -2 flats", -1 / 3),
    (ROD, "=2 flats shorter", -1 / 3),
    (ROD, "=1 mm", 0.4),
    (ROD, "2 flats", 1 / 3),
    (LEG, "-1 step", 0.0),
    (LEG, "=1 half turn", 0.5),
    (PLATFORM, "1/4 turn toward the spring", 0.0),
    (PLATFORM, "=a quarter turn", 0.25),
    (SHIM, "+0.5 mm", 3.0),
    (SHIM, "0.5 mm thinner", 2.0),
    (SHIM, "-1/2", 2.0),
    (SHIM, "=2 mm", 2.0),
    (SHIM, "2 mm", 2.0),
    (SHIM, "2.0 + 0.2 mm", 2.2),
    (SHIM, "no shim", 0.0),
    (SHIM, [2.0, 0.1], 2.1),
]


@pytest.mark.parametrize(("key", "words", "setting"), SAID)
def test_words_say_the_same_in_a_change_and_in_settings(
    stands: sw.Car, measured: sw.Measured, key: str, words: str, setting: float
) -> None:
    settings = stands.with_settings({key: words}).settings
    found = sum(settings.shims_mm[key]) if key == SHIM else settings.turns[key]
    assert found == pytest.approx(setting, abs=1e-12)
    turned = stands.expect(measured, {key: words})["front_left"].turned
    now = sum(SET[SHIM]) if key == SHIM else SET[key]  # type: ignore[arg-type]
    assert [one.after for one in turned] == pytest.approx([setting] if setting != now else [], abs=1e-12)


def test_words_say_the_same_of_what_was_done_instead(run: Run, tmp_path: Path) -> None:
    (tmp_path / "now.toml").write_text(
        'format = "shimwise-settings/1"\ncar = "Wren"\n[turns]\n'
        + "".join(f'"{name}" = {turns}\n' for name, turns in SET.items() if name != SHIM)
        + f'[shims_mm]\n"{SHIM}" = {SET[SHIM]}\n',
        encoding="utf-8",
    )
    readings = tmp_path / "wren_readings.toml"
    readings.write_text(readings.read_text(encoding="utf-8").replace("[2.0, 1.0]", "[2.0, 0.5]", 1), encoding="utf-8")
    given = ["--settings", "now.toml"]
    run("plan", "wren.toml", "wren_readings.toml", "wren_targets.toml", "--save", "card.json", *given)
    left = [row for row in SAID if isinstance(row[1], str) and row[1] != "2 flats"]
    while left:
        together = {key: (words, setting) for key, words, setting in reversed(left)}  # the first of each adjuster
        left = [row for row in left if row[1] != together[row[0]][0]]
        but = [word for key, (words, _) in together.items() for word in ("--but", f"{key}={words}")]
        done = run("done", "wren.toml", "card.json", "--out", f"{len(left)}.toml", "--json", *given, *but)
        content = json.loads(done.stdout)
        assert set(content["taken"]) == set(together)
        for key, (words, setting) in together.items():
            found = sum(content["shims_mm"][key]) if key == SHIM else content["turns"][key]
            assert found == pytest.approx(setting, abs=1e-12), (key, words)


def test_try_says_what_it_took_the_words_for(run: Run) -> None:
    ask = ["try", "wren.toml", "wren_readings.toml"]
    told = run(*ask, f"{ROD}=2 mm").stdout
    assert max(map(len, told.splitlines())) <= 80
    assert one_line(told).startswith(
        "Wren, if this is turned (4 minutes) - front left track rod: 0.8 turn longer = front left track rod: taken as "
        "the setting itself, 2.0 mm longer than drawn, which is 0.8 turn (M8x1.25, left- and right-hand ends: 2.5 mm a "
        "turn); the nearest a hand counts is 4 3/4 flats: 0.8 turn longer than it stands; a change from how it stands "
        "is written +2 mm or -2 mm"
    )
    assert "taken as 2.0 mm longer than it stands, which is 0.8 turn" in one_line(run(*ask, f"{ROD}=+2 mm").stdout)
    assert "taken as the pack itself, 2.0 mm in all: 1.0 mm thinner than it is; a change" in one_line(
        run(*ask, f"{SHIM}=2 mm").stdout
    )
    content = json.loads(run(*ask, f"{SHIM}=+0.5 mm", f"{ROD}=+2 flats", "--json").stdout)
    assert content["taken"] == {
        SHIM: "0.5 mm thicker than it is, 3.5 mm in all",
        ROD: "2 flats longer (0.333 turn) than it stands",
    }
    assert ": taken as" not in run(*ask, f"{SHIM}=+0.5 mm", f"{ROD}=+2 flats").stdout  # the words said it themselves


def test_what_cannot_be_set_stands_before_the_readings(run: Run) -> None:
    words = [f"{LEG}=+1 flat", f"{SHIM}=+0.35 mm"]
    told = one_line(run("try", "wren.toml", "wren_readings.toml", *words).stdout)
    top = told[: told.index("The readings to expect")]
    assert "cannot be locked; the nearest: as it stands and 1 half turn longer (0.5 turn)." in top
    assert "no shims at hand make 3.35 mm: 3.3 mm (2.0 + 1.0 + 0.2 + 0.1 mm) or 3.4 mm" in top
    assert told.count("cannot be locked") == 1


def test_done_writes_down_a_pack_that_no_shims_make_and_says_so(run: Run, tmp_path: Path) -> None:
    run("plan", "wren.toml", "wren_readings.toml", "wren_targets.toml", "--save", "card.json")
    done = ["done", "wren.toml", "card.json", "--out"]
    told = run(*done, "a.toml", "--but", f"{SHIM}=2.0 + 0.7 mm", "--but", f"{ROD}=+2 mm").stdout
    assert max(map(len, told.splitlines())) <= 80
    assert "= front_left.track rod: taken as 2.0 mm longer than it stands" in one_line(told)
    assert "! front_left.camber shim: not all of 2.0 + 0.7 mm is in its box. It is written down as fitted" in one_line(
        told
    )
    assert sw.demo_car().with_settings(tmp_path / "a.toml").settings.shims_mm[SHIM] == [2.0, 0.7]
    notes = json.loads(run(*done, "b.toml", "--json", "--but", f"{SHIM}=+0.35 mm").stdout)["notes"]
    assert [note.partition(":")[2][:34] for note in notes] == [" no shims at hand make 3.35 mm: 3."]
    plain = run(*done, "c.toml", "--but", f"{SHIM}=2.0 + 0.5 mm").stdout
    assert "!" not in plain


def test_settings_given_by_call_say_which_packs_no_shims_make(car: sw.Car) -> None:
    assert car.with_settings({SHIM: "+0.5 mm", ROD: 0.5}).notes == []
    assert car.with_settings({SHIM: [2.0, 0.5]}).notes == []
    (note,) = car.with_settings({SHIM: "+0.35 mm"}).notes
    assert "no shims at hand make 3.35 mm: 3.3 mm (2.0 + 1.0 + 0.2 + 0.1 mm) or 3.4 mm" in note
    ground = car.with_settings({SHIM: [2.0, 0.7]})
    assert ground.settings.shims_mm[SHIM] == [2.0, 0.7]
    assert ground.notes == ["front_left.camber shim: not all of 2.0 + 0.7 mm is at hand for it"]


def test_recipes_name_the_packs_beside_one_that_no_shims_make(run: Run, tmp_path: Path) -> None:
    told = run("recipes", "wren.toml", "--corner", "front_left").stdout
    assert "no shims at hand" not in told
    car = tmp_path / "wren.toml"
    text = car.read_text(encoding="utf-8")
    box = text[text.index("front_mm = [") : text.index("]", text.index("front_mm = [")) + 1]
    car.write_text(text.replace(box, "front_mm = [1.0]"), encoding="utf-8")
    told = one_line(run("recipes", "wren.toml", "--corner", "front_left", "--by", "camber=0.1").stdout)
    assert (
        "camber shim: no shims at hand make 3.402 mm: 3.0 mm (2.0 + 1.0 mm) or 4.0 mm (2.0 + 1.0 + 1.0 mm) can be made"
        in told
    )
    turn = ["--keep", "front_left.toe", "--turn", SHIM, "--turn", ROD]
    told = one_line(run("recipes", "wren.toml", "--aim", "front_left.camber=0.1", *turn).stdout)
    assert "! front left camber shim: no shims at hand make" in told


def test_toe_is_asked_for_and_answered_in_mm_at_the_flags(run: Run, car: sw.Car) -> None:
    told = one_line(run("recipes", "wren.toml", "--corner", "front_left", "--by", "toe=+1 mm").stdout)
    assert "Toe 1 mm at the flags (0.110 deg) toe-in;" in told
    assert "toe +0.123 deg" in told
    assert "at the flags +1.1 mm (plus: more at the front)." in told
    asked = ["recipes", "wren.toml", "--corner", "front_left", "--by", "toe=+1 mm", "--by", "camber=0.1", "--json"]
    toe, camber = json.loads(run(*asked).stdout)["corners"]["front_left"]["recipes"]
    assert toe["by_at_flags_mm"] == 1.0
    assert "by_at_flags_mm" not in camber
    assert car.front_left.recipes({"toe": "+1 mm"})["toe"].by == pytest.approx(toe["by"], abs=1e-15)
    whole = run("recipes", "wren.toml", "--aim", "front_left.toe=-2 mm").stdout
    assert "front left toe -0.220 deg (-2.0 mm at the flags)" in whole
    (row,) = [line.split() for line in whole.splitlines() if line.startswith("  at the flags, mm")]
    assert row[-4:] == ["1.0", "-2.0", "-2.0", "-2.2"]


def test_toe_that_is_wanted_in_mm_at_the_flags_is_planned_in_mm(run: Run, tmp_path: Path) -> None:
    asked = ["plan", "wren.toml", "wren_readings.toml", "wren_targets.toml"]
    assert "toe, flags" not in run(*asked).stdout
    targets = tmp_path / "wren_targets.toml"
    text = targets.read_text(encoding="utf-8")
    targets.write_text(text.replace("toe = { value_deg = 0.10, tolerance_mm = 0.5 }", "toe = { value_mm = 1.0 }", 1))
    told = run(*asked).stdout
    assert max(map(len, told.splitlines())) <= 80
    (row,) = [line.split() for line in told.splitlines() if line.startswith("front left toe, flags")]
    assert row[4:] == ["2.00", "mm", "0.12", "1.00", "within", "0.50*", "1.05", "0.32", "ok"]
    content = json.loads(run(*asked, "--json").stdout)
    rows = {row["key"]: row for row in content["plan"]["compared"]}
    assert rows["front_left.toe"]["at_flags"]["value_mm"] == pytest.approx(1.0, abs=1e-12)
    assert rows["front_right.toe"]["at_flags"] is None
