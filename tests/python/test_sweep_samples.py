"""Sweeps of what is drawn: between two ends, among options, shims of shared boxes, columns made of columns."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
import xarray as xr

import shimwise as sw
from shimwise import _core

Size = Callable[[int, int], int]

ROD, SHIM, INNER = "front_left.track rod", "front_left.camber shim", "front_left.track_rod.inner.z"
TOE = "front_left.toe_deg"


def test_a_sample_over_a_grid_has_both_dimensions(car: sw.Car) -> None:
    found = sw.sweep(
        car,
        {**sw.points_within(car, 0.5, ["front_left.track_rod.inner"]), "travel_mm": [-10.0, 0.0, 10.0]},
        outputs="front_left.toe",
        moved="built",
        change=True,
        sample=20,
        seed=3,
    )
    assert found[TOE].sizes == {"sample": 20, "travel_mm": 3}
    drawn = found[INNER]
    assert drawn.dims == ("sample",)
    for i in (0, 7, 19):
        by = tuple(float(found[f"front_left.track_rod.inner.{axis}"][i]) for axis in "xyz")
        curves = car.with_points({"front_left.track_rod.inner": by}, moved="built").front_left.alignment(
            travel_mm=[-10.0, 0.0, 10.0]
        )
        np.testing.assert_allclose(found[TOE].values[i], curves.toe_deg.values, rtol=0, atol=1e-9)


@pytest.mark.parametrize("count", [1, 7, 100])
def test_of_a_latin_hypercube_one_is_in_each_row(car: sw.Car, count: int) -> None:
    found = sw.sweep(
        car,
        {ROD: sw.Between(-1.0, 1.0), "front_left.pushrod": sw.Between(0.0, 0.5)},
        outputs="front_left.toe",
        sample=count,
    )
    for key, low, high in ((ROD, -1.0, 1.0), ("front_left.pushrod", 0.0, 0.5)):
        rows = np.floor((found[key].values - low) / (high - low) * count).astype(int)
        assert sorted(rows) == list(range(count))
    assert count < 7 or (np.argsort(found[ROD]) != np.argsort(found["front_left.pushrod"])).any()


def test_draws_follow_from_seed_count_and_name_alone(car: sw.Car) -> None:
    def drawn(inputs: dict[str, Any], **how: Any) -> xr.Dataset:
        return sw.sweep(car, inputs, outputs="front_left.toe", **({"sample": 16, "by": "random"} | how))

    rod = {ROD: sw.Between(-1.0, 1.0)}
    one = drawn(rod)
    xr.testing.assert_identical(one, drawn(rod, threads=1))
    more = drawn({"front_left.pushrod": sw.Between(-1.0, 1.0), **rod})
    np.testing.assert_array_equal(one[ROD].values, more[ROD].values)
    assert (more["front_left.pushrod"].values != more[ROD].values).all()
    assert (one[ROD].values != drawn(rod, seed=1)[ROD].values).all()
    np.testing.assert_array_equal(one[ROD].values[:4], drawn(rod, sample=4)[ROD].values)
    assert (drawn(rod, by="latin_hypercube")[ROD].values != one[ROD].values).all()


def test_options_are_drawn_as_often_as_each_other(car: sw.Car) -> None:
    packs = [[2.0], [2.0, 0.5], [2.0, 1.0]]
    found = sw.sweep(
        car,
        {SHIM: sw.Among(packs), ROD: sw.Among(["=1 flat", "=2 flats"]), "rack_mm": sw.Among([0.0, 2.0])},
        outputs="front_left.camber",
        sample=24,
    )
    assert Counter(found[SHIM].values.tolist()) == {2.0: 8, 2.5: 8, 3.0: 8}
    assert Counter(found[f"{ROD} as written"].values.tolist()) == {"=1 flat": 12, "=2 flats": 12}
    assert Counter(found["rack_mm"].values.tolist()) == {0.0: 12, 2.0: 12}
    for i in range(24):
        one = sw.sweep(car, {key: float(found[key][i]) for key in (SHIM, ROD, "rack_mm")}, outputs="front_left.camber")
        assert float(one["front_left.camber_deg"]) == float(found["front_left.camber_deg"][i])


def test_points_within_are_all_coordinates_of_all_points(car: sw.Car) -> None:
    every = sw.points_within(car, 0.5)
    points = [f"{name}.{point}" for name, corner in car.corners.items() for point in corner.point_names]
    assert list(every) == [f"{point}.{axis}" for point in points for axis in "xyz"]
    assert {(one.low, one.high) for one in every.values()} == {(-0.5, 0.5)}
    few = dict(list(every.items())[:3])
    how: dict[str, Any] = {"outputs": "front_left.toe", "moved": "built", "sample": 20}
    xr.testing.assert_identical(sw.sweep(car, few, **how), sw.sweep(car, few, change=True, **how))
    left = sw.points_within(car, 0.5, "front_left")
    assert list(left) == [key for key in every if key.startswith("front_left.")]
    found = sw.sweep(car, every, outputs=["front_left.toe"], moved="built", change=True, sample=50, hold="rest")
    assert not found.status.any()
    assert float(found[TOE].std()) > 0.01


def pool_of(car: sw.Car, keys: list[str], boxes: list[list[float]]) -> list[Counter[float]]:
    """All shims that packs sharing a box may take from: the box, and what is fitted in them."""
    fitted = [Counter(car.adjuster(key).setting.fitted_mm) for key in keys]
    return [sum(fitted, Counter(box)) for box in boxes]


def both_made(pool: Counter[float], one_mm: float, other_mm: float) -> bool:
    """Whether the shims of a pool make two packs so thick at the same time, by trying every share of them."""

    def tenths(mm: float) -> int:
        return round(10.0 * mm)

    pairs = {(0, 0)}
    for mm in map(tenths, pool.elements()):
        pairs |= {(a + mm, b) for a, b in pairs} | {(a, b + mm) for a, b in pairs}
    return (tenths(one_mm), tenths(other_mm)) in pairs


def test_packs_that_a_shared_box_does_not_hold_together_are_masked(car: sw.Car) -> None:
    """Counted anew, shim by shim and over all ways to make both as thick: the demo car's axle shares one box."""
    keys = [SHIM, "front_right.camber shim"]
    (pool,) = pool_of(car, keys, [[0.1, 0.1, 0.2, 0.2, 0.5, 0.5, 1.0, 1.0, 2.0]])
    packs = [[2.0], [2.0, 1.0], [2.0, 1.0, 1.0], [2.0, 2.0], [0.5, 0.5, 2.0], [2.0, 0.1, 0.1, 0.2], [3.3, 2.0], [2.2]]
    found = sw.sweep(car, dict.fromkeys(keys, packs), outputs="front_left.camber", at_hand=True)
    meanings = found.status.attrs["flag_meanings"].split()
    masked = otherwise = 0
    for i, j in itertools.product(range(len(packs)), repeat=2):
        missing = Counter(packs[i]) + Counter(packs[j]) - pool
        amount = sum(mm * count for mm, count in missing.items())
        made = both_made(pool, sum(packs[i]), sum(packs[j]))
        assert made or missing
        code = int(found.status[i, j])
        assert meanings[code] == ("reached" if made else "shims_not_at_hand"), (packs[i], packs[j])
        assert abs(float(found.short_by_mm[i, j]) - (0.0 if made else amount)) < 1e-12
        assert np.isnan(found["front_left.camber_deg"].values[i, j]) != made
        masked += not made
        otherwise += made and bool(missing)
    assert 0 < masked < len(packs) ** 2
    assert otherwise > 0
    assert not sw.sweep(car, dict.fromkeys(keys, packs), outputs="front_left.camber").status.any()


def test_packs_are_masked_in_samples_too(car: sw.Car) -> None:
    packs = [[2.0, 1.0, 1.0], [2.0, 2.0, 0.5], [2.0]]
    keys = [SHIM, "front_right.camber shim"]
    grid = sw.sweep(car, dict.fromkeys(keys, packs), outputs="front_left.camber", at_hand=True)
    found = sw.sweep(
        car,
        {key: sw.Among(packs) for key in keys} | {"travel_mm": [0.0, 5.0]},
        outputs="front_left.camber",
        at_hand=True,
        sample=60,
    )
    assert found.status.sizes == {"sample": 60, "travel_mm": 2}
    totals = [sum(pack) for pack in packs]
    seen = set()
    for i in range(60):
        places = tuple(totals.index(float(found[key][i])) for key in keys)
        seen.add(places)
        assert (found.status.values[i] == int(grid.status[places])).all()
    assert len(seen) == 9


def test_shim_options_are_the_packs_of_a_stack_and_its_box(car: sw.Car) -> None:
    """Every total counted anew, as sums of subsets."""
    options = sw.shim_options(car, SHIM)
    shims = [*car.adjuster(SHIM).setting.fitted_mm, 0.1, 0.1, 0.2, 0.2, 0.5, 0.5, 1.0, 1.0, 2.0]
    limits = (0.0, 99.0)
    sums = {round(sum(some), 9) for count in range(len(shims) + 1) for some in itertools.combinations(shims, count)}
    inside = sorted(one for one in sums if limits[0] <= one <= limits[1])
    totals = [round(sum(pack), 9) for pack in options]
    assert totals == [one for one in inside if totals[0] <= one <= totals[-1]]
    assert all(not Counter(pack) - Counter(shims) for pack in options)
    found = sw.sweep(car, {SHIM: options}, outputs="front_left.camber", at_hand=True)
    assert not found.status.any()


def test_columns_made_of_columns(car: sw.Car) -> None:
    found = sw.sweep(
        car,
        {ROD: [0.0, 0.5], "travel_mm": [-5.0, 5.0]},
        outputs=["front_left.toe", "front_right.toe"],
        derive={
            "total_toe_deg": lambda d: d[TOE] + d["front_right.toe_deg"],
            "half_deg": lambda d: d["total_toe_deg"] / 2,
        },
    )
    np.testing.assert_array_equal(found["half_deg"].values, (found[TOE] + found["front_right.toe_deg"]).values / 2)
    assert found["half_deg"].dims == (ROD, "travel_mm")


BROKEN: list[tuple[dict[str, Any], str]] = [
    ({}, f"{ROD} = Between(-1.0, 1.0): needs sample=, the number of draws"),
    ({"inputs": {SHIM: sw.Among([[2.0]])}}, f"{SHIM} = Among([[2.0]]): needs sample=, the number of draws"),
    ({"sample": 0}, "sample = 0: needs a whole number from 1 to 1,000,000,000"),
    ({"sample": True}, "sample = True: needs a whole number from 1 to 1,000,000,000"),
    ({"sample": 5, "seed": -1}, "seed = -1: needs a whole number from 0 to 9,223,372,036,854,775,807"),
    ({"sample": 5, "by": "sobol"}, "by = 'sobol': needs one of latin_hypercube, random"),
    ({"sample": 5, "inputs": {ROD: sw.Between(-99.0, 99.0)}}, f"{ROD} = -99: "),
    ({"sample": 5, "inputs": {ROD: sw.Among(["+2 flits"])}}, f"{ROD} = '+2 flits': needs a number with turns"),
    (
        {"sample": 5, "inputs": {ROD: sw.Between(0, 1), SHIM: xr.DataArray([2.0, 2.5], dims="sample")}},
        f"{SHIM}: has 2 values along 'sample', and {ROD} has 5",
    ),
    ({"inputs": {SHIM: [2.0, 2.5]}, "at_hand": True}, f"{SHIM}: at_hand needs its packs by their shims, such as "),
    ({"inputs": {SHIM: ["+0.5 mm"]}, "at_hand": True}, f"{SHIM}: at_hand needs its packs by their shims, such as "),
    ({"inputs": {ROD: [0.0]}, "at_hand": True}, "at_hand = True: no pack of shims is swept"),
    ({"inputs": {ROD: [0.0]}, "at_hand": "yes"}, "at_hand = 'yes': needs True or False"),
    ({"inputs": {ROD: [0.0]}, "sample": 5}, "sample = 5: no input is drawn, as Between or Among are"),
    ({"inputs": {ROD: [0.0]}, "derive": [len]}, "derive = ["),
    ({"inputs": {ROD: [0.0]}, "derive": {TOE: len}}, f"derive: '{TOE}': needs a name that is not there yet"),
    ({"inputs": {ROD: [0.0]}, "derive": {ROD: len}}, f"derive: '{ROD}': needs a name that is not there yet"),
    ({"inputs": {ROD: [0.0]}, "derive": {"status": len}}, "derive: 'status': needs a name that is not there yet"),
    ({"inputs": {ROD: [0.0]}, "derive": {"status_corner": len}}, "derive: 'status_corner': needs a name that is not"),
    (
        {"inputs": {ROD: xr.DataArray([0.0], dims="i")}, "derive": {"i": len}},
        "derive: 'i': needs a name that is not there yet",
    ),
    ({"inputs": {ROD: [0.0]}, "derive": {"x": 1}}, "derive: 'x': needs a function of the Dataset, not 1"),
    ({"inputs": {ROD: [0.0]}, "derive": {"x": lambda d: d["y"]}}, "derive: 'x': gives no values over the sweep: "),
    (
        {
            "sample": 10**9,
            "inputs": {
                f"{c}.{a.name}": sw.Between(0, 0.1)
                for c in _core.CornerId.__members__
                for a in sw.demo_car().corner(c).adjusters
            },
        },
        "sweep: 1,000,000,000 draws of 24 inputs take 192.0 GB of memory",
    ),
]


@pytest.mark.parametrize(("broken", "sentence"), BROKEN, ids=[f"{i}" for i in range(len(BROKEN))])
def test_broken_samples_are_refused_with_a_sentence(car: sw.Car, broken: dict[str, Any], sentence: str) -> None:
    asked: dict[str, Any] = {"inputs": {ROD: sw.Between(-1.0, 1.0)}, "outputs": ["front_left.toe"]} | broken
    with pytest.raises(sw.InputError) as error:
        sw.sweep(car, asked.pop("inputs"), **asked)
    assert str(error.value).startswith(sentence)


@pytest.mark.parametrize(
    ("make", "sentence"),
    [
        (lambda _car: sw.Between(1.0, 1.0), "Between(1, 1): needs the lower end first"),
        (lambda _car: sw.Between("a", 1.0), "Between: 'a': needs a number"),
        (lambda _car: sw.Between(0.0, float("nan")), "Between: nan: needs a finite number"),
        (lambda _car: sw.Among([]), "Among([]): needs a list of values or words"),
        (lambda _car: sw.Among("2 mm"), "Among('2 mm'): needs a list of values or words"),
        (lambda car: sw.points_within(car, -0.5), "within_mm = -0.5: needs a number above 0"),
        (lambda car: sw.points_within(car, float("nan")), "within_mm = nan: needs a number above 0"),
        (lambda car: sw.points_within(car, 0.5, ["front_left.track_rod.iner"]), "points = 'front_left.track_rod.iner'"),
        (lambda car: sw.shim_options(car, ROD), f"{ROD}: is no pack of shims of Wren"),
        (lambda car: sw.shim_options(car, "nowhere"), "nowhere: is no pack of shims of Wren"),
    ],
)
def test_what_cannot_be_drawn_is_refused(car: sw.Car, make: Callable[[sw.Car], object], sentence: str) -> None:
    with pytest.raises(sw.InputError) as error:
        make(car)
    assert str(error.value).startswith(sentence)
