"""Cars weighed on four scales and changed since, against the independent oracle: what is turned moves the weights."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from rest_comparison import agree

import shimwise as sw
from car_table import Table
from random_cars import car_text, changed_since, weighed_car
from rest_outputs import outputs_of

Written = Callable[[int], tuple[sw.Car, Table, Table, dict[str, Any]]]


@pytest.fixture
def written(tmp_path: Path) -> Written:
    """The car of a file and what `weighed_car` gives."""

    def write(number: int) -> tuple[sw.Car, Table, Table, dict[str, Any]]:
        weighed, other_bars, settings = weighed_car(number)
        path = tmp_path / f"car{number}.toml"
        path.write_text(car_text(weighed))
        return sw.load_car(path), weighed, other_bars, settings

    return write


def settings_file(car: sw.Car, settings: dict[str, Any]) -> Path:
    """Beside the car's own."""
    turns = [f'"{key}" = {value}' for key, value in settings.items() if not isinstance(value, list)]
    shims = [f'"{key}" = {value}' for key, value in settings.items() if isinstance(value, list)]
    path = Path(car.file).with_suffix(".settings.toml")
    head = ['format = "shimwise-settings/1"', f'car = "{car.name}"']
    path.write_text("\n".join([*head, "[turns]", *turns, "[shims_mm]", *shims, ""]))
    return path


def test_settings_that_were_not_weighed_move_the_weights(size: Callable[[int, int], int], written: Written) -> None:
    for number in range(size(5, 50)):
        car, weighed, _, settings = written(number)
        model, found = changed_since(weighed, weighed, settings)
        theirs = outputs_of(model, found.state, found.load_N(), found.pull_N)
        by_call = car.at_rest(settings=settings)
        agree(by_call, theirs)
        by_file = car.at_rest(settings=settings_file(car, settings))
        assert by_file.values == by_call.values, number
        assert car.with_settings(settings).at_rest().values == by_call.values, number
        assert by_call.values != car.at_rest().values, number


def test_ballast_that_was_not_weighed_comes_on_top(size: Callable[[int, int], int], written: Written) -> None:
    for number in range(size(2, 50)):
        car, weighed, _, settings = written(number)
        ballast_kg = {item["name"]: item["now_kg"] + 4.0 for item in weighed.get("ballast", [])}
        model, found = changed_since(weighed, weighed, settings, ballast_kg)
        theirs = outputs_of(model, found.state, found.load_N(), found.pull_N)
        agree(car.at_rest(settings=settings, ballast_kg=ballast_kg), theirs)


def test_settings_of_the_file_named_again_change_no_bit(size: Callable[[int, int], int], written: Written) -> None:
    for number in range(size(2, 20)):
        car, _, _, _ = written(number)
        level = car.at_rest().values
        assert car.at_rest(settings=car.settings).values == level, number
        there = car.with_settings({"front_left.track rod": "+2 flats"})
        back = there.with_settings(car.settings)
        assert back.at_rest().values == level, number


def test_points_that_were_elsewhere_all_along_are_weighed_again(written: Written) -> None:
    car, weighed, _, _ = written(3)
    assert "rests_as_drawn" in str(weighed)
    read = weighed["mass"]["scales_kg"]
    scale = weighed["mass"]["total_kg"] / sum(read.values())
    for moved in ("drawn", "built"):
        level = car.with_points({"front_left.lower_wishbone.outer": (0.0, 1.0, 0.5)}, moved=moved).at_rest()
        assert level.value("front_left.toe_deg") != car.at_rest().value("front_left.toe_deg")
        for corner, kg in level.weights_kg.items():
            assert kg == pytest.approx(read[corner] * scale, abs=1e-7), (moved, corner)
