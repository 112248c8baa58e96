"""The table of docs/measuring.md is what the library says; so are the effects named under it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import shimwise as sw

PAGE = (Path(__file__).resolve().parents[2] / "docs/measuring.md").read_text()
COLUMNS = [
    ("track rod, 1 turn", "toe_deg"),
    ("camber shim, 1 mm", "toe_deg"),
    ("camber shim, 1 mm", "camber_deg"),
    ("bump", "toe_deg"),
    ("bump", "camber_deg"),
]


def test_the_table_is_the_librarys_own(car: sw.Car) -> None:
    worst = sw.point_errors(car, "front_left").abs().groupby("point", sort=False).max() * 1000
    rows = dict(re.findall(r"^\| `([\w.]+)` \|(.+)\|$", PAGE, re.MULTILINE))
    for point, row in worst[COLUMNS].iterrows():
        if row.max() < 0.05:
            assert point not in rows
            continue
        printed = [float(cell) for cell in rows.pop(point).split("|")]
        assert printed == pytest.approx(row.to_list(), abs=0.051), point
    assert not rows


def test_the_effects_beside_it_are_too(car: sw.Car) -> None:
    effects = car.front_left.effects()
    bump = car.front_left.alignment(travel_mm=[0.0, 20.0]).camber_deg.values
    for value in (
        effects.loc[("track rod", "turn"), "toe_deg"],
        effects.loc[("camber shim", "mm"), "toe_deg"],
        effects.loc[("camber shim", "mm"), "camber_deg"],
        bump[1] - bump[0],
    ):
        assert f" {abs(value):.3f} " in PAGE.replace("\n", " ")


def test_an_error_is_half_the_difference_of_both_ways(car: sw.Car) -> None:
    errors = sw.point_errors(car, "front_left", error_mm=0.5)
    toe = []
    for mm in (0.5, -0.5):
        moved = car.with_points({"front_left.track_rod.outer": (0.0, 0.0, mm)}, moved="drawn")
        toe.append(moved.front_left.effects().loc[("camber shim", "mm"), "toe_deg"])
    expected = (toe[0] - toe[1]) / 2
    assert errors.loc[("track_rod.outer", "z"), ("camber shim, 1 mm", "toe_deg")] == pytest.approx(expected, rel=1e-9)
    with pytest.raises(sw.InputError, match="corner = 'front': needs one of"):
        sw.point_errors(car, "front")
