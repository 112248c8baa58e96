"""What one step, flat or turn of an effect table is."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

import shimwise as sw

Run = Callable[..., subprocess.CompletedProcess[str]]
HOLDS = (["--hold", "contact"], ["--hold", "rest"])
FRONT_LEFT = ["effects", "wren.toml", "--corner", "front_left"]


@pytest.fixture
def run(shimwise: Run, tmp_path: Path) -> Run:
    """The command line beside the demo car's file."""
    shutil.copy(sw.demo_files().car, tmp_path / "wren.toml")
    return shimwise


def one_line(told: str) -> str:
    return " ".join(told.split())


@pytest.mark.parametrize("hold", HOLDS)
def test_a_table_per_step_says_what_a_step_of_each_adjuster_is(run: Run, hold: list[str]) -> None:
    told = run(*FRONT_LEFT, *hold).stdout
    assert max(map(len, told.splitlines())) <= 80
    assert (
        "One step is 1/4 flat of track rod, pushrod; 1/12 turn of spring platform; 1 half turn of upper front leg, "
        "upper rear leg; 1 flat of drop link; of camber shim the next pack that the shims at hand make."
        in one_line(told)
    )


@pytest.mark.parametrize("hold", HOLDS)
def test_a_table_per_flat_is_a_sixth_of_a_turn_and_says_what_does_not_turn(run: Run, hold: list[str]) -> None:
    told = run(*FRONT_LEFT, *hold, "--per", "flat").stdout
    assert told.startswith("front left: effect of one flat (1/6 turn), ")
    assert max(map(len, told.splitlines())) <= 80
    assert "Not turned: camber shim; --per step or mm has it." in told
    assert "camber shim" not in told[: told.index("Not turned")]
    assert "Not turned" not in run(*FRONT_LEFT, *hold, "--per", "mm").stdout


def test_rows_per_flat_are_a_sixth_of_those_per_turn(run: Run, car: sw.Car) -> None:
    content = json.loads(run(*FRONT_LEFT, "--json").stdout)
    rows = {(row["adjuster"], row["per"]): row for row in content["corners"]["front_left"]["rows"]}
    flats = [adjuster for adjuster, per in rows if per == "flat"]
    assert len(flats) == 6
    for adjuster in flats:
        for name in ("amount_mm", "toe_deg", "spring_length_mm"):
            assert 6 * rows[adjuster, "flat"][name] == pytest.approx(rows[adjuster, "turn"][name], abs=1e-12)
    for hold in ("contact", "rest"):
        frame = car.effects(hold)
        flat, turn = (frame.xs(per, level="per") for per in ("flat", "turn"))
        assert (6 * flat - turn).abs().max().max() < 1e-12


def test_check_says_what_one_step_is(run: Run) -> None:
    lines = json.loads(run("check", "wren.toml", "--json").stdout)["one_step"]
    for said in (
        "front_left.track rod, one step (1/4 flat) longer: toe -0.061 deg",
        "front_left.spring platform, one step (1/12 turn) toward the spring: nothing",
        "front_left.upper front leg, one step (1 half turn) longer: toe +0.021 deg",
        "front_left.drop link, one step (1 flat) longer: nothing",
        "front_left.camber shim, 1 mm thicker: toe +0.105 deg",
    ):
        assert any(line.startswith(said) for line in lines), said
