"""Sweeps: labelled as promised, and each state what the calls for one state give, to the bit."""

from __future__ import annotations

import math
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
import xarray as xr

import shimwise as sw
from shimwise import _core

Size = Callable[[int, int], int]

ROD, SHIM, INNER = "front_left.track rod", "front_left.camber shim", "front_left.track_rod.inner.z"
OUTPUTS = [info.name for info in _core.output_list()]


def test_dimensions_coordinates_units_and_names(car: sw.Car) -> None:
    found = sw.sweep(
        car,
        {SHIM: ["2.0 + 0.5 mm", [1.0, 0.2], "+0.5 mm"], ROD: [-1.0, 1.0], "rack_mm": 3.0, "travel_mm": np.arange(4.0)},
        outputs=["front_left.toe", "camber_deg", "front_left.roll_centre_height_mm"],
    )
    assert dict(found.sizes) == {SHIM: 3, ROD: 2, "travel_mm": 4}
    assert list(found[SHIM].values) == [2.5, 1.2, 3.5]
    assert list(found[f"{SHIM} as written"].values) == ["2.0 + 0.5 mm", "[1.0, 0.2]", "+0.5 mm"]
    assert found[SHIM].attrs == {"units": "mm", "long_name": "camber shim, whole thickness of the pack"}
    assert found[ROD].attrs == {"units": "turn", "long_name": "track rod, from as drawn"}
    assert found["rack_mm"].ndim == 0
    assert list(found) == [
        "front_left.toe_deg",
        *(f"{corner}.camber_deg" for corner in _core.CornerId.__members__),
        "front_left.roll_centre_height_mm",
        *("status", "status_corner", "short_by_mm", "short_by_N"),
    ]
    assert found["front_left.toe_deg"].dims == (SHIM, ROD, "travel_mm")
    assert found["front_left.toe_deg"].attrs["units"] == "deg"
    assert found["front_left.toe_deg"].attrs["long_name"] == "front left toe"
    assert found["front_left.toe_deg"].attrs["sign"]
    assert {name: found.attrs[name] for name in ("car", "hold", "frame")} == {
        "car": "Wren",
        "hold": "wheel",
        "frame": "chassis",
    }
    assert not found.status.any()
    assert (found.status_corner == -1).all()
    assert not found.short_by_mm.any()
    assert not found.short_by_N.any()
    meanings = found.status.attrs["flag_meanings"].split()
    assert meanings[0] == "reached"
    assert len(meanings) == len(found.status.attrs["flag_values"])


def test_a_corner_with_its_wheel_held_is_what_curves_give(car: sw.Car) -> None:
    travel, rack = np.linspace(-20.0, 25.0, 7), np.array([-8.0, 0.0, 5.0])
    shims = ["2.0 + 0.5 mm", "2.0 + 0.2 mm"]
    found = sw.sweep(
        car,
        {SHIM: shims, ROD: [-0.5, 0.75], "rack_mm": rack, "travel_mm": travel},
        outputs=[name for corner in ("front_left", "rear_right") for name in corner_outputs(car, corner)],
    )
    for shim in range(2):
        for rod, turns in enumerate((-0.5, 0.75)):
            set_so = car.with_settings({SHIM: shims[shim], ROD: turns})
            for corner in ("front_left", "rear_right"):
                curves = set_so.corner(corner).curves(rack_mm=rack, travel_mm=travel)
                for column, values in curves.items():
                    ours = found[f"{corner}.{column}"].values[shim, rod]
                    scale = np.maximum(1.0, np.abs(values.values))
                    assert (np.abs(ours - values.values) <= 1e-8 * scale).all(), column


def corner_outputs(car: sw.Car, corner: str) -> list[str]:
    left_out = car.corner(corner).left_out
    every = [info.column for info in [*_core.output_list(), *_core.curve_list()]]
    return [f"{corner}.{column}" for column in every if column not in left_out]


@pytest.mark.parametrize("hold", ["wheel", "contact", "spring"])
def test_small_changes_are_the_effect_tables_derivatives(car: sw.Car, hold: str) -> None:
    """By central differences: the table is made another way, by derivatives of the linkage."""
    by, travel_mm = 0.01, 6.0
    for adjuster in car.front_left.adjusters:
        per = "turn" if isinstance(adjuster.setting, _core.Thread) else "mm"
        found = sw.sweep(
            car,
            {f"front_left.{adjuster.name}": [-by, by], "travel_mm": travel_mm},
            outputs=[f"front_left.{name}" for name in OUTPUTS],
            hold=hold,
            change=[f"front_left.{adjuster.name}"],
        )
        table = car.front_left.effects(hold, travel_mm=travel_mm).loc[(adjuster.name, per)]
        for column, rate in table.items():
            low, high = found[f"front_left.{column}"].values
            assert abs((high - low) / (2.0 * by) - rate) <= 2e-5 * max(1.0, abs(rate)), (adjuster.name, column)


def test_at_rest_is_what_at_rest_gives(car: sw.Car, size: Size) -> None:
    drawn = np.random.default_rng(7)
    count = size(20, 500)
    point = {
        "front_left.pushrod": drawn.uniform(-2.0, 2.0, count),
        "rear_right.toe link": drawn.uniform(-1.0, 1.0, count),
        SHIM: drawn.uniform(1.0, 3.0, count),
        "pad.rear_left": drawn.uniform(-3.0, 3.0, count),
        "ballast.fuel": drawn.uniform(0.0, 40.0, count),
        "rack_mm": drawn.uniform(-20.0, 20.0, count),
    }
    outputs = list(car.at_rest().values)
    found = sw.sweep(car, {k: xr.DataArray(v, dims="point") for k, v in point.items()}, outputs=outputs, hold="rest")
    assert found.attrs["frame"] == "ground"
    for i in range(count):
        one = {key: float(values[i]) for key, values in point.items()}
        rest = car.at_rest(
            settings={
                "front_left.pushrod": one["front_left.pushrod"],
                "rear_right.toe link": one["rear_right.toe link"],
                SHIM: [one[SHIM]],
            },
            pads_mm={"rear_left": one["pad.rear_left"]},
            ballast_kg={"fuel": one["ballast.fuel"]},
            rack_mm=one["rack_mm"],
        )
        assert found.status[i] == 0
        for column, value in rest.values.items():
            assert float(found[column][i]) == value, (i, column)


@pytest.mark.parametrize("moved", ["drawn", "built"])
@pytest.mark.parametrize("hold", ["wheel", "rest"])
def test_moved_points_are_what_with_points_gives(car: sw.Car, moved: Any, hold: str, size: Size) -> None:
    drawn = np.random.default_rng(8)
    count = size(10, 200)
    keys = ["front_left.track_rod.inner", "front_left.upper_wishbone.outer", "rear_right.pushrod.outer"]
    by = {f"{key}.{axis}": drawn.uniform(-0.5, 0.5, count) for key in keys for axis in "xyz"}
    inputs = {key: xr.DataArray(values, dims="car") for key, values in by.items()}
    outputs = ["front_left.toe", "rear_right.spring_length", "front_left.camber"]
    found = sw.sweep(car, inputs, outputs=outputs, hold=hold, moved=moved, change=True)
    assert found.attrs["moved"] == moved
    for i in range(count):
        moves = {key: tuple(float(by[f"{key}.{axis}"][i]) for axis in "xyz") for key in keys}
        other = car.with_points(moves, moved=moved)
        for key in outputs:
            corner, _, name = key.partition(".")
            column = next(info.column for info in _core.output_list() if info.name == name)
            value = (
                other.at_rest().values[f"{corner}.{column}"]
                if hold == "rest"
                else float(other.corner(corner).alignment()[column])
            )
            assert abs(float(found[f"{corner}.{column}"][i]) - value) <= (0.0 if hold == "rest" else 1e-9)


def test_a_coordinate_itself_and_its_change_are_the_same(car: sw.Car) -> None:
    now, by = 155.5, np.array([-0.5, 0.25, 1.0])
    ways = [
        sw.sweep(car, {INNER: now + by}, outputs="front_left.bump_steer", moved="built"),
        sw.sweep(car, {INNER: by}, outputs="front_left.bump_steer", moved="built", change=INNER),
    ]
    np.testing.assert_allclose(*(way["front_left.bump_steer_deg_per_mm"].values for way in ways), rtol=0, atol=1e-12)
    assert ways[1][INNER].attrs["long_name"] == "track_rod.inner, z as built, change from as it stands"


def test_the_contact_or_the_spring_stays_where_it_was(car: sw.Car) -> None:
    """What is held is an output too: the car as given has it."""
    for hold, column in (("contact", "chassis_height_mm"), ("spring", "spring_length_mm")):
        for travel in (0.0, 8.0):
            found = sw.sweep(
                car,
                {"front_left.pushrod": [-2.0, 1.0], SHIM: [1.0, 3.0], "travel_mm": travel},
                outputs=["front_left.chassis_height", "front_left.spring_length"],
                hold=hold,
            )
            as_given = float(car.front_left.alignment(travel_mm=travel)[column])
            np.testing.assert_allclose(found[f"front_left.{column}"].values, as_given, rtol=0, atol=1e-9)
            other = {"chassis_height_mm", "spring_length_mm"} - {column}
            assert np.ptp(found[f"front_left.{other.pop()}"].values) > 0.1


def test_bits_are_the_same_with_any_threads_and_alone(car: sw.Car) -> None:
    inputs = {ROD: np.linspace(-1.0, 1.0, 17), "front_left.pushrod": np.linspace(-2.0, 2.0, 13)}
    for hold in ("wheel", "contact", "rest"):
        every = [sw.sweep(car, inputs, outputs=["toe", "camber"], hold=hold, threads=n) for n in (1, 2, 5)]
        for other in every[1:]:
            xr.testing.assert_identical(every[0], other)
        alone = sw.sweep(
            car,
            {ROD: inputs[ROD][3], "front_left.pushrod": inputs["front_left.pushrod"][11]},
            outputs=["toe", "camber"],
            hold=hold,
        )
        for name in alone.data_vars:
            assert alone[name].values == every[0][name].values[3, 11]


REASONS = {
    "upper_wishbone_open": "the upright does not reach between the two wishbones",
    "track_rod_open": "the track rod does not reach its joint on the upright",
    "pushrod_open": "the pushrod does not reach the rocker",
    "held_value_out_of_range": "the held wheel travel is out of reach",
}


def test_states_past_reach_are_masked_with_the_scalars_reason_and_amount(car: sw.Car, size: Size) -> None:
    drawn = np.random.default_rng(9)
    count = size(60, 1000)
    travel, corners, met = drawn.uniform(-400.0, 400.0, 3 * count), [*_core.CornerId.__members__], set()
    rods = drawn.uniform(-2.0, 2.0, 3 * count)
    for corner in corners:
        points = {"travel_mm": xr.DataArray(travel, dims="i"), f"{corner}.pushrod": xr.DataArray(rods, dims="i")}
        found = sw.sweep(car, points, outputs=[f"{corner}.toe", f"{corner}.motion_ratio"])
        meanings = found.status.attrs["flag_meanings"].split()
        beyond = np.flatnonzero(found.status.values)[: count // 4]
        assert len(beyond) == count // 4
        for i in beyond:
            with pytest.raises(sw.OutOfReach) as refused:
                car.with_settings({f"{corner}.pushrod": rods[i]}).corner(corner).alignment(travel_mm=travel[i])
            reason = meanings[found.status.values[i]]
            met.add(reason)
            sentence = str(refused.value)
            assert sentence.startswith(f"{corner}: {REASONS[reason]}"), sentence
            amount = float(re.findall(r"([0-9.]+) mm", sentence)[0])
            assert abs(float(found.short_by_mm[i]) - amount) <= 0.00051, sentence
            assert corners[found.status_corner.values[i]] == corner
            assert np.isnan(found[f"{corner}.toe_deg"].values[i])
        reached = found.status.values == 0
        assert reached.any()
        assert np.isfinite(found[f"{corner}.toe_deg"].values[reached]).all()
        assert not found.short_by_mm.values[reached].any()
    assert len(met) >= 2


def test_a_drawing_that_no_real_car_could_be_is_masked(car: sw.Car) -> None:
    by, across = [0.0, -300.0], "front_left.track_rod.inner.y"
    found = sw.sweep(car, {across: by}, outputs="front_left.toe", moved="drawn", change=True)
    meanings = found.status.attrs["flag_meanings"].split()
    assert [meanings[code] for code in found.status.values] == ["reached", "no_real_car"]
    with pytest.raises(sw.InputError):
        car.with_points({"front_left.track_rod.inner": (0.0, by[1], 0.0)}, moved="drawn")


def test_shim_combinations_agree_with_try(car: sw.Car, size: Size) -> None:
    """The readings to expect less those now are what the sweep of the car as it was read says, on the pads read."""
    files = sw.demo_files()
    measured = sw.load_readings(files.readings, car).reduce()
    as_read = sw.Car(_core.as_read(car.core, measured.core))
    packs = [[2.0], [2.0, 0.5], [2.0, 0.2], [2.0, 0.5, 0.1], [2.0, 1.0]]
    corners = [*_core.CornerId.__members__]
    keys = [f"{corner}.camber shim" for corner in corners]
    outputs = [f"{corner}.{name}" for corner in corners for name in ("weight", "toe", "camber", "caster", "scrub")]
    outputs += ["ride_height.front_left", "ride_height.rear_right"]
    pads = {"pad.front_right": 0.1, "pad.rear_left": -0.1}  # of the readings
    now = sw.sweep(as_read, pads, outputs=outputs, hold="rest")
    found = sw.sweep(as_read, pads | dict.fromkeys(keys, packs), outputs=outputs, hold="rest")
    columns = dict(zip(outputs, found.data_vars, strict=False))
    drawn = np.random.default_rng(10)
    for _ in range(size(10, 100)):
        row = tuple(int(i) for i in drawn.integers(len(packs), size=4))
        frame = car.expect(measured, {key: packs[i] for key, i in zip(keys, row, strict=True)}).frame()
        for name, column in columns.items():
            ours = float(found[column].values[row]) - float(now[column].values)
            key = name.replace(".", ".model.") if name.endswith(("caster", "scrub")) else name
            assert abs(frame.change[key] - ours) <= 1e-9, (name, row)


def test_a_dimension_of_another_input_goes_along_with_it(car: sw.Car) -> None:
    found = sw.sweep(
        car, {"travel_mm": [0.0, 5.0], ROD: xr.DataArray([-0.5, 0.5], dims="travel_mm")}, outputs="front_left.toe"
    )
    assert found["front_left.toe_deg"].dims == ("travel_mm",)
    single = sw.sweep(car, {ROD: 0.5, "travel_mm": 5.0}, outputs="front_left.toe")
    assert float(found["front_left.toe_deg"].sel(travel_mm=5.0)) == float(single["front_left.toe_deg"])


def test_words_in_an_array_are_words(car: sw.Car) -> None:
    words = ["2.0 mm", "2.0 + 0.5 mm"]
    listed, array = (sw.sweep(car, {SHIM: one}, outputs="front_left.camber") for one in (words, np.array(words)))
    xr.testing.assert_identical(listed, array)


def test_lists_of_points_and_grids_together(car: sw.Car) -> None:
    left = xr.DataArray([-0.5, 0.0, 0.5], dims="pair", coords={"pair": ["out", "as drawn", "in"]})
    found = sw.sweep(
        car, {ROD: left, "front_right.track rod": -left, "travel_mm": [0.0, 5.0]}, outputs=["front_left.toe"]
    )
    assert found["front_left.toe_deg"].dims == ("pair", "travel_mm")
    assert list(found.pair.values) == ["out", "as drawn", "in"]
    assert found["front_right.track rod"].dims == ("pair",)
    single = sw.sweep(car, {ROD: 0.5, "travel_mm": 5.0}, outputs="front_left.toe")
    assert float(found["front_left.toe_deg"].sel(pair="in", travel_mm=5.0)) == float(single["front_left.toe_deg"])


def labelled(values: list[float], **labels: list[Any]) -> xr.DataArray:
    """Along the dimension that the labels are of."""
    return xr.DataArray(values, dims=[*labels], coords=labels)


BROKEN: list[tuple[dict[str, Any], str]] = [
    ({"inputs": {}}, "inputs = {}: needs a dictionary from names to values, such as "),
    ({"inputs": None}, "inputs = None: needs a dictionary from names to values, such as "),
    (
        {"inputs": {"front_left.track rodd": [1.0]}},
        "inputs: 'front_left.track rodd': is nothing that can be swept with hold = 'contact'; did you mean",
    ),
    ({"inputs": {"pad.front_left": [1.0]}}, "inputs: 'pad.front_left': is nothing that can be swept with hold = "),
    ({"inputs": {"travel_mm": [1.0]}, "hold": "rest"}, "inputs: 'travel_mm': is nothing that can be swept with hold"),
    ({"inputs": {ROD: []}}, f"{ROD}: has no values"),
    ({"inputs": {ROD: [math.nan]}}, f"{ROD}: holds a number that is not finite"),
    ({"inputs": {ROD: [[1.0], [2.0]]}}, f"{ROD} = "),
    (
        {"inputs": {"travel_mm": xr.Dataset({"a": 1.0})}},
        "travel_mm: needs values, or a DataArray of them, not a whole D",
    ),
    (
        {"inputs": {ROD: np.zeros(10**6), "travel_mm": np.zeros(10**6), "rack_mm": np.zeros(10**6)}},
        "inputs: are 1,000,000,000,000,000,000 states in every combination: more than can be counted",
    ),
    ({"inputs": {ROD: np.zeros((2, 2))}}, f"{ROD}: has 2 dimensions, needs one; a DataArray may have more"),
    ({"inputs": {ROD: [True, False]}}, f"{ROD} = [True, False]: needs numbers"),
    ({"inputs": {ROD: [b"1"]}}, f"{ROD} = [b'1']: needs numbers"),
    ({"inputs": {ROD: np.array(["2026-01-01"], dtype="M8[D]")}}, f"{ROD} = array(['2026-01-01']"),
    ({"inputs": {ROD: np.ma.masked_equal([0.0, 1.0], 1.0)}}, f"{ROD} = masked_array(data=[0.0, --]"),
    ({"inputs": {ROD: None}}, f"{ROD}: holds a number that is not finite"),
    ({"inputs": {ROD: ["+2 flits"]}}, f"{ROD} = '+2 flits': needs a number with turns"),
    ({"inputs": {"travel_mm": ["+2 mm"]}}, "travel_mm = '+2 mm': needs numbers; words are for adjusters"),
    ({"inputs": {SHIM: ["2.0 mm", 1.0]}}, f"{SHIM} = 1.0: needs a change such as +0.5 mm (thicker)"),
    ({"inputs": {SHIM: [[2.0, math.nan]]}}, f"{SHIM} = [2.0, nan]: a shim is thicker than 0 mm"),
    ({"inputs": {SHIM: [[0.0]]}}, f"{SHIM} = [0.0]: a shim is thicker than 0 mm"),
    ({"inputs": {SHIM: [-1.0]}}, f"{SHIM} = -1: fitted_mm adds up to less than nothing: -1 mm"),
    ({"inputs": {ROD: [0.0, 99.0]}}, f"{ROD} = 99: "),
    ({"inputs": {"rack_mm": [40.0]}, "hold": "rest"}, "rack_mm = 40: goes beyond rack.travel_mm = [-32, 32]"),
    ({"inputs": {"ballast.fuel": [-1.0]}, "hold": "rest"}, "ballast.fuel = -1: is a ballast of 0 kg or more"),
    ({"inputs": {INNER: [155.0]}}, "moved = None: points move, so it needs one of drawn, built"),
    ({"inputs": {INNER: [155.0]}, "moved": "made"}, "moved = 'made': needs one of drawn, built"),
    ({"hold": "wheels"}, "hold = 'wheels': needs one of wheel, contact, spring, rest"),
    ({"hold": 1}, "hold = 1: needs one of wheel, contact, spring, rest"),
    ({"outputs": []}, "outputs = []: needs a list of names, such as "),
    ({"outputs": ["front_left.tow"]}, "outputs = 'front_left.tow': is not known; did you mean \"front_left.toe\"?"),
    ({"outputs": ["\ud800"]}, r"outputs = '\ud800': is not known"),
    ({"outputs": ["cross_weight"]}, "outputs = 'cross_weight': is of hold = 'rest', and it is 'contact'"),
    (
        {"outputs": ["front_left.roll_centre_height"], "hold": "rest"},
        "outputs = 'front_left.roll_centre_height': is of hold = 'wheel' or 'contact' or 'spring', and it is 'rest'",
    ),
    ({"change": ["front_left.pushrod"]}, f"change: 'front_left.pushrod': is none of the inputs ({ROD})"),
    ({"change": 1.5}, f"change: 1.5: is none of the inputs ({ROD})"),
    ({"threads": 0}, "threads = 0: needs a whole number from 1 to 1,024"),
    ({"threads": 1.5}, "threads = 1.5: needs a whole number from 1 to 1,024"),
    ({"progress": "yes"}, "progress = 'yes': needs True, False or a call"),
    (
        {"inputs": {ROD: xr.DataArray([0.0, 1.0], dims="i"), SHIM: xr.DataArray([1.0], dims="i")}},
        f"{SHIM}: has 1 values along 'i', and {ROD} has 2",
    ),
    (
        {
            "inputs": {
                ROD: xr.DataArray([0.0, 1.0], dims="i", coords={"i": [0, 1]}),
                SHIM: xr.DataArray([1.0, 2.0], dims="i", coords={"i": [0, 2]}),
            }
        },
        f"{SHIM}: has other labels along 'i' than {ROD}",
    ),
    (
        {"inputs": {ROD: labelled([5.0, 6.0], travel_mm=[5.0, 6.0]), "travel_mm": [0.0, 1.0]}},
        f"{ROD}: has other labels along 'travel_mm' than travel_mm",
    ),
    (
        {"inputs": {ROD: labelled([0.0, 1.0], i=[0, 1]), "travel_mm": xr.DataArray([0.0], dims=ROD)}},
        f"travel_mm: has a dimension or labels called '{ROD}', as something else is",
    ),
    (
        {"inputs": {ROD: labelled([0.0, 1.0], status=[0, 1])}},
        f"{ROD}: has a dimension or labels called 'status', as something else is",
    ),
    (
        {"inputs": {ROD: xr.DataArray([0.0], dims="front_left.toe_deg")}},
        f"{ROD}: has a dimension or labels called 'front_left.toe_deg', as something else is",
    ),
    (
        {"inputs": {ROD: xr.DataArray([0.0], dims=f"{SHIM} as written"), SHIM: ["2.0 mm"]}},
        f"{ROD}: has a dimension or labels called '{SHIM} as written', as something else is",
    ),
    ({"inputs": {ROD: xr.DataArray([0.0], dims=[5])}}, f"{ROD}: has a dimension or labels called 5: needs a name"),
    ({"inputs": {ROD: xr.DataArray([0.0], dims=[" "])}}, f"{ROD}: has a dimension or labels called ' ': needs a name"),
    (
        {
            "inputs": {
                f"front_left.{point}.{axis}": [0.0] for point in sw.demo_car().front_left.point_names for axis in "xyz"
            },
            "moved": "built",
            "change": True,
        },
        "inputs: are 45 dimensions, at most 32 can be: DataArrays that share one go together, and so does what",
    ),
]


@pytest.mark.parametrize(("broken", "sentence"), BROKEN, ids=[f"{i}" for i in range(len(BROKEN))])
def test_broken_calls_are_refused_with_a_sentence(car: sw.Car, broken: dict[str, Any], sentence: str) -> None:
    asked: dict[str, Any] = {"inputs": {ROD: [0.0, 1.0]}, "outputs": ["front_left.toe"]} | broken
    with pytest.raises(sw.InputError) as error:
        sw.sweep(car, asked.pop("inputs"), **asked)
    assert str(error.value).startswith(sentence)
    assert "\n" not in str(error.value)


def test_what_does_not_fit_into_the_memory_is_refused_beforehand(car: sw.Car) -> None:
    axis = np.linspace(-1.0, 1.0, 100_000)
    began = time.monotonic()
    with pytest.raises(sw.InputError) as error:
        sw.sweep(car, {ROD: axis, SHIM: 1.0 + 0.5 * axis, "front_left.pushrod": axis}, outputs=["front_left.toe"])
    assert re.fullmatch(
        r"sweep: 1,000,000,000,000,000 states of 1 output take 26,000,000.0 GB of memory, "
        r"more than three quarters of the [0-9,.]+ GB that are free",
        str(error.value),
    )
    assert time.monotonic() - began < 5.0


def test_progress_is_told_and_what_it_raises_ends_the_sweep(car: sw.Car, capsys: pytest.CaptureFixture[str]) -> None:
    heard: list[tuple[int, int]] = []
    inputs = {ROD: np.linspace(-1.0, 1.0, 60), "front_left.pushrod": np.linspace(-2.0, 2.0, 60)}
    sw.sweep(car, inputs, outputs="cross_weight", hold="rest", progress=lambda *done: heard.append(done))
    assert heard[-1] == (3600, 3600)
    assert heard == sorted(heard)
    sw.sweep(car, inputs, outputs="cross_weight", hold="rest", progress=True)
    assert capsys.readouterr().err.endswith("\r3,600 of 3,600 states\n") or "3,600 of 3,600" in capsys.readouterr().err

    def ends(done: int, count: int) -> None:
        raise RuntimeError(f"{done} of {count}")

    with pytest.raises(RuntimeError, match="of 3600"):
        sw.sweep(car, inputs, outputs="cross_weight", hold="rest", progress=ends)


INTERRUPTED = """
import numpy as np, shimwise as sw, sys
car = sw.demo_car()
axis = np.linspace(-1.0, 1.0, 3000)
sw.sweep(car, {"front_left.pushrod": 0.0}, outputs="cross_weight", hold="rest")  # imports what it needs
sys.stdout.write("begun\\n"); sys.stdout.flush()
try:
    sw.sweep(car, {"front_left.pushrod": axis, "rear_left.pushrod": axis}, outputs="cross_weight", hold="rest")
except KeyboardInterrupt:
    sys.stdout.write("interrupted\\n"); sys.stdout.flush()
"""


def test_ctrl_c_is_seen_within_a_fifth_of_a_second(size: Size) -> None:
    drawn = np.random.default_rng(12)
    for _ in range(size(2, 20)):
        process = subprocess.Popen([sys.executable, "-c", INTERRUPTED], stdout=subprocess.PIPE, text=True)
        assert process.stdout is not None
        assert process.stdout.readline() == "begun\n"
        time.sleep(0.5 + float(drawn.random()))
        before = time.perf_counter()
        process.send_signal(signal.SIGINT)
        assert process.stdout.readline() == "interrupted\n"
        seconds = time.perf_counter() - before
        process.communicate(timeout=60)
        assert process.returncode == 0
        assert seconds < 0.2 or seconds < 0.2 + delay_of_a_busy_machine()


def delay_of_a_busy_machine() -> float:
    """How late a process that only sleeps wakes up for a signal, with Python's own handler."""
    code = (
        "import time\nprint('begun', flush=True)\ntry:\n time.sleep(60)\nexcept KeyboardInterrupt:\n print(flush=True)"
    )
    process = subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    process.stdout.readline()
    before = time.perf_counter()
    process.send_signal(signal.SIGINT)
    process.stdout.readline()
    process.communicate(timeout=60)
    return time.perf_counter() - before
