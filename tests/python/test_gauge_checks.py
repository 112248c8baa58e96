"""The camber gauge checked more than once in a morning: the mean of the checks, and what the zero drifted between."""

from __future__ import annotations

import datetime
import tomllib
from typing import Any

import numpy as np
import pytest

import shimwise as sw

Table = dict[str, Any]
EIGHT = datetime.datetime(2026, 5, 2, 8, 10, tzinfo=datetime.UTC)


def demo(which: str) -> Table:
    return tomllib.loads(getattr(sw.demo_files(), which).read_text(encoding="utf-8"))


def check(hours: float, facing: Any, turned: Any) -> Table:
    at = EIGHT + datetime.timedelta(hours=hours)
    return {"at": at, "camber_gauge_deg": {"facing": facing, "turned": turned}}


def reduced(checks: Any, car: Table | None = None) -> sw.Measured:
    sheet = demo("readings") | {"gauge_check": checks}
    return sw.load_readings(sheet, sw.load_car(car or demo("car"))).reduce()


def test_one_check_is_the_same_to_the_bit_however_it_is_written() -> None:
    once = demo("readings")["gauge_check"]
    plain = reduced(once)
    for other in ([once], once | {"at": EIGHT}, once | {"at": EIGHT.date()}, [once | {"at": EIGHT}]):
        again = reduced(other)
        assert again.keys == plain.keys
        np.testing.assert_array_equal(again.values, plain.values)
        np.testing.assert_array_equal(again.covariance, plain.covariance)
        assert again.notes == plain.notes


def test_the_mean_of_the_checks_is_the_zero_and_the_farthest_says_how_sure() -> None:
    measured = reduced([check(0, 0.05, 0.01), check(1.5, 0.07, [0.03, 0.05]), check(3, 0.15, 0.11)])
    gauge = demo("car")["instruments"]["camber_gauge"]
    inputs = measured.inputs
    assert inputs["gauge_check.facing"].value == pytest.approx(0.09, abs=1e-15)
    assert inputs["gauge_check.turned"].value == pytest.approx(0.05, abs=1e-15)
    hand = gauge["repeatability_deg"]
    for way, times in (("facing", 3), ("turned", 4)):
        u = np.hypot(gauge["resolution_deg"] / np.sqrt(12.0), hand / np.sqrt(times))
        assert inputs[f"gauge_check.{way}"].stays.standard == pytest.approx(u, abs=1e-15)
    drift = inputs["gauge_check.drift"]
    assert drift.value == 0.0
    assert drift.anew.standard == 0.0  # all wheels share it
    assert drift.stays.standard == pytest.approx(0.06 / np.sqrt(3.0), abs=1e-15)  # 0.13 beside a mean of 0.07
    without = reduced({"camber_gauge_deg": {"facing": 0.09, "turned": 0.05}})
    np.testing.assert_allclose(measured.values, without.values, atol=1e-12)
    assert any(
        "+0.070 deg too much by the mean of 3 checks from 2026-05-02T08:10:00Z to 2026-05-02T11:10:00Z, "
        "which lie 0.100 deg apart" in note
        for note in measured.notes
    )


def test_a_gauge_that_drifts_scatters_as_the_covariance_says() -> None:
    """Mornings drawn by their own generator: the zero creeps, the wheels are read at some time between two checks."""
    car, rng = demo("car"), np.random.default_rng(1309)
    car["settling"] = dict.fromkeys(car["settling"], 0.0)
    digit, hand, creep = 0.02, 0.01, 0.3
    car["instruments"]["camber_gauge"] |= {"resolution_deg": digit, "repeatability_deg": hand}
    car["instruments"]["pad_level"] |= {"resolution_mm": 1e-6, "repeatability_mm": 0.0}
    car["instruments"]["flag_ruler"] |= {"resolution_mm": 1e-6, "repeatability_mm": 0.0, "level_uncertainty_deg": 0.0}
    model, found, said = sw.load_car(car), [], []
    wheels = ("rear_left", "rear_right")
    for _ in range(1500):
        shared = {way: digit * (rng.random() - 0.5) for way in (1, -1)}

        def checked(zero: float, way: int) -> float:
            return float(zero + shared[way] + hand * rng.normal())  # noqa: B023

        sheet = demo("readings")
        sheet["gauge_check"] = [check(hours, checked(z, 1), checked(z, -1)) for hours, z in ((0, 0.0), (3, creep))]
        zero = creep * rng.random()
        for wheel in wheels:
            sheet[wheel]["camber_deg"] = -1.5 + zero + digit * (rng.random() - 0.5) + hand * rng.normal()
        measured = sw.load_readings(sheet, model).reduce()
        at = [measured.keys.index(f"{wheel}.camber") for wheel in wheels]
        found.append(measured.values[at])
        said.append(measured.covariance[np.ix_(at, at)])
    scatter, expected = np.cov(np.array(found).T), np.mean(said, axis=0)
    np.testing.assert_allclose(scatter, expected, atol=5.0 * np.sqrt(2.0 / 1500) * expected.max())
    assert expected[0, 1] > 0.9 * creep**2 / 12.0


def test_read_tells_the_checks_and_their_repeats() -> None:
    sheet = demo("readings") | {"gauge_check": [check(0, 0.05, 0.01), check(2, 0.09, 0.03)]}
    read = sw.load_readings(sheet, sw.demo_car()).read()
    assert [round(one.zero_deg, 9) for one in read.gauge_checks] == [0.03, 0.06]
    assert {one.key for one in read.repeats} >= {"gauge_check.facing", "gauge_check.turned"}
    gauge = demo("car")["instruments"]["camber_gauge"]
    one_way = np.hypot(gauge["resolution_deg"] / np.sqrt(12.0), gauge["repeatability_deg"] / np.sqrt(2.0))
    u = np.hypot(one_way / np.sqrt(2.0), 0.015 / np.sqrt(3.0))
    assert read.gauge_zero_deg.uncertainty == pytest.approx(u, abs=1e-12)
    said = " ".join(read.text().split())
    assert f"its zero is +0.045 deg, u {u:.3f}, by the mean of 2 checks, 0.030 deg apart." in said
    assert read.as_dict()["gauge_checks"][0]["at"] == "2026-05-02T08:10:00Z"


def test_checks_that_lie_far_apart_are_doubted() -> None:
    sheet = demo("readings") | {"gauge_check": [check(0, 0.06, 0.02), check(2, 1.06, 0.02)]}
    doubts = sw.load_readings(sheet, sw.demo_car()).read().doubts
    assert any("gauge_check: how far the checks of the gauge's zero lie apart is 0.5 deg" in doubt for doubt in doubts)


TWO = [check(0, 0.06, 0.02), check(1, 0.08, 0.02)]
BROKEN: list[tuple[Any, str]] = [
    ([], "gauge_check = []: is an empty list"),
    ([0.1, 0.2], "gauge_check"),
    (0.1, "gauge_check"),
    ([TWO[0], 0.1], "needs tables, each under [[gauge_check]]"),
    ([{}], "gauge_check[1].camber_gauge_deg: is missing"),
    ([TWO[0], {"at": EIGHT + datetime.timedelta(hours=1)}], "gauge_check[2].camber_gauge_deg: is missing"),
    (TWO[::-1], "gauge_check[2].at = 2026-05-02 08:10:00+00:00: is not later than the check before it"),
    ([TWO[0], TWO[0]], "is not later than the check before it"),
    ([TWO[0], {"camber_gauge_deg": {"facing": 0.0, "turned": 0.0}}], "gauge_check[2].at: each of several checks needs"),
    ([TWO[0], TWO[1] | {"at": EIGHT.date()}], "gauge_check[2].at = 2026-05-02: each of several checks needs"),
    ([TWO[0], TWO[1] | {"at": "09:10"}], "gauge_check[2].at"),
    ([TWO[0], TWO[1] | {"at": datetime.time(9, 10)}], "gauge_check[2].at"),
    ([TWO[0], TWO[1] | {"at": datetime.datetime(2026, 5, 2, 9, 10)}], "the times of all checks are given in one zone"),  # noqa: DTZ001
    ([TWO[0], TWO[1] | {"camber_gauge_deg": 0.1}], "needs { facing = .., turned = .. }"),
    ([TWO[0], TWO[1] | {"camber_gauge_deg": {"facing": 0.1}}], "gauge_check[2].camber_gauge_deg.turned: is missing"),
    ([TWO[0], check(1, [], 0.0)], "gauge_check[2].camber_gauge_deg.facing = []: is an empty list"),
    ([TWO[0], check(1, float("nan"), 0.0)], "gauge_check[2].camber_gauge_deg.facing"),
    ([TWO[0], check(1, [0.0, float("inf")], 0.0)], "gauge_check[2].camber_gauge_deg.facing"),
    ([TWO[0], check(1, [0.0, "x"], 0.0)], "gauge_check[2].camber_gauge_deg.facing"),
    ([TWO[0], check(1, [50.0, -50.0], 0.0)], "gauge_check[2].camber_gauge_deg: must lie within 45 degrees"),
    ([TWO[0], TWO[1] | {"zero": 0.1}], "gauge_check[2].zero"),
]


@pytest.mark.parametrize(("checks", "said"), BROKEN)
def test_what_is_no_check_is_refused_by_its_field(checks: Any, said: str) -> None:
    with pytest.raises(sw.InputError) as refused:
        reduced(checks)
    assert said in str(refused.value)
    assert "Traceback" not in str(refused.value)


def test_times_with_fractions_of_a_second_and_four_hundred_checks_are_in_order() -> None:
    half = datetime.timedelta(seconds=0.5)
    soon = TWO[0] | {"at": EIGHT + half}
    assert "gauge_check.drift" in reduced([TWO[0], soon]).inputs
    with pytest.raises(sw.InputError, match="is not later"):
        reduced([soon, TWO[0]])
    many = [check(0.001 * n, 0.06 + 0.0001 * n, 0.02) for n in range(400)]
    assert reduced(many).inputs["gauge_check.facing"].value == pytest.approx(0.06 + 0.0001 * 199.5, abs=1e-12)
