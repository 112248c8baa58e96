"""The demo car and its morning, read once."""

from __future__ import annotations

import pytest

import shimwise as sw


@pytest.fixture(scope="session")
def car() -> sw.Car:
    return sw.demo_car()


@pytest.fixture(scope="session")
def plan(car: sw.Car) -> sw.Plan:
    files = sw.demo_files()
    return sw.plan(car, sw.load_readings(files.readings, car).reduce(), sw.load_targets(files.targets, car))
