"""`shimwise level`: how the pads lie, what to pack, what is left does, and the same car at another place."""

from __future__ import annotations

import copy
import json
import sys
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner, Result

import shimwise as sw
from shimwise.cli import commands

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "oracle"))

from car_table import read_car
from random_cars import random_car
from rest import rest as oracle_rest
from toml_text import toml_lines

DEMO = sw.demo_files()
CORNERS = ("front_left", "front_right", "rear_left", "rear_right")
HERE = dict(zip(CORNERS, (1.5, -0.5, 0.0, 2.0), strict=True))
THERE = dict(zip(CORNERS, (0.0, 0.8, -1.1, 0.4), strict=True))
Table = dict[str, Any]


def sheet(pads_mm: dict[str, float] | None, **more: Any) -> Table:
    table = tomllib.loads(DEMO.readings.read_text(encoding="utf-8"))
    table["pads"] = ({"height_mm": pads_mm} if pads_mm is not None else {}) | {"packing_mm": [0.1, 0.2, 0.5, 1.0]}
    table["pads"] |= more
    return table


def written(folder: Path, table: Table, name: str = "readings.toml") -> Path:
    path = folder / name
    path.write_text(toml_lines(table), encoding="utf-8")
    return path


def level(readings: Path, *more: str) -> Result:
    return CliRunner().invoke(commands, ["level", str(DEMO.car), str(readings), *more])


def on_one_line(said: str) -> str:
    return " ".join(said.split())


def at_rest_on(car: sw.Car, pads_mm: dict[str, float]) -> Table:
    """A sheet of what a car at rest on these pads shows."""
    rest = car.at_rest(pads_mm=pads_mm)
    table: Table = {"format": "shimwise-readings/1", "ride_heights_mm": rest.ride_heights_mm}
    table["pads"] = {"height_mm": pads_mm}
    for corner in CORNERS:
        table[corner] = {"scale_kg": rest.weights_kg[corner]}
        table[corner]["camber_deg"] = rest.value(f"{corner}.inclination_to_plumb_deg")
    return table


def test_best_plane_and_twist_against_least_squares_at_the_oracles_contacts(car: sw.Car) -> None:
    theirs = oracle_rest(read_car(DEMO.car), {})
    at = np.array([theirs.corner[corner].contact_mm for corner in CORNERS])
    ours = sw.load_readings(at_rest_on(car, HERE) | {"ride_heights_mm": theirs.ride_height_mm}, car).level().level
    heights = np.array([HERE[corner] for corner in CORNERS])
    A = np.column_stack([at[:, 0], at[:, 1], np.ones(4)])
    (a, b, _), *_ = np.linalg.lstsq(A, heights, rcond=None)
    off = heights - A @ np.linalg.lstsq(A, heights, rcond=None)[0]
    assert ours.fore_aft_mm_per_m.value == pytest.approx(1000.0 * a, abs=1e-6)
    assert ours.across_mm_per_m.value == pytest.approx(1000.0 * b, abs=1e-6)
    assert ours.twist_mm.value == pytest.approx(off @ [1, -1, -1, 1], abs=1e-6)
    np.testing.assert_allclose(ours.off_plane_mm, off, atol=1e-6)


def test_the_same_car_on_other_pads_against_the_oracle(car: sw.Car) -> None:
    here = sw.load_readings(at_rest_on(car, HERE), car)
    expected = here.level(there=sw.load_readings(at_rest_on(car, THERE), car)).there
    assert expected is not None
    weights = {value.key: value for value in expected.values if value.key.endswith(".weight")}
    oracle = oracle_rest(read_car(DEMO.car), HERE)
    for corner, gauge in zip(CORNERS, expected.gauges, strict=True):
        theirs = oracle.corner[corner]
        assert weights[f"{corner}.weight"].then == pytest.approx(theirs.weight_kg, rel=1e-7)
        assert gauge is not None
        assert gauge.here_deg == pytest.approx(theirs.ground["inclination_to_plumb_deg"], abs=1e-7)
    cross = next(value for value in expected.values if value.key == "cross_weight")
    assert cross.then == pytest.approx(100.0 * oracle.cross_weight, abs=1e-6)


def test_random_cars_on_other_pads_against_the_oracle(tmp_path: Path, size: Callable[[int, int], int]) -> None:
    with_instruments = "".join(
        f"\n[instruments.{name}]\nresolution_{unit} = 0.01\n"
        for name, unit in (("scale", "kg"), ("camber_gauge", "deg"), ("height_gauge", "mm"), ("pad_level", "mm"))
    )
    for seed in range(size(4, 40)):
        path = tmp_path / f"car{seed}.toml"
        path.write_text(random_car(seed) + with_instruments, encoding="utf-8")
        car = sw.load_car(path)
        here, there = (sw.load_readings(at_rest_on(car, pads), car) for pads in (HERE, THERE))
        expected = here.level(there=there).there
        assert expected is not None
        oracle = oracle_rest(read_car(path), HERE)
        then = {value.key: value.then for value in expected.values}
        for corner, gauge in zip(CORNERS, expected.gauges, strict=True):
            theirs = oracle.corner[corner]
            assert then[f"{corner}.weight"] == pytest.approx(theirs.weight_kg, rel=1e-7), seed
            assert gauge is not None
            assert gauge.here_deg == pytest.approx(theirs.ground["inclination_to_plumb_deg"], abs=1e-7), seed


def test_a_turn_on_uneven_pads_against_the_oracle(car: sw.Car) -> None:
    turn = {"front_left.pushrod": 1.5, "rear_right.toe link": -0.5}
    measured = sw.load_readings(at_rest_on(car, HERE), car).reduce()
    expected = car.expect(measured, turn)
    after = oracle_rest(read_car(DEMO.car), HERE, settings=turn)
    then = {value.key: value.then for value in expected.core.car_values}
    for corner in CORNERS:
        assert then[f"{corner}.weight"] == pytest.approx(after.corner[corner].weight_kg, rel=1e-7)
    for name, mm in after.ride_height_mm.items():
        assert then[f"ride_height.{name}"] == pytest.approx(mm, abs=1e-6)


def test_what_is_left_by_rates_and_at_rest(car: sw.Car) -> None:
    datum = sw.load_readings(sheet(HERE), car).level()
    rates = car.with_bars(front=False, rear=False).effects("rest").xs("mm", level="per")
    level, twist = car.with_bars(front=False, rear=False), np.array(datum.level.off_plane_mm)
    plain, twisted = level.at_rest(), level.at_rest(pads_mm=dict(zip(CORNERS, twist, strict=True)))
    for i, corner in enumerate(CORNERS):
        moved = twisted.weights_kg[corner] - plain.weights_kg[corner]
        assert datum.now.twist.scale_kg[i] == pytest.approx(moved, abs=1e-8)
        by_rates = sum(rates.loc[f"pad.{pad}", f"{corner}.weight_kg"] * twist[p] for p, pad in enumerate(CORNERS))
        assert datum.now.twist_by_rates.scale_kg[i] == pytest.approx(by_rates, abs=1e-8)
        assert by_rates == pytest.approx(moved, rel=0.02)


def test_what_to_pack_is_said_with_the_cautions(tmp_path: Path) -> None:
    result = level(
        written(tmp_path, sheet({"front_left": 1.4, "front_right": 0.1, "rear_left": -0.9, "rear_right": 0.0}))
    )
    said = on_one_line(result.output)
    assert result.exit_code == 0
    assert (
        "Put under the pads, the fewest pieces that bring it inside: - front right: 0.5 mm - rear left: 1 + 0.2 mm"
        in said
    )
    assert "! Take the car off the pads, onto stands, before anything is put under one" in said
    assert "! Support the car properly, chocked" in said
    assert max(map(len, result.output.splitlines())) <= 80


def test_level_pads_need_nothing_and_no_caution(tmp_path: Path) -> None:
    result = level(written(tmp_path, sheet(dict.fromkeys(CORNERS, 0.0))))
    assert result.exit_code == 0
    assert "Inside the tolerance as it lies: nothing to pack." in result.output
    assert "Take the car off" not in result.output
    assert "-0.0" not in result.output


@pytest.mark.parametrize(
    ("pads", "said"),
    [
        ({"packing_mm": []}, "Outside the tolerance, and no packing at hand: pads.packing_mm says what there is."),
        ({"packing_mm": [30.0]}, "Outside the tolerance, and no packing at hand brings it nearer without taking"),
        ({"packing_mm": [1.8]}, "Outside the tolerance, and no packing at hand brings it nearer without taking"),
        ({"packing_mm": [1.0, 1.0]}, "No packing at hand brings it inside the tolerance. The nearest:"),
    ],
)
def test_what_cannot_be_met_ends_with_1(tmp_path: Path, pads: Table, said: str) -> None:
    slope = {"front_left": 20.0, "front_right": 20.0, "rear_left": 0.0, "rear_right": 0.0}
    result = level(written(tmp_path, sheet(slope) | {"pads": {"height_mm": slope} | pads}))
    assert result.exit_code == 1
    assert said in on_one_line(result.output)
    assert result.output.count("a pad's height from the mean of the four") == 1  # not once for each pad


def test_steps_along_a_straightedge_stand_for_heights(tmp_path: Path, car: sw.Car) -> None:
    def step(start: str, end: str, off: float = 0.0) -> Table:
        return {"from": start, "to": end, "up": HERE[end] - HERE[start] + off}

    chain = [step("front_left", "front_right"), step("rear_right", "front_right"), step("rear_right", "rear_left")]
    table = sheet(None, steps_mm=chain)
    steps, heights = sw.load_readings(table, car), sw.load_readings(sheet(HERE), car)
    np.testing.assert_allclose(steps.reduce().values, heights.reduce().values, atol=1e-12)
    assert "pad.rear_right.rear_left" in steps.reduce().inputs
    assert steps.level().level.twist_mm.value == pytest.approx(heights.level().level.twist_mm.value, abs=1e-12)

    ring = copy.deepcopy(table)
    ring["pads"]["steps_mm"].append(step("rear_left", "front_left", 0.6))
    said = on_one_line(level(written(tmp_path, ring)).output)
    assert "and back: +0.60 mm left over, u 0.10 mm; more than twice its uncertainty." in said
    doubt = "and back leaves +0.60 mm over, u 0.10 mm: one of these steps is wrong, read them again"
    assert said.count(doubt) == 1
    assert doubt in " ".join(sw.load_readings(ring, car).read().doubts)
    drawn = sw.load_readings(ring, car).reduce("monte carlo", draws=20_000, seed=2)
    law = sw.load_readings(ring, car).reduce()
    u = np.sqrt(np.diag(law.covariance))
    np.testing.assert_allclose(np.sqrt(np.diag(drawn.covariance)) / u, 1.0, atol=5.0 / np.sqrt(2 * 20_000))


def test_steps_that_lead_far_are_doubted_by_their_own_name(car: sw.Car) -> None:
    pairs = [("front_left", "front_right"), ("front_left", "rear_left"), ("front_left", "rear_right")]
    table = sheet(None, steps_mm=[{"from": a, "to": b, "up": 10.0} for a, b in pairs])
    (doubt,) = [one for one in sw.load_readings(table, car).level().doubts if "pads" in one]
    assert "pads.steps_mm: front_left: a pad's height from the mean of the four is -7.5 mm" in doubt


def test_heights_from_the_plate_need_heights_of_pads(car: sw.Car) -> None:
    pairs = [("front_left", "front_right"), ("front_left", "rear_left"), ("front_left", "rear_right")]
    table = sheet(None, steps_mm=[{"from": a, "to": b, "up": 0.1} for a, b in pairs])
    table["state"]["heights_from"] = "plate"
    with pytest.raises(sw.InputError, match="steps say nothing of heights over the plate"):
        sw.load_readings(table, car)


def test_solid_struts_at_another_place_have_no_weights(car: sw.Car) -> None:
    here, there = at_rest_on(car, HERE), at_rest_on(car, THERE)
    there["state"] = {"struts": "solid"}
    expected = sw.load_readings(here, car).level(there=sw.load_readings(there, car)).there
    assert expected is not None
    is_, was = (car.on_solid_struts(pads_mm=pads).values for pads in (HERE, THERE))
    for corner, gauge in zip(CORNERS, expected.gauges, strict=True):
        assert gauge is not None
        key = f"{corner}.inclination_to_plumb_deg"
        assert gauge.here_deg - gauge.there_deg == pytest.approx(is_[key] - was[key], abs=1e-9)
    assert not [value.key for value in expected.values if "weight" in value.key]


def test_another_place_by_command(tmp_path: Path) -> None:
    here, there = written(tmp_path, sheet(HERE)), written(tmp_path, sheet(THERE), "there.toml")
    result = level(here, "--as", str(there), "--twist", "9", "--tilt", "9")
    assert result.exit_code == 0
    assert "To expect here of the car as it stood at barn plate" in on_one_line(result.output)
    said = json.loads(level(here, "--as", str(there), "--json").stdout)
    gauges = said["there"]["gauges"]
    assert [gauge["there_deg"] for gauge in gauges] == [-2.72, -2.38, -1.72, -1.44]
    assert set(said["inputs"]) == {"wren.toml", "readings.toml", "there.toml"}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--tilt", "0"), "tilt_mm_per_m = 0: a tolerance must be above 0"),
        (("--twist", "-1"), "twist_mm = -1: a tolerance must be above 0"),
        (("--twist", "nan"), "a tolerance must be above 0"),
        (("--as", "none"), "pads: were not read"),
    ],
)
def test_nonsense_is_refused(tmp_path: Path, words: tuple[str, str], said: str) -> None:
    none = written(tmp_path, sheet(None), "none.toml")
    here = written(tmp_path, sheet(HERE))
    result = level(here, words[0], str(none) if words[1] == "none" else words[1])
    assert isinstance(result.exception, sw.InputError)
    assert said in str(result.exception)


def test_pads_that_were_not_read_are_refused(tmp_path: Path) -> None:
    result = level(written(tmp_path, sheet(None)))
    assert isinstance(result.exception, sw.InputError)
    assert str(result.exception).endswith(
        "readings.toml: pads: were not read: pads.height_mm or pads.steps_mm says how the place lies"
    )


def test_twist_of_the_chassis_and_bars_that_were_on(car: sw.Car) -> None:
    on = sheet(HERE)
    on["state"]["bars"] = "on"
    stiff = sw.load_readings(on, car).level().now.twist.scale_kg[0]
    table = tomllib.loads(DEMO.car.read_text(encoding="utf-8")) | {"chassis_twist_Nm_per_deg": 2000.0}
    soft = sw.load_readings(on, sw.load_car(table)).level().now.twist.scale_kg[0]
    assert 0.0 < soft < stiff


def test_sixty_columns_lose_nothing(car: sw.Car) -> None:
    datum = sw.load_readings(sheet(HERE), car).level(there=sw.load_readings(sheet(THERE), car))
    wide, narrow = (on_one_line(datum.text(width=width)) for width in (200, 60))
    assert sorted(narrow.split()) == sorted(wide.split())
