"""Nothing broken gets through: every absurd thing gets one clear sentence and its exit code, or works."""

from __future__ import annotations

import json
import os
import pty
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

import shimwise as sw
from shimwise.cli import shared
from shimwise.data_of import document
from shimwise.shown import text_of
from shimwise.views.pieces import plain_table
from shimwise.words import figure

PLAN = ("plan", "wren.toml", "wren_readings.toml", "wren_targets.toml")
Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for file in sw.demo_files():
        shutil.copy(file, tmp_path / file.name)
    return tmp_path


def edit(path: Path, old: str, new: str, *, count: int = 1) -> None:
    text = path.read_text(encoding="utf-8")
    assert re.search(old, text), old
    path.write_text(re.sub(old, lambda _: new, text, count=count), encoding="utf-8")


def in_shell(folder: Path, words: str, **env: str) -> subprocess.CompletedProcess[str]:
    command = words.replace("SHIMWISE", f"{sys.executable} -m shimwise.cli")
    done = subprocess.run(
        ["/bin/bash", "-c", f"set -o pipefail; {command}"],
        cwd=folder,
        env=os.environ | env,
        capture_output=True,
        text=True,
        check=False,
    )
    assert "Traceback" not in done.stdout + done.stderr
    assert "Exception" not in done.stdout + done.stderr
    return done


EDITS = {  # of one file: what is written instead, and the sentence
    "zero scales": ("wren_readings.toml", r"scale_kg = [\d.]+", "scale_kg = 0.0", "all four scales show 0 kg"),
    "pads at 5 m": ("wren_readings.toml", r"front_right = 0\.1", "front_right = 5000.0", "goes beyond 1000 mm"),
    "flags near their span": (
        "wren_readings.toml",
        r"front = 41.6, rear = 39.6",
        "front = 559.99, rear = 40",
        "45 deg",
    ),
    "a number of 400 digits": ("wren.toml", r"total_kg = [\d.]+", f"total_kg = {'9' * 400}", "too long"),
    "a number beyond all": ("wren.toml", r"total_kg = [\d.]+", "total_kg = 1e400", "is not valid TOML"),
    "lists in lists": ("wren.toml", r"remarks = .*|name = .*", "name = " + "[" * 100000, "maximum nested"),
    "names in names": ("wren.toml", r"name = .*", f"name{'.a' * 100000} = 1", "more than 8 parts"),
    "shims of nothing": ("wren.toml", r"fitted_mm = \[2.0, 1.0\]", "fitted_mm = [1e-300]", "0.001 to 1000 mm thick"),
    "a box of nothing": ("wren.toml", r"front_mm = \[", "front_mm = [1e-300, ", "0.001 to 1000 mm thick"),
    "no tolerance": ("wren_targets.toml", r"tolerance_deg = 0.05", "tolerance_deg = 5e-324", "is less than 1e-6"),
    "rake of one axle": ("wren.toml", r'rear = "rear_left"', 'rear = "front_left"', "does not lie ahead"),
    "a decimal comma": ("wren_targets.toml", r"value_deg = 0.10", "value_deg = 0,10", "a point, not a comma"),
    "a blank": (
        "wren_readings.toml",
        r"camber_deg = -\d.\d+",
        "camber_deg = ___",
        "camber_deg = ___: is not filled in",
    ),
}


@pytest.mark.parametrize("kind", EDITS)
def test_what_cannot_be_gets_one_sentence(folder: Path, shimwise: Run, kind: str) -> None:
    file, old, new, sentence = EDITS[kind]
    edit(folder / file, old, new, count=0 if kind == "zero scales" else 1)
    done = shimwise(*PLAN, code=2)
    assert sentence in done.stderr
    assert done.stderr.startswith(f"{file}:")
    assert done.stderr.count("\n") == 1


def test_axles_that_are_exchanged_are_no_car(folder: Path, shimwise: Run) -> None:
    text = (folder / "wren.toml").read_text(encoding="utf-8")
    swapped = text.replace("front_left", "@").replace("rear_left", "front_left").replace("@", "rear_left")
    (folder / "wren.toml").write_text(swapped, encoding="utf-8")
    for command in ("check", "rest"):
        assert "behind the rear wheel's: x points forward" in shimwise(command, "wren.toml", code=2).stderr


def test_the_words_of_a_file_are_printed_as_they_stand(folder: Path, shimwise: Run) -> None:
    edit(folder / "wren.toml", r'name = "Wren"', 'name = "W[/b]ren :car:"')
    edit(folder / "wren.toml", r'name = "track rod"', 'name = "[red]x"')
    edit(folder / "wren.toml", r'name = "pushrod"', 'name = "a]b["')
    for command in ("check", "effects", "recipes"):
        told = shimwise(command, "wren.toml").stdout
        assert "[red]x" in told
        assert "a]b[" in told
    for command in ("check", "rest"):
        assert "W[/b]ren :car:" in shimwise(command, "wren.toml").stdout
    assert "W[/b]ren :car:" in sw.load_car(folder / "wren.toml").at_rest().text()


def test_what_would_move_the_cursor_is_seen(folder: Path, shimwise: Run) -> None:
    edit(folder / "wren.toml", r'name = "track rod"', r'name = "a\u001b[31mb"')
    for words in (["check", "wren.toml"], ["effects", "wren.toml"], ["recipes", "wren.toml"]):
        told = shimwise(*words).stdout
        assert r"a\x1b[31mb" in told
        assert "\x1b" not in told
    edit(folder / "wren.toml", r'thread = "M8x1.25"', 'thread = "M8y"')
    assert r"a\x1b[31mb" in shimwise("check", "wren.toml", code=2).stderr


@pytest.mark.parametrize("command", [["check"], ["rest"], ["effects"], ["rest", "--json"], ["rest", "--csv"]])
def test_an_output_without_the_letter_prints_its_number(folder: Path, command: list[str]) -> None:
    edit(folder / "wren.toml", r'name = "Wren"', 'name = "Zoë ✓"')
    words = " ".join([command[0], "wren.toml", *command[1:]])
    done = in_shell(folder, f"SHIMWISE {words}", PYTHONIOENCODING="ascii")
    assert done.returncode == 0, done.stderr
    if "--json" in command:
        assert json.loads(done.stdout)["car"] == "Zoë ✓"


@pytest.mark.parametrize("command", ["check", "effects", "rest", "curves", "sheet", "effects --json", "rest --csv"])
def test_a_reader_that_leaves_is_no_failure(folder: Path, command: str) -> None:
    name, *more = command.split()
    for reader in ("head -1", "true"):
        done = in_shell(folder, f"SHIMWISE {name} wren.toml {' '.join(more)} | {reader}")
        assert (done.returncode, done.stderr) == (0, "")


def test_an_output_that_is_closed_or_full_is_told(folder: Path) -> None:
    assert in_shell(folder, "SHIMWISE --help | true").returncode == 0
    assert in_shell(folder, "SHIMWISE check wren.toml >&-").returncode == 0
    assert in_shell(folder, "SHIMWISE check wren.toml >&- 2>&-").returncode == 0
    done = in_shell(folder, "SHIMWISE check wren.toml > /dev/full")
    assert (done.returncode, done.stderr) == (2, "what is printed: No space left on device\n")


def test_a_name_that_is_not_utf8_gets_a_sentence(folder: Path) -> None:
    for words in ("check $'w\\xff.toml'", "try wren.toml wren_readings.toml $'front_left.\\xff=+1 flat'"):
        done = in_shell(folder, f"cp wren.toml $'w\\xff.toml'; SHIMWISE {words}")
        assert done.returncode == 2
        assert "is not UTF-8 text" in done.stderr
    with pytest.raises(sw.InputError, match="is not UTF-8 text"):
        sw.load_car(os.fsencode(folder) + b"/w\xff.toml")  # type: ignore[arg-type]


@pytest.mark.parametrize("command", ["effects", "rest", "curves", "forces"])
def test_a_narrow_terminal_loses_no_column(folder: Path, command: str) -> None:
    def printed(columns: int) -> str:
        ours, theirs = pty.openpty()
        with subprocess.Popen(
            [sys.executable, "-m", "shimwise.cli", command, "wren.toml"],
            cwd=folder,
            env=os.environ | {"COLUMNS": str(columns), "NO_COLOR": "1", "TERM": "xterm"},
            stdout=theirs,
        ) as process:
            os.close(theirs)
            told = b""
            while True:
                try:
                    piece = os.read(ours, 65536)
                except OSError:
                    break
                told += piece
            assert process.wait() == 0
        return told.decode()

    assert printed(60) == printed(80)


def test_a_name_longer_than_the_page_is_printed_in_full(folder: Path, shimwise: Run) -> None:
    long = "a rod with a name that is longer than any page is wide, by a good deal and then some"
    edit(folder / "wren.toml", r'name = "track rod"', f'name = "{long}"')
    told = shimwise("effects", "wren.toml").stdout
    assert long in told
    assert "…" not in told
    table = plain_table("x")
    for _ in range(3):
        table.add_column("wide_word_of_some_letters", no_wrap=True)
    assert text_of(table, 20).count("wide_word_of_some_letters") == 3


def test_each_input_is_read_once_and_known_by_its_role(folder: Path) -> None:
    done = in_shell(folder, "SHIMWISE plan wren.toml <(cat wren_readings.toml) <(cat wren_targets.toml) --save p.json")
    assert done.returncode == 0, done.stderr
    assert (
        in_shell(folder, "SHIMWISE plan wren.toml wren_readings.toml wren_targets.toml --save f.json").returncode == 0
    )
    piped, plain = (json.loads((folder / name).read_text(encoding="utf-8")) for name in ("p.json", "f.json"))
    assert list(piped["inputs"].values()) == list(plain["inputs"].values())
    assert plain["roles"] == {"car": "wren.toml", "readings": "wren_readings.toml", "targets": "wren_targets.toml"}
    for name, file in zip("abc", sw.demo_files(), strict=True):
        (folder / name).mkdir()
        shutil.copy(file, folder / name / "x.toml")
    done = in_shell(folder, "SHIMWISE plan a/x.toml b/x.toml c/x.toml --save x.json")
    assert "a/x.toml" in done.stdout
    assert in_shell(folder, "SHIMWISE done a/x.toml x.json --out after.toml").returncode == 0
    done = in_shell(folder, "SHIMWISE done wren.toml p.json --out q.toml")
    assert done.returncode == 0, done.stderr  # the car by its bytes, whatever its file is called now


def test_a_card_of_an_earlier_version_is_still_done(folder: Path, shimwise: Run) -> None:
    shimwise(*PLAN, "--save", "card.json")
    card = json.loads((folder / "card.json").read_text(encoding="utf-8"))
    del card["roles"], card["settings_before"]
    (folder / "old.json").write_text(json.dumps(card), encoding="utf-8")
    for name in ("card", "old"):
        shimwise("done", "wren.toml", f"{name}.json", "--out", f"{name}.toml")
    assert (folder / "old.toml").read_bytes() == (folder / "card.toml").read_bytes()


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        ([*PLAN, "--save", ""], "'--save': needs the name of a file"),
        (["done", "wren.toml", "card.json", "--out", " "], "'--out': needs the name of a file"),
        (["sheet", "wren.toml", "--out", ""], "'--out': needs the name of a file"),
        (["check", "wren.toml", "--plot", ""], "'--plot': needs the name of a file"),
        (["check", "wren.toml", "--settings", ""], "'--settings': needs the name of a file"),
        (["check", ""], "'': needs the name of a file"),
        (["new", ""], "needs the name of a folder"),
        (["done", "wren.toml", "", "--out", "x.toml"], "'': needs the name of a file"),
    ],
)
def test_an_empty_name_is_refused(folder: Path, shimwise: Run, words: list[str], sentence: str) -> None:
    before = set(folder.iterdir())
    assert sentence in shimwise(*words, code=2).stderr
    assert set(folder.iterdir()) == before


def test_one_adjuster_is_not_turned_twice_instead(folder: Path, shimwise: Run) -> None:
    shimwise(*PLAN, "--save", "card.json")
    but = ["--but", "front_left.track rod=+1 flat", "--but", " front_left.track rod =+2 flats"]
    done = shimwise("done", "wren.toml", "card.json", "--out", "x.toml", *but, code=2)
    assert "'front_left.track rod' is named twice" in done.stderr
    assert not (folder / "x.toml").exists()


def test_a_card_that_was_changed_by_hand_is_refused(folder: Path, shimwise: Run) -> None:
    shimwise(*PLAN, "--save", "card.json")
    edit(folder / "card.json", r"longer \(", "shorter (")
    done = shimwise("done", "wren.toml", "card.json", "--out", "x.toml", code=2)
    assert "the card was changed by hand" in done.stderr
    assert not (folder / "x.toml").exists()


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "utf-16-be", "crlf"])
def test_a_text_is_taken_as_other_programs_write_it(folder: Path, shimwise: Run, encoding: str) -> None:
    wanted = json.loads(shimwise("rest", "wren.toml", "--json").stdout)
    for path in folder.glob("*.toml"):
        text = path.read_text(encoding="utf-8")
        mark = "\ufeff" if encoding == "utf-16-be" else ""
        raw = text.replace("\n", "\r\n").encode() if encoding == "crlf" else (mark + text).encode(encoding)
        path.write_bytes(raw)
    told = json.loads(shimwise("rest", "wren.toml", "--json").stdout)
    assert told["values"] == wanted["values"]
    shimwise(*PLAN)


def test_a_table_of_points_is_taken_in_utf16(tmp_path: Path, shimwise: Run) -> None:
    rows = "corner;point;x_mm;y_mm;z_mm\r\nfront_left;wheel.centre;0;640;225\r\n"
    (tmp_path / "points.csv").write_bytes(rows.encode("utf-16"))
    assert "1 points taken" in shimwise("new", "car", "--points", "points.csv").stdout


def test_no_answer_is_nan() -> None:
    with pytest.raises(sw.OutOfReach, match=r"^a\.1\.b comes out as no finite number"):
        document({"a": [1.0, {"b": float("nan")}]})
    for value in (float("nan"), float("inf")):
        with pytest.raises(sw.OutOfReach, match="no finite number"):
            figure(value, 2)
    assert shared.invented_notes([]) == []
