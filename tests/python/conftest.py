"""The demo car and its morning, read once."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

import shimwise as sw

if TYPE_CHECKING:
    from matplotlib.figure import Figure


@pytest.fixture(scope="session")
def car() -> sw.Car:
    return sw.demo_car()


@pytest.fixture(scope="session")
def plan(car: sw.Car) -> sw.Plan:
    files = sw.demo_files()
    return sw.plan(car, sw.load_readings(files.readings, car).reduce(), sw.load_targets(files.targets, car))


@pytest.fixture(scope="session")
def sheet(car: sw.Car) -> Figure:
    """The picture of the demo car's corners."""
    return sw.plots.geometry(car)


@pytest.fixture
def edited(tmp_path: Path) -> Callable[..., sw.Car]:
    """The demo car with pieces of its file replaced: edited((old, new), ...)."""

    def load(*pieces: tuple[str, str]) -> sw.Car:
        text = sw.demo_files().car.read_text(encoding="utf-8")
        for old, new in pieces:
            assert old in text
            text = text.replace(old, new)
        path = tmp_path / "edited.toml"
        path.write_text(text, encoding="utf-8")
        return sw.load_car(path)

    return load


@pytest.fixture
def shimwise(tmp_path: Path) -> Callable[..., subprocess.CompletedProcess[str]]:
    """The command line in a folder of its own: shimwise(*words, code=0)."""

    def run(*words: str, code: int = 0) -> subprocess.CompletedProcess[str]:
        done = subprocess.run(
            [sys.executable, "-m", "shimwise.cli", *words],
            cwd=tmp_path,
            env=os.environ | {"COLUMNS": "80"},
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == code, done.stdout + done.stderr
        assert "Traceback" not in done.stdout + done.stderr
        return done

    return run


@pytest.fixture
def run(
    shimwise: Callable[..., subprocess.CompletedProcess[str]], tmp_path: Path
) -> Callable[..., subprocess.CompletedProcess[str]]:
    """The command line beside the demo car's files."""
    for file in sw.demo_files():
        shutil.copy(file, tmp_path / file.name)
    return shimwise
