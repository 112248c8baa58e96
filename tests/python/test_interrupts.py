"""Ctrl-C and a kill at drawn moments of every command: what it says, how soon it ends, what it leaves behind."""

from __future__ import annotations

import re
import shutil
import signal
import subprocess
import sys
import sysconfig
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

import shimwise as sw

PROGRAM = str(Path(sysconfig.get_path("scripts")) / "shimwise")
MORNING = ["wren.toml", "wren_readings.toml", "wren_targets.toml"]
COMMANDS = [
    *([], ["--help"]),
    *(["check", "wren.toml"], ["check", "wren.toml", "--plot", "corners.svg"]),
    *(["curves", "wren.toml"], ["curves", "wren.toml", "--plot", "curves.png"]),
    *(["effects", "wren.toml", "--csv"], ["effects", "wren.toml", "--hold", "rest"]),
    *(["forces", "wren.toml"], ["rest", "wren.toml"], ["recipes", "wren.toml"]),
    ["recipes", "wren.toml", "--aim", "front_height=+2 mm"],
    *(["plan", *MORNING], ["plan", *MORNING, "--save", "new_card.json"]),
    ["try", *MORNING[:2], "front_left.track rod=+2 flats"],
    *(["read", *MORNING[:2]], ["level", *MORNING[:2]]),
    ["done", "wren.toml", "card.json", "--out", "settings.toml"],
    *(["sheet", "wren.toml"], ["sheet", "wren.toml", "--toml", "--out", "sheet.toml"]),
    ["sweep", "wren.toml", "sweep.toml", "--out", "swept.csv"],
    ["new", "mycar"],
]
WRITING = [words for words in COMMANDS if {"--plot", "--save", "--out", "new"} & {*words}]
NEXT_TO_NOTHING_S = 0.002  # from its first instruction on the program holds an interrupt back; before, none can
ASIDE = re.compile(r"^\.shimwise-[^/]+/")  # where a new folder is made, before it is moved into its place

Files = dict[str, bytes]


def files_in(folder: Path) -> Files:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def start(folder: Path, words: list[str]) -> subprocess.Popen[bytes]:
    return subprocess.Popen([PROGRAM, *words], cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)


def seconds_to_end(process: subprocess.Popen[bytes], sent: signal.Signals) -> tuple[float, bytes]:
    before = time.perf_counter()
    process.send_signal(sent)
    _, said = process.communicate(timeout=60)
    return time.perf_counter() - before, said


def seconds_of_sleep_to_end() -> float:
    """What this machine takes, as busy as it is, to end a process that only sleeps."""
    sleeping = subprocess.Popen(["/bin/sleep", "60"], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    time.sleep(0.02)
    return seconds_to_end(sleeping, signal.SIGINT)[0]


@pytest.fixture(scope="module")
def morning(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo car's files and the card that its plan saved; nothing is written into it."""
    folder = tmp_path_factory.mktemp("morning")
    for file in sw.demo_files():
        shutil.copy(file, folder)
    shutil.copy(sw.demo_files().sweep, folder / "sweep.toml")
    subprocess.run([PROGRAM, "plan", *MORNING, "--save", "card.json"], cwd=folder, stdout=subprocess.PIPE, check=True)
    return folder


Scratch = Callable[[], Path]


@pytest.fixture
def scratch(morning: Path, tmp_path: Path) -> Scratch:
    """Each time a new folder with the morning in it."""
    count = iter(range(1_000_000))
    return lambda: shutil.copytree(morning, tmp_path / str(next(count)))


def uninterrupted(folder: Path, words: list[str]) -> tuple[float, Files]:
    """How long a command takes, and the folder that it leaves."""
    before = time.perf_counter()
    done = subprocess.run([PROGRAM, *words], cwd=folder, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return time.perf_counter() - before, files_in(folder)


def test_every_command_ends_at_ctrl_c_without_a_traceback(scratch: Scratch, size: Callable[[int, int], int]) -> None:
    drawn = np.random.default_rng(11)
    took, interrupted = {}, 0
    cases = size(30, 200)
    for case in range(cases):
        words = COMMANDS[case % len(COMMANDS)]
        if case < len(COMMANDS):
            took[case], _ = uninterrupted(scratch(), words)
        at = NEXT_TO_NOTHING_S + float(drawn.random()) * took[case % len(COMMANDS)]
        process = start(scratch(), words)
        time.sleep(at)
        ended = process.poll() is not None  # quicker than the first time, on a machine that was busy then
        seconds, said = seconds_to_end(process, signal.SIGINT)
        over = ended or (seconds < 0.2 and at > 0.7 * took[case % len(COMMANDS)])
        interrupted += process.returncode == 130
        case_words = f"{words} after {at:.4f} s: {process.returncode}, {said.decode()}"
        assert not said, case_words
        assert process.returncode == 130 or (over and process.returncode == 0), case_words
        assert seconds < 0.2 or seconds < 0.2 + seconds_of_sleep_to_end(), case_words
    assert interrupted > 0.6 * cases


def test_a_killed_command_leaves_whole_files_alone(scratch: Scratch, size: Callable[[int, int], int]) -> None:
    drawn = np.random.default_rng(12)
    whole, met = {}, 0
    cases = size(30, 200)
    for case in range(cases):
        words = WRITING[case % len(WRITING)]
        if case < len(WRITING):
            whole[case] = uninterrupted(scratch(), words)
        took, files = whole[case % len(WRITING)]
        folder = scratch()
        process = start(folder, words)
        at = float(drawn.random()) * 1.1 * took
        time.sleep(at)
        process.kill()
        process.communicate()
        met += process.returncode == -signal.SIGKILL
        for name, content in files_in(folder).items():
            placed = ASIDE.sub("", name)
            assert same(content, files.get(placed, b"")), f"{words} after {at:.4f} s: {name}"
    assert met > 0.6 * cases


def same(one: bytes, other: bytes) -> bool:
    """Of pictures: as long, within what a date and names by chance take."""
    return one == other or (other[:5] in {b"<?xml", b"\x89PNG\r"} and len(one) == len(other))


def test_an_ignored_interrupt_stays_ignored(scratch: Scratch) -> None:
    """A script that starts it with & has it ignored, and Ctrl-C is meant for others then."""
    folder = scratch()
    code = "import os, signal, sys; signal.signal(signal.SIGINT, signal.SIG_IGN); os.execv(sys.argv[1], sys.argv[1:])"
    command = [sys.executable, "-c", code, PROGRAM, "plan", *MORNING]
    process = subprocess.Popen(command, cwd=folder, stdout=subprocess.PIPE)
    time.sleep(0.15)
    process.send_signal(signal.SIGINT)
    out, _ = process.communicate(timeout=60)
    assert process.returncode == 0
    assert b"STEPS" in out


def test_importing_the_package_leaves_the_handler_alone() -> None:
    code = "import signal, shimwise, shimwise.cli; assert signal.getsignal(2) is signal.default_int_handler"
    subprocess.run([sys.executable, "-c", code], check=True)
