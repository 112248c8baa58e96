"""The car at rest with its wheels steered, against the independent oracle."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from rest_comparison import agree

import shimwise as sw
from car_table import Table, read_car
from random_cars import PADS_MM, random_car
from random_corners import RACK_MM
from rest import rest as oracle_rest
from rest_outputs import RestCorner


def test_the_demo_car(car: sw.Car) -> None:
    table = read_car(sw.demo_files().car)
    for rack_mm in (-32.0, 7.5, 32.0):
        theirs = oracle_rest(table, PADS_MM, ballast_kg={"fuel": 30.0}, rack_mm=rack_mm)
        agree(car.at_rest(pads_mm=PADS_MM, ballast_kg={"fuel": 30.0}, rack_mm=rack_mm), theirs)


def test_random_cars(size: Callable[[int, int], int], tmp_path: Path) -> None:
    for number in range(size(4, 20)):
        car, table = drawn(number, tmp_path)
        rack_mm = float(np.random.default_rng([*b"rack", number]).uniform(-RACK_MM, RACK_MM))
        print(number, rack_mm)
        agree(car.at_rest(rack_mm=rack_mm), oracle_rest(table, rack_mm=rack_mm))
        agree(car.at_rest(pads_mm=PADS_MM, rack_mm=-rack_mm), oracle_rest(table, PADS_MM, rack_mm=-rack_mm))


def test_the_racks_row(size: Callable[[int, int], int], tmp_path: Path) -> None:
    """By differences of the oracle's cars, steered by two and four hundredths of a mm."""
    for number in range(size(2, 20)):
        car, table = drawn(number, tmp_path)
        row, h = car.effects("rest").loc[("rack", "mm")], 0.02
        low2, low, high, high2 = (oracle_rest(table, rack_mm=k * h) for k in (-2, -1, 1, 2))
        for corner in low.corner:
            for key, bound in (
                ("weight_kg", 1e-5),
                ("spring_length_mm", 1e-6),
                ("toe_deg", 1e-7),
                ("camber_deg", 1e-7),
            ):
                a, b, c, d = (value(at.corner[corner], key) for at in (low2, low, high, high2))
                slope = (8.0 * (c - b) - (d - a)) / (12.0 * h)
                assert row[f"{corner}.{key}"] == pytest.approx(slope, abs=bound), (number, corner, key)


def value(corner: RestCorner, key: str) -> float:
    return corner.ground[key] if key in corner.ground else float(getattr(corner, key))


def drawn(number: int, folder: Path) -> tuple[sw.Car, Table]:
    path = folder / f"car{number}.toml"
    path.write_text(random_car(number))
    return sw.load_car(path), tomllib.loads(path.read_text())
