"""All kinds of file with faults drawn by chance: a sentence or an answer, and never anything else."""

from __future__ import annotations

import json
import os
import random
import re
import signal
import subprocess
import sys
import time
import tomllib
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from io import StringIO
from pathlib import Path
from types import FrameType

import click
import pytest
from baselines import sealed
from mutations import mutated

import shimwise as sw
from shimwise import _core
from shimwise.cli import commands

LONGEST_S = 5.0
RESEALED = 0.8  # of baselines with faults
_NO_NUMBER = re.compile(r"(?<![\w\"'./-])[-+]?(?:nan|inf|infinity)(?![\w\"'./-])", re.IGNORECASE)

# What is asked with a kind of file that has faults: cheap commands often, dear ones seldom.
ASKED = {
    "car": [
        ["check", "car"], ["check", "car"], ["effects", "car"], ["rest", "car"], ["rest", "car", "--json"],
        ["sheet", "car", "--toml"], ["curves", "car", "--travel", "-20:20:20", "--rack", "-10:10:10"],
        ["forces", "car"], ["rest", "car", "--solid", "--pads", "1,0,0,0"], ["plan", "car", "readings", "targets"],
        ["try", "car", "readings", "front_left.track rod=+1 flat"], ["recipes", "car", "--by", "toe=0.1"],
    ],
    "readings": [["plan", "car", "readings", "targets"], ["try", "car", "readings", "front_left.track rod=+1 flat"]],
    "targets": [["plan", "car", "readings", "targets"], ["plan", "car", "readings", "targets", "--json"]],
    "settings": [["check", "car", "--settings", "settings"], ["rest", "car", "--settings", "settings", "--json"]],
    "card": [["done", "car", "card", "--out", "out.toml"]],
    "points": [["new", "made", "--points", "points"]],
    "skid": [["skid", "skid"], ["skid", "skid", "car", "--lasts", "200"], ["skid", "skid", "--gauge-alone", "--json"]],
    "sweep": [["sweep", "car", "sweep", "--out", "out.csv", "--threads", "1"]],
    "baseline": [
        ["setup", "car", "baseline"], ["restore", "car", "baseline", "--settings", "settings"],
        ["compare", "car", "baseline", "readings"], ["setup", "car", "baseline", "--json"],
    ],
}  # fmt: skip
OFTEN = (
    ["car"] * 5
    + ["readings"] * 3
    + ["targets"] * 2
    + ["settings"] * 2
    + ["card"] * 2
    + ["points"] * 2
    + ["baseline"] * 3
    + ["skid"] * 2
    + ["sweep"] * 2
)


@pytest.fixture(scope="module")
def texts(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """One sound file of each kind."""
    folder = tmp_path_factory.mktemp("sound")
    files = sw.demo_files()
    answer(["plan", *map(str, files), "--save", str(folder / "card.json")])
    answer(["done", str(files.car), str(folder / "card.json"), "--out", str(folder / "settings.toml")])
    car = tomllib.loads(files.car.read_text(encoding="utf-8"))
    rows = [
        f"{corner},{part}.{point},{','.join(map(str, car[corner][part][point]))}"
        for corner in ("front_left", "rear_left")
        for part, point in (name.split(".") for name in _core.table_point_names())
        if point in car[corner].get(part, {})
    ]
    answer(["accept", *map(str, files[:2]), "--reason", "sound", "--out", str(folder / "baseline.toml")])
    return {
        "car": files.car.read_text(encoding="utf-8"),
        "readings": files.readings.read_text(encoding="utf-8"),
        "targets": files.targets.read_text(encoding="utf-8"),
        "settings": (folder / "settings.toml").read_text(encoding="utf-8"),
        "card": (folder / "card.json").read_text(encoding="utf-8"),
        "skid": files.skid.read_text(encoding="utf-8"),
        "sweep": files.sweep.read_text(encoding="utf-8").replace("sample = 200", "sample = 5"),
        "points": "\n".join(["corner,point,x_mm,y_mm,z_mm", *rows, ""]),
        "baseline": (folder / "baseline.toml").read_text(encoding="utf-8"),
    }


class TooLongError(Exception):
    """A command that does not end."""


@contextmanager
def at_most(seconds: float) -> Iterator[None]:
    """Seconds of this process's own work, however busy the machine is."""

    def stop(_signal: int, _frame: FrameType | None) -> None:
        raise TooLongError

    before = signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0.0)
        signal.signal(signal.SIGPROF, before)


def answer(words: list[str]) -> tuple[int, str]:
    """Exit code and all that is printed, as `shimwise` has it, in this process. What it does not catch goes through."""
    out = StringIO()
    with redirect_stdout(out), redirect_stderr(out):
        try:
            code = commands.main(words, prog_name="shimwise", standalone_mode=False) or 0
        except click.ClickException as error:
            code = 2
            error.show()
        except sw.InputError as error:
            code = 2
            click.echo(error)
        except sw.OutOfReach as error:
            code = 1
            click.echo(error)
        except SystemExit as ending:
            code = int(ending.code or 0)
    return code, out.getvalue()


def words_of(asked: list[str], folder: Path) -> list[str]:
    ours = {kind: str(folder / kind) for kind in ASKED} | {
        "out.toml": str(folder / "out.toml"),
        "out.csv": str(folder / "out.csv"),
        "made": str(folder / "made"),
    }
    return [word if i == 0 else ours.get(word, word) for i, word in enumerate(asked)]


def fault_of(code: int, told: str) -> str | None:
    """What is wrong with an answer; None where nothing is."""
    if code not in (0, 1, 2):
        return f"ends with {code}"
    if not told.strip():
        return "says nothing"
    if "Traceback" in told:
        return "a traceback"
    if code == 0 and _NO_NUMBER.search(told):
        return "not a finite number"
    return None


def draw_case(texts: dict[str, str], seed: int, folder: Path) -> list[str]:
    """Files in a folder, one of them with faults, and what is asked of them."""
    draw = random.Random(seed)  # noqa: S311 - faults, no secrets
    kind = draw.choice(OFTEN)
    for one, text in texts.items():
        broken = mutated(text, draw) if one == kind else text.encode()
        if one == kind == "baseline" and draw.random() < RESEALED:  # what no seal can tell
            broken = sealed(broken)
        (folder / one).write_bytes(broken)
    for made in ("out.toml", "out.csv", "made/car.toml", "made/readings.toml", "made/targets.toml"):
        (folder / made).unlink(missing_ok=True)
    return words_of(draw.choice(ASKED[kind]), folder)


def test_faults_drawn_by_chance_get_a_sentence(
    texts: dict[str, str], tmp_path: Path, size: Callable[[int, int], int], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    seconds, first = size(60, 3600), int(os.environ.get("SHIMWISE_SEED", "0"))
    seen: Counter[int] = Counter()
    faults, end, seed = [], time.monotonic() + seconds, first
    while time.monotonic() < end:
        words = draw_case(texts, seed, tmp_path)
        try:
            with at_most(LONGEST_S):
                code, told = answer(words)
            fault = fault_of(code, told)
            seen[code] += 1
        except TooLongError:
            fault = f"takes more than {LONGEST_S} s"
        except Exception as error:  # whatever comes through is what this test is for
            fault = f"{type(error).__name__}: {error}"
        if fault:
            faults.append(f"seed {seed}: {' '.join(words)}: {fault}")
        seed += 1
    print(f"{seed - first} files with faults drawn: {dict(sorted(seen.items()))} by exit code")
    assert not faults, "\n".join(faults)
    assert min(seen[code] for code in (0, 2)) > seconds


def test_the_same_as_commands_of_their_own(
    texts: dict[str, str], tmp_path: Path, size: Callable[[int, int], int]
) -> None:
    faults = []
    for seed in range(10**6, 10**6 + size(12, 1500)):
        words = draw_case(texts, seed, tmp_path)
        done = subprocess.run(
            [sys.executable, "-m", "shimwise.cli", *words],
            capture_output=True,
            timeout=4 * LONGEST_S,
            env=os.environ | {"COLUMNS": "80"},
            check=False,
        )
        told = (done.stdout + done.stderr).decode("utf-8", "replace")
        if fault := fault_of(done.returncode, told):
            faults.append(f"seed {seed}: {' '.join(words)}: {fault}: {told[-300:]}")
    assert not faults, "\n".join(faults)


def test_what_is_drawn_is_drawn_again() -> None:
    text = json.dumps({"a": [1.0, 2.0], "b": "text"})
    found, again = ([mutated(text, random.Random(seed)) for seed in range(200)] for _ in range(2))  # noqa: S311
    assert found == again
    assert len(set(found)) > 100
