"""Shares of the variance: of a nearly linear output those of the effect table, and what is refused.

Ishigami's function, whose shares are known in closed form, is in tests/published/sobol_test.cpp.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
import xarray as xr

import shimwise as sw

Size = Callable[[int, int], int]

ROD, SHIM, PUSHROD = "front_left.track rod", "front_left.camber shim", "front_left.pushrod"
SPREAD = {ROD: 0.02, SHIM: 0.2, PUSHROD: 0.1}


def test_of_a_nearly_linear_output_the_shares_are_those_of_the_effect_table(car: sw.Car, size: Size) -> None:
    """Of independent inputs, even within their ends, a linear output has the variances (slope * half range)^2 / 3."""
    rows = size(3000, 100_000)
    found = sw.sensitivity(
        car,
        {key: sw.Between(-by, by) for key, by in SPREAD.items()},
        outputs=["front_left.toe", "front_left.camber"],
        change=True,
        sample=rows,
        seed=4,
    )
    table = car.front_left.effects()
    for column in ("toe_deg", "camber_deg"):
        slopes = [
            table.loc[(key.partition(".")[2], "mm" if key == SHIM else "turn"), column] * by
            for key, by in SPREAD.items()
        ]
        shares = np.square(slopes) / np.sum(np.square(slopes))
        ours = found.sel(output=f"front_left.{column}")
        assert list(ours.input.values) == list(SPREAD)
        for kind in ("first_order", "total"):
            assert (np.abs(ours[kind].values - shares) <= 5.0 * ours[f"{kind}_u"].values + 2e-3).all(), (column, kind)
        deviation = float(np.sqrt(np.sum(np.square(slopes)) / 3.0))
        assert abs(float(ours.deviation) / deviation - 1.0) < 5.0 / np.sqrt(rows) + 2e-3
    assert (found.rows == rows).all()
    assert found.attrs["sample"] == rows
    assert list(found.units.values) == ["deg", "deg"]


def test_the_same_with_any_threads_and_another_seed_differs(car: sw.Car) -> None:
    def shares(**how: Any) -> xr.Dataset:
        inputs = {"front_left.pushrod": sw.Between(-0.5, 0.5), "pad.rear_left": sw.Between(-1.0, 1.0)}
        return sw.sensitivity(car, inputs, outputs="cross_weight", hold="rest", change=True, sample=60, **how)

    xr.testing.assert_identical(shares(threads=1), shares(threads=3))
    assert (shares().total.values != shares(seed=1).total.values).all()


def test_points_as_built_and_rows_past_reach(car: sw.Car) -> None:
    within = sw.points_within(car, 0.5, ["front_left.track_rod.inner", "front_left.wheel.centre"])
    found = sw.sensitivity(
        car, within | {"travel_mm": 20.0}, outputs="front_left.bump_steer", moved="built", change=True, sample=300
    ).isel(output=0)
    most = str(found.input.values[int(np.argmax(found.total.values))])
    assert most == "front_left.track_rod.inner.z"  # what bump steer is set with
    assert (found.rows == 300).all()
    beyond = sw.sensitivity(
        car, {"travel_mm": sw.Between(0.0, 300.0), ROD: sw.Between(-0.5, 0.5)}, outputs="front_left.toe", sample=200
    )
    assert (beyond.rows < 200).all()
    assert np.isfinite(beyond.total).all()
    nothing = sw.sensitivity(car, {ROD: sw.Between(-0.5, 0.5)}, outputs="rear_left.toe", sample=20)
    assert np.isnan(nothing.first_order).all()


def test_progress_counts_all_samples(car: sw.Car) -> None:
    heard: list[tuple[int, int]] = []
    inputs = {ROD: sw.Between(-0.5, 0.5), PUSHROD: sw.Between(-0.5, 0.5)}
    sw.sensitivity(car, inputs, outputs="front_left.toe", sample=50, progress=lambda *done: heard.append(done))
    assert heard == sorted(heard)
    assert heard[-1] == (200, 200)


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"inputs": {ROD: 0.5}}, "inputs: needs some that are drawn, such as Between(-0.5, 0.5)"),
        (
            {"inputs": {ROD: sw.Between(0, 1), SHIM: [2.0, 2.5]}},
            f"{SHIM}: needs Between(low, high), or one value for all states",
        ),
        (
            {"inputs": {ROD: sw.Between(0, 1), SHIM: sw.Among([[2.0], [2.5]])}},
            f"{SHIM}: needs Between(low, high), or one value for all states",
        ),
        ({"inputs": None}, "inputs = None: needs a dictionary from names to values"),
        ({"sample": None}, "sample = None: needs the number of rows"),
        ({"sample": 1.5}, "sample = 1.5: needs a whole number from 1 to 1,000,000,000"),
        ({"outputs": "front_left.tow"}, "outputs = 'front_left.tow': is not known"),
    ],
)
def test_what_has_no_shares_is_refused(car: sw.Car, asked: dict[str, Any], sentence: str) -> None:
    how: dict[str, Any] = {"inputs": {ROD: sw.Between(0, 1)}, "outputs": "front_left.toe", "sample": 10} | asked
    with pytest.raises(sw.InputError) as error:
        sw.sensitivity(car, how.pop("inputs"), **how)
    assert str(error.value).startswith(sentence)
