"""Numbers and texts of a picture: none covers another, and each joint has one in every view and in the key."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import matplotlib as mpl
import numpy as np
from figures import (
    CORNERS,
    VIEWS,
    check_labels,
    keys,
    path,
    view,
)
from matplotlib.figure import Figure

import shimwise as sw
from random_corners import random_car


def test_no_label_covers_another_and_none_leaves_the_page(car: sw.Car, sheet: Figure) -> None:
    check_labels(sheet)
    check_labels(sw.plots.geometry(car, "rear_right"))


def test_labels_of_random_cars_do_not_collide(tmp_path: Path, size: Callable[[int, int], int]) -> None:
    for index in range(size(1, 20)):
        text, _ = random_car("test_plots", index)
        file = tmp_path / f"{index}.toml"
        file.write_text(text, encoding="utf-8")
        check_labels(sw.plots.geometry(sw.load_car(file)))


def test_every_joint_has_a_number_in_every_view_and_a_line_in_the_key(car: sw.Car, sheet: Figure) -> None:
    numbers = keys(sheet)
    assert len(set(numbers.values())) == len(numbers)
    for corner in CORNERS:
        points = {str(name) for name in car.corners[corner].joints()} | {"contact", "bar.bearing", "bar.arm"}
        for name in VIEWS:
            ax = view(sheet, corner, name)
            written = {text.get_gid(): text.get_text() for text in ax.texts}
            assert written == {point: numbers[point] for point in points}
            leaders = path(ax, "leaders").reshape(-1, 3, 2)
            balloons = path(ax, "balloons")
            np.testing.assert_array_equal(leaders[:, 1], balloons)
            for text, leader in zip(ax.texts, leaders, strict=True):
                np.testing.assert_allclose(leader[0], path(ax, str(text.get_gid()))[0], rtol=0.0, atol=1e-9)
                np.testing.assert_array_equal(leader[1], text.get_position())
        key = next(text for text in sheet.texts if text.get_gid() == f"key {corner}").get_text()
        for point, place in car.corners[corner].joints().items():
            row = next(row.split() for row in key.splitlines() if f" {point} " in row)
            assert row[2:] == [f"{v + 0.0:.1f}" for v in place.values]


def test_rc_settings_do_not_matter_to_the_places_of_balloons(car: sw.Car, sheet: Figure) -> None:
    with mpl.rc_context({"font.size": 20.0}):
        again = sw.plots.geometry(car)
    for one, other in zip(sheet.axes, again.axes, strict=True):
        np.testing.assert_array_equal(path(one, "balloons"), path(other, "balloons"))
