"""Accepted states: written once, read with every check, compared, printed to put the car back."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from baselines import accepted, replaced, sealed, sheet

import shimwise as sw
from shimwise import _core

Run = Callable[..., subprocess.CompletedProcess[str]]
DEMO = sw.demo_files()
PAGE = 66  # lines
WRITTEN = Path(__file__).parent / "written/baseline_1.toml"


@pytest.fixture
def baseline(car: sw.Car, tmp_path: Path) -> sw.Baseline:
    readings = sw.load_readings(DEMO.readings, car)
    return sw.accept(car, readings, 'The plate\'s own "numbers".', tmp_path / "baseline.toml")


def test_it_holds_what_was_read_and_how_the_car_was_set(car: sw.Car, baseline: sw.Baseline) -> None:
    measured = sw.load_readings(DEMO.readings, car).reduce()
    frame = baseline.frame()
    assert list(frame.index) == measured.keys
    assert frame.value.to_numpy().tolist() == measured.values.tolist()
    assert frame.uncertainty.to_numpy().tolist() == measured.core.uncertainties.tolist()
    base = [i for i, quantity in enumerate(measured.core.quantities) if not quantity.derived]
    lower = np.tril(measured.covariance[np.ix_(base, base)])
    assert np.tril(baseline.core.covariance).tolist() == lower.tolist()
    assert (baseline.core.covariance == baseline.core.covariance.T).all()
    core = baseline.core
    assert core.sheet == DEMO.readings.read_text(encoding="utf-8")
    assert (core.place, core.at, core.bars) == ("barn plate", "2026-05-02T08:10:00Z", "off")
    assert core.ballast_kg == {"driver": 75.0, "fuel": 12.0}
    assert core.pads_mm == [0.0, 0.1, -0.1, 0.0]
    assert (core.reason, core.replaces) == ('The plate\'s own "numbers".', "")
    assert core.settings.turns == car.settings.turns
    assert core.settings.box_mm == car.settings.box_mm
    rod = car.adjuster("front_left.track rod")
    ends = [np.array(car.as_dict()["front_left"]["track_rod"][end]) for end in ("inner", "outer")]
    assert core.lengths_mm[0]["track_rod"] == pytest.approx(np.linalg.norm(ends[1] - ends[0]) + rod.amount_mm)
    assert baseline.readings.reduce().values.tolist() == measured.values.tolist()
    assert baseline.notes == []


def test_what_the_sheet_says_of_shims_and_lengths_is_how_it_was_set(car: sw.Car, tmp_path: Path) -> None:
    def change(table: dict) -> None:
        table["front_left"]["shims_mm"] = {"camber shim": [2.0]}
        table["front_right"]["lengths_mm"] = {"track_rod": 358.2}

    core = accepted(car, tmp_path / "b.toml", change=change).core
    assert core.settings.shims_mm["front_left.camber shim"] == [2.0]
    assert core.settings.turns["front_right.track rod"] != 0.0
    assert core.lengths_mm[1]["track_rod"] == pytest.approx(358.2)


def test_a_sheet_of_any_letters_comes_back_as_it_was_typed(car: sw.Car, tmp_path: Path) -> None:
    text = DEMO.readings.read_text(encoding="utf-8")
    text = text.replace('remarks = "invented"', 'remarks = "a \\"quote\\" and \\\\"  # \u00b5, \u00fc\r\n')
    text += '# \'\'\'""""" \\u0041\r\n\t# [seal]\n# digest = "'
    readings = sw.load_readings(text=text, car=car)
    assert sw.accept(car, readings, "odd", tmp_path / "b.toml").core.sheet == text


def test_a_baseline_is_compared_like_its_sheet(car: sw.Car, baseline: sw.Baseline) -> None:
    paddock = sw.load_readings(DEMO.car.parent / "wren_paddock.toml", car)
    by_sheet = sw.compare(car, sw.load_readings(DEMO.readings, car), paddock)
    assert sw.compare(car, baseline, paddock).frame().equals(by_sheet.frame())


def test_commands_accept_compare_and_print_the_page(run: Run, tmp_path: Path) -> None:
    shutil.copy(DEMO.car.parent / "wren_paddock.toml", tmp_path)
    said = run("accept", "wren.toml", "wren_readings.toml", "--reason", "first", "--out", "b1.toml").stdout
    assert "b1.toml: the baseline" in said
    assert "the first of its kind" in said
    more = ["--reason", "second", "--out", "b2.toml", "--replaces", "b1.toml"]
    run("accept", "wren.toml", "wren_paddock.toml", *more)
    assert (
        sw.load_baseline(tmp_path / "b2.toml", sw.demo_car()).core.replaces
        == sw.load_baseline(tmp_path / "b1.toml", sw.demo_car()).digest
    )
    told = json.loads(run("compare", "wren.toml", "b1.toml", "b2.toml", "--json").stdout)
    assert told["roles"] == {"car": "wren.toml", "old": "b1.toml", "new": "b2.toml"}
    assert told["unexplained"] == ["rear_right.toe", "total_toe_rear", "thrust_angle"]
    wrong = run("compare", "wren.toml", "b1.toml", "b2.toml", "--settings-old", "b1.toml", code=2).stderr
    assert "b1.toml is a baseline, which has its own settings" in wrong
    alone = run("accept", "wren.toml", "wren_paddock.toml", "--reason", "once more", "--out", "b3.toml").stdout
    assert "Beside it lies b1.toml, b2.toml of this car: `--replaces` says" in " ".join(alone.split())
    again = run("accept", "wren.toml", "wren_paddock.toml", *more, code=2).stderr
    assert "b2.toml: exists already and is not written over" in again


def test_the_setup_page_is_one_page_with_all_that_is_needed(run: Run, tmp_path: Path) -> None:
    now = {"front_left.track rod": "+2 flats", "rear_left.camber shim": [2.0, 0.5]}
    car = sw.demo_car().with_settings(now)
    accepted(car, tmp_path / "b.toml", change=lambda t: [t[w].pop("shims_mm") for w in ("rear_left", "front_left")])
    lines = run("setup", "wren.toml", "b.toml").stdout.splitlines()
    assert len(lines) <= PAGE
    assert max(map(len, lines)) <= 80
    page = "\n".join(lines)
    for row in ("track rod                +0.3333", "camber shim                2 + 1         2 + 1       2 + 0.5"):
        assert row in page
    for words in ("Why: invented", "driver 75.0 kg", "bars off", "box front:", "toe, deg", "±0.055", "cross weight"):
        assert words in page
    for caution in _core.cautions():
        assert caution in " ".join(page.split())
    told = json.loads(run("setup", "wren.toml", "b.toml", "--json").stdout)
    assert told["settings"]["shims_mm"]["rear_left.camber shim"] == [2.0, 0.5]
    assert told["roles"] == {"car": "wren.toml", "baseline": "b.toml"}


@pytest.mark.parametrize(
    ("how", "said"),
    [
        ({"reason": "  \n"}, "^reason: is empty: say why this state is accepted"),
        ({"reason": 3}, "reason = 3: needs a text"),
        ({"out": ""}, "needs the name of a file"),
        ({"out": "no/folder/b.toml"}, "there is no folder no/folder"),
        ({"replaces": "car.toml"}, "this is a car file, a baseline file is needed"),
        ({"replaces": "gone.toml"}, "gone.toml"),
    ],
)
def test_what_cannot_be_accepted_is_refused(
    car: sw.Car, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, how: dict, said: str
) -> None:
    monkeypatch.chdir(tmp_path)
    shutil.copy(DEMO.car, "car.toml")
    call = {"reason": "a", "out": "b.toml"} | how
    with pytest.raises(sw.InputError, match=said):
        sw.accept(car, sw.load_readings(DEMO.readings, car), **call)
    assert [path.name for path in tmp_path.iterdir()] == ["car.toml"]


def test_an_empty_sheet_another_car_and_a_broken_limit_are_refused(car: sw.Car, tmp_path: Path) -> None:
    empty = sw.load_readings({"format": "shimwise-readings/1"}, car)
    with pytest.raises(sw.InputError, match="nothing follows from this sheet: there is nothing to accept"):
        sw.accept(car, empty, "a", tmp_path / "b.toml")
    other = sw.load_car(car.as_dict() | {"name": "Finch"})
    before = accepted(other, tmp_path / "finch.toml")
    with pytest.raises(sw.InputError, match="is a baseline of Finch, this car is Wren"):
        accepted(car, tmp_path / "b.toml", replaces=before)
    with pytest.raises(sw.InputError, match="excludes"):
        accepted(car, tmp_path / "b.toml", change=lambda t: t["front_left"].update(lengths_mm={"track_rod": 400.0}))
    assert not (tmp_path / "b.toml").exists()


BROKEN = {
    "another kind": (r"^format = .*$", 'format = "shimwise-card/1"', "this is a card file, a baseline file is needed"),
    "a newer one": (r"^format = .*$", 'format = "shimwise-baseline/2"', "is newer than this version of shimwise"),
    "no format": (r"^format = .*\n", "", "format: is missing"),
    "no TOML": (r"^\[state\]", "[state", "is not valid TOML"),
    "another car": (r'^car = "Wren"', 'car = "Finch"', 'car = "Finch": the car file is of "Wren"'),
    "no car": (r'^car = "Wren"\n', "", "car: is missing"),
    "no reason": (r"^reason = .*$", 'reason = ""', 'reason = "": is empty'),
    "an unknown key": (r"^reason", "reasons = 1\nreason", 'reasons = 1: is not a key here; did you mean "reason"'),
    "no date": (r"^at = .*$", "at = 3", "at = 3: needs a date"),
    "what it replaces": (r"^shimwise", 'replaces = "b1"\nshimwise', 'replaces = "b1": needs 16 hexadecimal digits'),
    "a digest": (r'^sheet = "', 'sheet = "x', "digests.sheet.*needs 16 hexadecimal digits"),
    "another sheet": (r"^sheet = .*$", 'sheet = "0123456789abcdef"', "sheet.text.*is not the sheet whose digest is"),
    "no state": (r"^\[state\]", "[mate]", "state: is missing"),
    "ballast of another": (r"driver = 75.0", "drover = 75.0", "drover.*ballast of the car"),
    "ballast below 0": (r"driver = 75.0", "driver = -75.0", "driver = -75.0: must not be negative"),
    "bars": (r'^bars = "off"', 'bars = "loose"', 'state.bars = "loose"'),
    "rack": (r"^rack = .*\n", "", "state.rack: is missing"),
    "a pad": (r"^rear_right = 0.0$", 'rear_right = "low"', 'pads_mm.rear_right = "low": needs a number'),
    "an adjuster": (
        r'^"front_left.track rod" = ',
        '"front_left.track rope" = ',
        "is no adjuster of the car.*track rod",
    ),
    "a limit": (r'^"front_left.track rod" = 0.0', '"front_left.track rod" = 55.0', "excludes the setting of 55 turns"),
    "turns of a word": (r'^"front_left.track rod" = 0.0', '"front_left.track rod" = "two"', "needs a number"),
    "a shim": (r'^"front_left.camber shim" = .*$', '"front_left.camber shim" = [2.0, -1.0]', "camber shim.*-1.0"),
    "a box": (r"^front = \[", "frunt = [", "is no box of the car.*front"),
    "a length": (r"track_rod = 358.1\d*", "track_rod = 359.0", "the turns above make it 358.1"),
    "a length of another": (r"pushrod = 373.4\d*", "pullrod = 373.4", "pullrod.*is no length of this corner"),
    "a value": (
        r'^"front_left.toe" = \{ value = 0.22',
        '"front_left.toe" = { value = 0.23',
        "the sheet in this file gives 0.22",
    ),
    "a unit": (r'unit = "mm"', 'unit = "deg"', 'unit = "deg": is "mm" of this value'),
    "no unit": (r', unit = "mm"', "", "unit: is missing"),
    "a value of another": (r'^"front_left.toe" =', '"front_left.tow" =', "front_left.tow.*is no value of the car"),
    "a value too few": (r"^total_weight = .*\n", "", "total_weight.*is missing: it follows from the sheet"),
    "u below 0": (r"u = 0.01296\d*", "u = -0.1", "u = -0.1: must not be negative"),
    "more anew": (r"anew = 0.01136\d*", "anew = 0.5", "anew = 0.5: is a part of u"),
    "NaN": (r"^lower = \[[^,]*", "lower = [nan", "lower"),
    "a covariance": (
        r"^lower = \[[^,]*, 0.0",
        "lower = [0.00016797461056022503, 1.0",
        "front_right.toe and front_left.toe does not go",
    ),
    "a variance too few": (
        r"^lower = \[[^,]*, ",
        "lower = [",
        "has 135 numbers: the lower triangle of 16 values has 136",
    ),
    "no sheet": (r"^\[sheet\]", "[shoot]", "sheet: is missing"),
    "no values": (r"^\[values\]", "[valued]", "values: is missing"),
}


@pytest.mark.parametrize("case", BROKEN)
def test_a_broken_file_gets_its_sentence(case: str, car: sw.Car, baseline: sw.Baseline, tmp_path: Path) -> None:
    """Changed by somebody who seals it again: what no seal can tell."""
    pattern, by, said = BROKEN[case]
    text = Path(baseline.file).read_text(encoding="utf-8")
    path = tmp_path / "broken.toml"
    path.write_bytes(sealed(replaced(text, pattern, by).encode()))
    with pytest.raises(sw.InputError, match=said) as found:
        sw.load_baseline(path, car)
    assert all(problem.file == str(path) for problem in found.value.problems)


@pytest.mark.parametrize(
    "change",
    [
        lambda text: text.replace("0.22", "0.23", 1),
        lambda text: text.replace("\n", "\r\n"),
        lambda text: "# seen\n" + text,
        lambda text: text.replace("75.0", "75.00", 1),
        lambda text: text.rpartition('digest = "')[0] + 'digest = "0123456789abcdef"\n',
    ],
)
def test_a_file_changed_by_one_letter_says_so(
    change: Callable[[str], str], car: sw.Car, baseline: sw.Baseline, tmp_path: Path
) -> None:
    path = tmp_path / "changed.toml"
    path.write_bytes(change(Path(baseline.file).read_text(encoding="utf-8")).encode())
    with pytest.raises(sw.InputError, match="the file was changed after it was written"):
        sw.load_baseline(path, car)


def test_a_file_cut_off_anywhere_is_refused(
    car: sw.Car, baseline: sw.Baseline, tmp_path: Path, size: Callable[[int, int], int]
) -> None:
    whole = Path(baseline.file).read_bytes()
    path = tmp_path / "cut.toml"
    for at in np.linspace(0, len(whole) - 2, size(25, 400)).astype(int):
        path.write_bytes(whole[:at])
        with pytest.raises(sw.InputError):
            sw.load_baseline(path, car)


def test_a_swapped_sheet_is_none_of_the_car(car: sw.Car, baseline: sw.Baseline, tmp_path: Path) -> None:
    with pytest.raises(sw.InputError, match=r"wren.toml.*this is a car file"):
        sw.load_baseline(DEMO.car, car)
    with pytest.raises(sw.InputError, match="this is a baseline file, a readings file is needed"):
        sw.load_readings(baseline.file, car)
    path = tmp_path / "bytes.toml"
    path.write_bytes(bytes(range(256)))
    with pytest.raises(sw.InputError, match="is not UTF-8 text"):
        sw.load_baseline(path, car)


def test_a_car_file_that_has_changed_is_said_and_the_sheet_taken_with_it(
    baseline: sw.Baseline, edited: Callable[..., sw.Car]
) -> None:
    other = edited(("total_kg = 498.0", "total_kg = 499.0"))
    again = sw.load_baseline(baseline.file, other)
    assert "the car file has changed since this was accepted" in again.notes[0]
    assert "the car file has changed" in " ".join(again.text().split())


def test_a_file_written_by_an_earlier_version_reads_the_same(car: sw.Car) -> None:
    """Written by version 0.1.0; whatever is changed here is changed for all who have such files."""
    core = _core.baseline_alone_from(_core.read_source(str(WRITTEN)))
    values = {value.key: value for value in core.values}
    assert len(values) == 27
    assert values["front_left.camber"].value == -2.7644905056233475
    assert values["total_weight"].uncertainty == 0.5178001866873436
    assert core.covariance[3, 1] == core.covariance[1, 3] != 0.0
    assert (core.car, core.version, core.reason) == ("Wren", "0.1.0", "Came off the plate like this.")
    assert sw.load_baseline(WRITTEN, car).car.settings.turns == core.settings.turns


def test_a_writer_that_is_killed_leaves_whole_files_only(
    car: sw.Car, tmp_path: Path, size: Callable[[int, int], int]
) -> None:
    readings = sw.load_readings(sheet(), car)
    core = _core.accepted(readings.core, car.core, "killed", "")
    rng = np.random.default_rng(8)
    written = 0
    for round_ in range(size(12, 200)):
        folder = tmp_path / str(round_)
        folder.mkdir()
        child = os.fork()
        if child == 0:
            for i in range(100_000):
                _core.save_baseline(core, str(folder / f"{i}.toml"))
            os._exit(0)
        time.sleep(float(rng.uniform(0.002, 0.03)))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        found = sorted(folder.iterdir())
        assert all(path.suffix == ".toml" for path in found)
        assert all(path.read_bytes() == _core.baseline_text(core).encode() for path in found)
        written += len(found)
    assert written > 0
