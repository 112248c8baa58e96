"""Random corners and cars, drawn once."""

from __future__ import annotations

import sys
import tomllib
from collections import Counter
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from corner import Corner
from drawn_corner import build
from ideal_car import FIRST
from random_cars import PADS_MM, random_car
from random_corners import RandomCorner, random_corner
from rest import found_rest

CASES = range(6)


@pytest.fixture(scope="session")
def drawn_by_lot() -> list[tuple[RandomCorner, Corner]]:
    cases = [random_corner("test_oracle", i, ("front", "rear")[i % 2]) for i in CASES]
    bodies = Counter(str(case.left.get("pushrod", case.left["spring"])["outer_on"]) for case in cases)
    print("carriers:", dict(bodies), "seeds:", [case.seed[-1] for case in cases])
    return [(case, build(case)) for case in cases]


@pytest.fixture(scope="session")
def cars():
    return {number: tomllib.loads(random_car(number)) for number in FIRST}


@pytest.fixture(scope="session")
def rested(cars):
    """Model and state of each on uneven pads."""
    return {number: found_rest(car, PADS_MM) for number, car in cars.items()}
