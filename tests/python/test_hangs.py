"""What once hung: every command ends within seconds of processor time, whatever it is given."""

from __future__ import annotations

import os
import resource
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

import shimwise as sw

MOST_CPU_S = 5

Answer = subprocess.CompletedProcess[str]
Run = Callable[..., Answer]


@pytest.fixture
def run(tmp_path: Path) -> Run:
    """The command line in a folder with the demo car's files; the kernel ends it after 5 s of processor time."""
    for file in sw.demo_files():
        (tmp_path / file.name).write_bytes(file.read_bytes())

    def limited(*words: str, code: int = 0) -> Answer:
        done = subprocess.run(
            [sys.executable, "-m", "shimwise.cli", *words],
            cwd=tmp_path,
            env=os.environ | {"COLUMNS": "80"},
            capture_output=True,
            text=True,
            check=False,
            preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_CPU, (MOST_CPU_S, MOST_CPU_S)),
        )
        assert done.returncode == code, f"{done.returncode}: {done.stdout[-400:]}{done.stderr[-400:]}"
        assert "Traceback" not in done.stderr
        return done

    return limited


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def plan(run: Run, code: int = 0) -> str:
    done = run("plan", "wren.toml", "wren_readings.toml", "wren_targets.toml", code=code)
    return " ".join(done.stdout.split())


def test_a_caster_that_no_setting_reaches(tmp_path: Path, run: Run) -> None:
    edit(tmp_path / "wren_targets.toml", "caster = { least_deg = 4.0 }", "caster = { least_deg = 8.0 }")
    assert "Cannot be met: front_left: caster of at least +8.000 deg cannot be met" in plan(run, code=1)


def test_twelve_adjusters_of_toe(tmp_path: Path, run: Run) -> None:
    car = tmp_path / "wren.toml"
    text = car.read_text(encoding="utf-8")
    start = text.index("[[front_left.adjuster]]")
    rod = text[start : text.index("[[front_left.adjuster]]", start + 1)]
    more = "".join(rod.replace('"track rod"', f'"track rod {i}"') for i in range(11))
    car.write_text(text[:start] + more + text[start:], encoding="utf-8")
    said = plan(run)
    assert "front left: more than 10^15 settings, searched on the linear model" in said
    assert "not proven: the search ended at its limit" in said


def test_boxes_of_sixty_measured_shims(tmp_path: Path, run: Run) -> None:
    shims = [(0.1, 0.2, 0.5, 1.0)[i % 4] + 0.001 * (i * 7 % 41 - 20) for i in range(60)]
    nominal = "[0.1, 0.1, 0.2, 0.2, 0.5, 0.5, 1.0, 1.0, 2.0]"
    edit(tmp_path / "wren.toml", nominal, "[" + ", ".join(f"{shim:.3f}" for shim in shims) + "]")
    assert "inside every tolerance" in plan(run)
