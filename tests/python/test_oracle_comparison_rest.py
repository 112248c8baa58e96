"""The car at rest against an independent oracle: SciPy's minimum of the potential energy over the chassis' pose.

The oracle (tests/oracle/rest.py) reads the same files and shares no code with the library.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest
from rest_comparison import agree

import shimwise as sw

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "oracle"))

from car_table import read_car
from random_cars import PADS_MM, random_car
from rest import rest as oracle_rest

CARS = {"short": 6, "full": 50}[os.environ.get("SHIMWISE_SIZE", "short")]
UNEVEN_MM = {"front_left": 1.5, "front_right": -0.5, "rear_left": 0.0, "rear_right": 2.0}


def compare(path: Path, pads_mm: dict[str, float], ballast_kg: dict[str, float] | None = None) -> None:
    ours = sw.load_car(path).at_rest(pads_mm=pads_mm, ballast_kg=ballast_kg)
    agree(ours, oracle_rest(read_car(path), pads_mm, ballast_kg=ballast_kg))


@pytest.mark.parametrize("pads_mm", [{}, UNEVEN_MM], ids=["level", "uneven"])
def test_demo_car(pads_mm: dict[str, float]) -> None:
    compare(sw.demo_files().car, pads_mm, {"fuel": 30.0})


@pytest.mark.parametrize("seed", range(CARS))
def test_random_cars(seed: int, tmp_path: Path) -> None:
    car = tmp_path / "car.toml"
    car.write_text(random_car(seed))
    compare(car, {})
    compare(car, PADS_MM)
