"""The command line: what it prints, what it writes, how it refuses."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import shimwise as sw


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for file in sw.demo_files():
        shutil.copy(file, tmp_path / file.name)
    return tmp_path


PLAN = ["plan", "wren.toml", "wren_readings.toml", "wren_targets.toml"]


def run(folder: Path, *words: str, code: int = 0) -> subprocess.CompletedProcess[str]:
    done = subprocess.run(
        [sys.executable, "-m", "shimwise.cli", *words],
        cwd=folder,
        env=os.environ | {"COLUMNS": "80"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == code, done.stdout + done.stderr
    assert "Traceback" not in done.stdout + done.stderr
    return done


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


@pytest.mark.parametrize(
    "words", [["check", "wren.toml"], ["effects", "wren.toml"], PLAN, ["--help"], ["plan", "--help"]]
)
def test_output_fits_80_columns(folder: Path, words: list[str]) -> None:
    done = run(folder, *words)
    assert done.stdout.strip()
    assert max(len(line) for line in done.stdout.splitlines()) <= 80


@pytest.mark.parametrize("words", [["check", "wren.toml"], ["effects", "wren.toml", "--hold", "spring"], PLAN])
def test_json_names_version_and_digests(folder: Path, words: list[str]) -> None:
    content = json.loads(run(folder, *words, "--json").stdout)
    assert content["shimwise"] == sw.__version__
    assert set(content["inputs"]) == {word for word in words if word.endswith(".toml")}
    assert all(len(digest) == 16 for digest in content["inputs"].values())


def test_effects_hold_what_they_say(folder: Path) -> None:
    content = json.loads(run(folder, "effects", "wren.toml", "--corner", "front_left", "--json").stdout)
    assert content["hold"] == "contact"
    rows = content["corners"]["front_left"]["rows"]
    expected = sw.demo_car().front_left.effects()
    assert len(rows) == len(expected)
    for row in rows:
        assert row["toe_deg"] == expected.loc[(row["adjuster"], row["per"]), "toe_deg"]


def test_the_card_becomes_settings_and_tomorrow_starts_there(folder: Path) -> None:
    run(folder, *PLAN, "--save", "card.json")
    run(folder, "done", "wren.toml", "card.json", "--out", "monday.toml")
    card = json.loads((folder / "card.json").read_text(encoding="utf-8"))
    car = sw.load_car(folder / "wren.toml").with_settings(folder / "monday.toml")
    assert car.settings.turns == pytest.approx(card["settings_after"]["turns"])
    assert car.settings.shims_mm == card["settings_after"]["shims_mm"]
    told = run(folder, "effects", "wren.toml", "--settings", "monday.toml", "--corner", "rear_left").stdout
    assert "monday.toml" in told


def test_what_was_turned_instead_is_counted_from_before_the_card(folder: Path) -> None:
    run(folder, *PLAN, "--save", "card.json")
    words = ["--but", "front_left.track rod=+1 flat", "--but", "front_left.camber shim=2.0 + 0.5 mm"]
    run(folder, "done", "wren.toml", "card.json", "--out", "monday.toml", *words)
    settings = sw.load_car(folder / "wren.toml").with_settings(folder / "monday.toml").settings
    assert settings.turns["front_left.track rod"] == pytest.approx(1.0 / 6.0)
    assert settings.shims_mm["front_left.camber shim"] == [2.0, 0.5]
    before = sw.demo_car().settings
    stock = [
        *before.box_mm["front"],
        *before.shims_mm["front_left.camber shim"],
        *before.shims_mm["front_right.camber shim"],
    ]
    after = [
        *settings.box_mm["front"],
        *settings.shims_mm["front_left.camber shim"],
        *settings.shims_mm["front_right.camber shim"],
    ]
    assert sorted(after) == pytest.approx(sorted(stock))  # no shim is lost


def test_nothing_is_written_over(folder: Path) -> None:
    (folder / "card.json").write_text("mine", encoding="utf-8")
    assert "exists already" in run(folder, *PLAN, "--save", "card.json", code=2).stderr
    assert (folder / "card.json").read_text(encoding="utf-8") == "mine"
    (folder / "card.json").unlink()
    run(folder, *PLAN, "--save", "card.json")
    (folder / "old.toml").write_text("mine", encoding="utf-8")
    assert "exists already" in run(folder, "done", "wren.toml", "card.json", "--out", "old.toml", code=2).stderr
    assert (folder / "old.toml").read_text(encoding="utf-8") == "mine"
    assert sorted(p.name for p in folder.iterdir()) == [
        "card.json", "old.toml", "wren.toml", "wren_readings.toml", "wren_targets.toml"
    ]  # fmt: skip


def test_a_target_out_of_reach_is_refused_with_the_nearest(folder: Path) -> None:
    targets = folder / "wren_targets.toml"
    edit(targets, "camber = { value_deg = -2.60", "camber = { value_deg = 2.60")
    done = run(folder, *PLAN, code=1)
    assert "Cannot be met:\n  ! whatever may be turned, one value or more stays outside by" in done.stdout
    assert "front_left.camber would be" in " ".join(done.stdout.split())


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["plan", "nowhere.toml", "wren_readings.toml", "wren_targets.toml"], "nowhere.toml: there is no such file"),
        (["plan", "wren.toml", "wren_targets.toml", "wren_targets.toml"], "wren_targets.toml:"),
        (["plan", "wren.toml", "wren_readings.toml"], "Missing argument 'TARGETS'"),
        (["effects", "wren.toml", "--hold", "ride"], "'ride' is not one of"),
        (["effects", "wren.toml", "--corner", "fl"], "'fl' is not one of"),
        (["turn", "wren.toml"], "No such command 'turn'"),
        (["done", "wren.toml", "wren.toml", "--out", "x.toml"], "wren.toml:1:1: is not JSON"),
        (["done", "wren.toml", "empty.json", "--out", "x.toml"], "empty.json: format = None"),
        (["done", "wren.toml", "list.json", "--out", "x.toml"], "list.json: format = None"),
        (["done", "wren.toml", "other.json", "--out", "x.toml"], "other.json: car = 'Robin'"),
        (["done", "wren.toml", "half.json", "--out", "x.toml"], "half.json: settings_after"),
        (["done", "wren.toml", "limit.json", "--out", "x.toml"], "limits_turns"),
        (["done", "wren.toml", "unsigned.json", "--out", "x.toml"], "unsigned.json: inputs: needs the digests"),
        (["done", "wren.toml", "nowhere.json", "--out", "x.toml"], "nowhere.json"),
        (["effects", "wren.toml", "--settings", "wren_targets.toml"], "wren_targets.toml:"),
    ],
)
def test_bad_input_gets_one_sentence_and_code_2(folder: Path, words: list[str], sentence: str) -> None:
    card = {"format": "shimwise-card/1", "car": "Wren"}
    (folder / "empty.json").write_text("{}", encoding="utf-8")
    (folder / "list.json").write_text("[1, 2]", encoding="utf-8")
    (folder / "other.json").write_text(json.dumps(card | {"car": "Robin"}), encoding="utf-8")
    (folder / "half.json").write_text(json.dumps(card | {"settings_after": {"turns": {"a": "b"}}}), encoding="utf-8")
    far = {"turns": {"front_left.track rod": 60.0}, "shims_mm": {}, "box_mm": {}}
    made_from = {"wren.toml": hashlib.sha256((folder / "wren.toml").read_bytes()).hexdigest()[:16]}
    (folder / "limit.json").write_text(
        json.dumps(card | {"settings_after": far, "inputs": made_from}), encoding="utf-8"
    )
    (folder / "unsigned.json").write_text(json.dumps(card | {"settings_after": far}), encoding="utf-8")
    done = run(folder, *words, code=2)
    assert sentence in done.stderr
    assert not (folder / "x.toml").exists()


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        ("front_left.track rod", "needs"),
        ("front_left.rod=+1 flat", "has no such adjuster"),
        ("front_left.track rod=a lot", "needs a number with turns"),
        ("front_left.camber shim=thin", "needs a change such as +0.5 mm (thicker), or the shims fitted"),
        ("front_left.camber shim=7 mm", "its limit excludes the stack of 7 mm"),
    ],
)
def test_a_wrong_but_gets_one_sentence(folder: Path, words: str, sentence: str) -> None:
    run(folder, *PLAN, "--save", "card.json")
    done = run(folder, "done", "wren.toml", "card.json", "--out", "x.toml", "--but", words, code=2)
    assert sentence in done.stderr
    assert not (folder / "x.toml").exists()


def test_all_faults_of_a_file_come_at_once(folder: Path) -> None:
    edit(folder / "wren.toml", "bars_apart_mm = 3900.0", "bars_apart_mm = -3900.0")
    edit(folder / "wren.toml", 'purpose = "toe"', 'purpose = "toes"')
    done = run(folder, "check", "wren.toml", code=2)
    assert len(done.stderr.strip().splitlines()) == 2
    assert all(line.startswith("wren.toml:") for line in done.stderr.strip().splitlines())


def test_a_tolerance_left_out_is_shown_as_common_practice(folder: Path) -> None:
    legend = "* no tolerance in the targets file: common practice, no source"
    assert legend not in run(folder, *PLAN).stdout
    targets = folder / "wren_targets.toml"
    edit(targets, "camber = { value_deg = -2.60, tolerance_deg = 0.05 }", "camber = { value_deg = -2.60 }")
    told = run(folder, *PLAN).stdout
    assert legend in told
    assert "-2.600 within 0.050*" in told


def test_a_corner_without_camber_readings_is_told_what_its_flags_will_show(folder: Path) -> None:
    readings = folder / "wren_readings.toml"
    text = readings.read_text(encoding="utf-8")
    head, corner, rest = text.partition("[front_left]\n")
    lines = rest.split("\n")
    first = next(i for i, line in enumerate(lines) if line.startswith("camber_deg"))
    readings.write_text(head + corner + "\n".join(lines[:first] + lines[first + 1 :]), encoding="utf-8")
    told = run(folder, *PLAN).stdout
    assert "front left camber" in told
    assert "then :" not in told


def test_a_card_is_done_on_the_car_that_it_was_made_from(folder: Path) -> None:
    run(folder, *PLAN, "--save", "card.json")
    (folder / "after.toml").write_text(
        'format = "shimwise-settings/1"\ncar = "Wren"\nturns = { "front_left.pushrod" = 0.5 }\n'
    )
    # settings that the card does not know
    refused = run(folder, "done", "wren.toml", "card.json", "--out", "x.toml", "--settings", "after.toml", code=2)
    assert "after.toml: is not what the card was made from" in refused.stderr
    # a card that was made with settings
    run(folder, *PLAN, "--settings", "after.toml", "--save", "next.json")
    refused = run(folder, "done", "wren.toml", "next.json", "--out", "x.toml", code=2)
    assert "was made with a settings file: give the same one with --settings" in refused.stderr
    run(folder, "done", "wren.toml", "next.json", "--out", "next.toml", "--settings", "after.toml")
    edit(folder / "wren.toml", "M8x1.25", "M8x1")
    refused = run(folder, "done", "wren.toml", "card.json", "--out", "x.toml", code=2)
    assert "wren.toml: is not what the card was made from, or has changed since: card.json" in refused.stderr
    assert not (folder / "x.toml").exists()


def test_but_needs_a_way(folder: Path) -> None:
    run(folder, *PLAN, "--save", "card.json")
    refused = run(
        folder, "done", "wren.toml", "card.json", "--out", "x.toml", "--but", "front_left.track rod=2 flats", code=2
    )
    assert "which way?" in refused.stderr


def test_a_car_without_bars_is_not_told_of_any(folder: Path) -> None:
    told = run(folder, *PLAN).stdout
    assert "[ ] bars off at one link each" in told
    text = (folder / "wren.toml").read_text()
    bars = text[text.index("[front_bar]") : text.index("[front_third]")]
    (folder / "wren.toml").write_text(text.replace(bars, "").replace('changes = "drop_link"', 'changes = "pushrod"'))
    told = run(folder, *PLAN).stdout
    assert "bars off" not in told
    assert "rop links" not in told


def test_check_says_how_the_corners_stand_and_what_is_still_invented(folder: Path) -> None:
    told = run(folder, "check", "wren.toml").stdout
    assert "front_left: toe 0.10 deg, camber -2.60 deg, caster 5.1 deg, kingpin 8.6 deg" in " ".join(told.split())
    assert "INVENTED" not in told
    run(folder, "new", "mycar")
    told = run(folder, "check", "mycar/car.toml").stdout
    assert "lines still say INVENTED. Turn nothing before your own numbers stand there." in " ".join(told.split())
    plan = run(folder, "plan", "mycar/car.toml", "mycar/readings.toml", "mycar/targets.toml").stdout
    assert " ".join(plan.split()).count("still say INVENTED") == 3
