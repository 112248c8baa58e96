"""Readings taken more than once, a gauge past its days, a worn skid: what they do to values and uncertainties."""

from __future__ import annotations

import tomllib
from typing import Any

import numpy as np
import pytest

import shimwise as sw

Table = dict[str, Any]


def demo(which: str) -> Table:
    return tomllib.loads(getattr(sw.demo_files(), which).read_text(encoding="utf-8"))


def reduced(sheet: Table, car: Table | None = None) -> sw.Measured:
    return sw.load_readings(sheet, sw.load_car(car or demo("car"))).reduce()


def of(measured: sw.Measured, key: str) -> tuple[float, float]:
    at = measured.keys.index(key)
    return float(measured.values[at]), float(np.sqrt(measured.covariance[at, at]))


def repeated_sheet() -> Table:
    sheet = demo("readings")
    sheet["front_left"] |= {
        "flags_mm": {"front": [41.4, 41.8, 41.6, 41.6], "rear": 39.6},
        "camber_deg": {"facing": [-2.74, -2.70], "turned": [2.79, 2.81, 2.80]},
        "scale_kg": [100.6, 101.0],
    }
    sheet["gauge_check"]["camber_gauge_deg"] = {"facing": [0.05, 0.07], "turned": [0.02, 0.02]}
    return sheet


def test_a_list_of_one_is_that_reading_to_the_bit() -> None:
    once, listed = demo("readings"), demo("readings")
    for corner in ("front_left", "front_right", "rear_left", "rear_right"):
        row = listed[corner]
        row["flags_mm"] = {end: [mm] for end, mm in row["flags_mm"].items()}
        row["scale_kg"] = [row["scale_kg"]]
        row["camber_deg"] = [row["camber_deg"]]
    np.testing.assert_array_equal(reduced(once).values, reduced(listed).values)
    np.testing.assert_array_equal(reduced(once).covariance, reduced(listed).covariance)


def test_the_mean_counts_and_only_the_hand_averages_out() -> None:
    car = demo("car")
    car["instruments"]["flag_ruler"] |= {"resolution_mm": 0.2, "repeatability_mm": 0.3}
    given = reduced(repeated_sheet(), car).inputs["front_left.flags.front"]
    assert given.value == pytest.approx(41.6, abs=1e-12)
    assert given.anew.standard == pytest.approx(np.hypot(0.2 / np.sqrt(12.0), 0.3 / 2.0), abs=1e-15)
    assert of(reduced(repeated_sheet(), car), "front_left.weight")[0] == pytest.approx(100.8, abs=1e-12)


def test_repeats_scatter_as_the_covariance_says() -> None:
    """Sheets drawn by their own generator: the last digit of a place is shared, the hand is each one's own."""
    car, rng = demo("car"), np.random.default_rng(2026)
    with_ = car["instruments"]
    with_["flag_ruler"] |= {"resolution_mm": 0.2, "repeatability_mm": 0.3, "level_uncertainty_deg": 0.0}
    with_["scale"] |= {"resolution_kg": 0.1, "repeatability_kg": 0.2, "zero_uncertainty_kg": 0.0}
    with_["scale"]["span_uncertainty_percent"] = 0.0
    car["settling"] = dict.fromkeys(car["settling"], 0.0)
    car["strings"]["end_uncertainty_mm"] = 0.0
    model, found = sw.load_car(car), []

    def read(value: float, last_digit: float, hand: float, times: int) -> list[float]:
        return (value + last_digit * (rng.random() - 0.5) + hand * rng.normal(size=times)).tolist()

    for _ in range(1500):
        sheet = demo("readings")
        sheet["rear_left"]["flags_mm"] = {"front": read(43.8, 0.2, 0.3, 4), "rear": read(41.2, 0.2, 0.3, 2)}
        sheet["rear_left"]["scale_kg"] = read(149.7, 0.1, 0.2, 5)
        measured = sw.load_readings(sheet, model).reduce()
        found.append([of(measured, f"rear_left.{what}")[0] for what in ("toe", "weight")])
    scatter = np.std(found, axis=0, ddof=1)
    said = [of(measured, f"rear_left.{what}")[1] for what in ("toe", "weight")]
    np.testing.assert_allclose(scatter, said, rtol=5.0 / np.sqrt(2.0 * 1500))


def test_each_list_is_told_and_one_that_stands_out_is_not_dropped() -> None:
    sheet = repeated_sheet()
    sheet["front_left"]["scale_kg"] = [100.8, 100.9, 100.7, 100.8, 104.0]
    read = sw.load_readings(sheet, sw.demo_car()).read()
    told = {one.key: one.outlier for one in read.repeats}
    assert set(told) == {
        *(f"gauge_check.{way}" for way in ("facing", "turned")),
        *(f"front_left.camber.{way}" for way in ("facing", "turned")),
        *("ride_height.front_right", "front_left.flags.front", "front_left.scale"),
    }
    assert told.pop("front_left.scale") == 104.0
    assert set(told.values()) == {None}
    said = " ".join(read.text().split())
    assert "front left scale: read 5 times, 3.3 kg apart; the mean counts, with 104.0 kg that stands out" in said
    assert "front left camber turned: read 3 times, 0.020 deg apart; the mean counts. Three prove no outlier." in said
    assert of(read.measured, "front_left.weight")[0] == pytest.approx(101.44, abs=1e-9)


def test_a_gauge_past_its_days_is_half_as_sure_and_it_is_said() -> None:
    car, sheet = demo("car"), demo("readings")
    del sheet["gauge_check"]
    gauge = car["instruments"]["camber_gauge"]
    inside = reduced(sheet, car).inputs["gauge.zero"].stays.standard
    assert inside == gauge["zero_uncertainty_deg"]
    gauge["valid_days"] = 3
    measured = reduced(sheet, car)
    assert measured.inputs["gauge.zero"].stays.standard == 2.0 * inside
    assert any("is good for 3 days, and taken for half as sure" in note for note in measured.notes)


def test_a_worn_skid_leaves_the_heights_of_a_new_one() -> None:
    car, sheet = demo("car"), demo("readings")
    for point in car["ride_height_points"].values():
        point["from"] = "skid"
    car["skid_new_mm"] = 25.0
    as_new = reduced(sheet, car)
    assert any("skid_mm was not read" in note for note in as_new.notes)
    sheet["skid_mm"] = 22.4
    worn = reduced(sheet, car)
    assert any("2.6 mm are worn off" in note for note in worn.notes)
    for point in ("front_left", "rear_right"):
        assert of(worn, f"ride_height.{point}")[0] == pytest.approx(
            of(as_new, f"ride_height.{point}")[0] - 2.6, abs=1e-9
        )
    gauge = car["instruments"]["height_gauge"]
    u = np.hypot(gauge["resolution_mm"] / np.sqrt(12.0), gauge.get("repeatability_mm", 0.0))
    assert worn.inputs["skid"].stays.standard == pytest.approx(u, abs=1e-15)
    assert of(worn, "ride_height.front_left")[1] == pytest.approx(
        np.hypot(of(as_new, "ride_height.front_left")[1], u), abs=1e-9
    )
    assert of(worn, "rake")[1] == pytest.approx(of(as_new, "rake")[1], abs=1e-9)  # both ends share it
    np.testing.assert_allclose(worn.values[0], as_new.values[0], atol=1e-9)  # toe: the ground is no other


BROKEN: list[tuple[str, Any, str]] = [
    ("front_left.scale_kg", [], "front_left.scale_kg = []: is an empty list"),
    ("front_left.scale_kg", [100.8, "x"], "front_left.scale_kg"),
    ("front_left.scale_kg", [100.8, float("nan")], "front_left.scale_kg"),
    ("front_left.scale_kg", [100.8, float("inf")], "front_left.scale_kg"),
    ("front_left.scale_kg", [-100.0, -1.0], "must not be negative"),
    ("front_left.scale_kg", [-100.0, 301.6], "must not be negative"),
    ("front_left.camber_deg", {"facing": [-2.7, 80.0], "turned": 2.8}, "must lie within 45 degrees"),
    ("front_left.flags_mm.front", [-1000.0, 1083.2], "more than the flags' span of 520 mm"),
    ("front_left.scale_kg", [[100.8]], "front_left.scale_kg"),
    ("front_left.scale_kg", {"read": 100.8}, "front_left.scale_kg"),
    ("front_left.flags_mm", [41.6, 39.6], "front_left.flags_mm"),
    ("front_left.flags_mm.front", [], "front_left.flags_mm.front = []: is an empty list"),
    ("front_left.flags_mm.rear", True, "front_left.flags_mm.rear"),
    ("front_left.flags_mm.rear", [39.6, {}], "front_left.flags_mm.rear"),
    ("front_left.flags_mm.front", [41.6, 1e300], "front_left.flags_mm"),
    ("front_left.camber_deg", [], "front_left.camber_deg = []: is an empty list"),
    ("front_left.camber_deg", [-2.7, 100.0, 100.0], "must lie within 45 degrees"),
    ("front_left.camber_deg", {"facing": [-2.7]}, "front_left.camber_deg.turned: is missing"),
    ("front_left.camber_deg", {"facing": [-2.7], "turned": []}, "front_left.camber_deg.turned = []: is an empty list"),
    ("gauge_check.camber_gauge_deg", [0.1, 0.0], "needs { facing = .., turned = .. }"),
    ("gauge_check.camber_gauge_deg", {"facing": ["a"], "turned": 0.0}, "gauge_check.camber_gauge_deg.facing"),
    ("skid_mm", -1.0, "skid_mm = -1.0: must be more than 0 and no thicker than the new skid's 25 mm"),
    ("skid_mm", 26.0, "no thicker than the new skid's 25 mm"),
    ("skid_mm", [22.0, 22.1], "skid_mm"),
    ("skid_mm", "worn", "skid_mm"),
]


@pytest.mark.parametrize(("field", "value", "said"), BROKEN)
def test_what_cannot_be_read_is_refused_by_its_field(field: str, value: Any, said: str) -> None:
    car, sheet = demo("car") | {"skid_new_mm": 25.0}, demo("readings")
    *into, key = field.split(".")
    table = sheet
    for name in into:
        table = table[name]
    table[key] = value
    with pytest.raises(sw.InputError) as refused:
        reduced(sheet, car)
    assert said in str(refused.value)
    assert len(str(refused.value).splitlines()) <= 2


def test_a_skid_needs_what_a_new_one_measures() -> None:
    with pytest.raises(sw.InputError, match=r"skid_mm = 22\.0: the car file gives no skid_new_mm"):
        reduced(demo("readings") | {"skid_mm": 22.0})
    with pytest.raises(sw.InputError, match="skid_new_mm"):
        sw.load_car(demo("car") | {"skid_new_mm": -25.0})
    saved = sw.load_car(demo("car") | {"skid_new_mm": 25.0}).as_dict()
    assert saved["skid_new_mm"] == 25.0
