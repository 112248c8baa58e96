"""A sheet that is read anew after settling: what averages out, and how the car itself scatters."""

from __future__ import annotations

import copy
import datetime
import tomllib
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

import shimwise as sw

if TYPE_CHECKING:
    from collections.abc import Callable

Table = dict[str, Any]
CORNERS = ("front_left", "front_right", "rear_left", "rear_right")
KEYS = ("flags_mm", "camber_deg", "scale_kg")


def demo(which: str) -> Table:
    return tomllib.loads(getattr(sw.demo_files(), which).read_text(encoding="utf-8"))


def own_set(sheet: Table) -> Table:
    """All of the sheet that a set may have."""
    own = {corner: {key: sheet[corner][key] for key in KEYS} for corner in CORNERS}
    return copy.deepcopy(own | {"ride_heights_mm": sheet["ride_heights_mm"]})


def sets(*changes: Callable[[Table], object]) -> Table:
    """The demo sheet, with one set for each change of it."""
    sheet = demo("readings")
    sheet["again"] = [own_set(sheet) for _ in changes]
    for change, one in zip(changes, sheet["again"], strict=True):
        change(one)
    return sheet


def put(*path: Any) -> Callable[[Table], object]:
    """Put the last of these where the others lead to."""

    def change(table: Table) -> None:
        for key in path[:-2]:
            table = table[key]
        table[path[-2]] = path[-1]

    return change


def drop(*path: str) -> Callable[[Table], object]:
    """Take out what these lead to."""

    def change(table: Table) -> None:
        for key in path[:-1]:
            table = table[key]
        del table[path[-1]]

    return change


def same(_: Table) -> None:
    """As in the sheet."""


def test_what_comes_anew_averages_out_and_what_stays_does_not() -> None:
    car = demo("car")
    once, four = (sw.load_readings(sheet, sw.load_car(car)).reduce() for sheet in (demo("readings"), sets(*[same] * 3)))
    np.testing.assert_allclose(four.values, once.values, atol=1e-12)
    settling, with_ = car["settling"], car["instruments"]
    # Nothing was seen to settle: three degrees of freedom of the diagonal, of all else three a wheel or a point.
    counts = {name: np.sqrt(4.0 / (4.0 + 3.0 * n)) for name, n in (("warp", 1), ("toe", 4), ("ride_height", 4))}
    parts = {
        "settling.warp": (settling["warp_kg"] * counts["warp"] / 2.0, 0.0),
        "ride_height.rear_left": (with_["height_gauge"].get("repeatability_mm", 0.0) / 2.0, 0.0),
        "ride_height.rear_left.settling": (settling["ride_height_mm"] * counts["ride_height"] / 2.0, 0.0),
        "front_left.toe.settling": (settling["toe_deg"] * counts["toe"] / 2.0, 0.0),
        "front_left.flags.front": (with_["flag_ruler"].get("repeatability_mm", 0.0) / 2.0, 0.2),
        "front_left.scale": (with_["scale"]["repeatability_kg"] / 2.0, with_["scale"]["resolution_kg"]),
        "rear_left.camber.facing": (with_["camber_gauge"]["repeatability_deg"] / 2.0, 0.02),
    }
    for key, (normal, digit) in parts.items():
        anew = four.inputs[key].anew
        assert anew.normal == pytest.approx(normal, abs=1e-15), key
        assert anew.last_digit == pytest.approx(once.inputs[key].anew.last_digit, abs=1e-15), key
        if digit:
            assert anew.last_digit == pytest.approx(digit, abs=1e-15), key
    for key, one in once.inputs.items():
        assert four.inputs[key].stays.standard == one.stays.standard, key


def test_the_mean_of_the_sets_counts_however_often_each_was_read() -> None:
    sheet = sets(
        put("front_left", "flags_mm", "front", [41.0, 41.4]),
        put("front_left", "flags_mm", {"front": 42.2, "rear": 39.6}),
    )
    measured = sw.load_readings(sheet, sw.demo_car()).reduce()
    flag = measured.inputs["front_left.flags.front"]
    assert flag.value == pytest.approx((41.6 + 41.2 + 42.2) / 3.0, abs=1e-12)
    hand = demo("car")["instruments"]["flag_ruler"].get("repeatability_mm", 0.0)
    assert flag.anew.normal == pytest.approx(hand * np.sqrt(2.5) / 3.0, abs=1e-15)  # 1 + 1/2 + 1 over three squared


def test_linear_and_drawn_agree_on_sets() -> None:
    sheet = sets(put("rear_left", "camber_deg", -1.70), put("front_left", "scale_kg", 101.6))
    readings = sw.load_readings(sheet, sw.demo_car())
    draws = 20_000
    law, drawn = readings.reduce(), readings.reduce("monte carlo", draws=draws, seed=14)
    u = np.sqrt(np.diag(law.covariance))
    np.testing.assert_allclose(np.sqrt(np.diag(drawn.covariance)) / u, 1.0, atol=5.0 / np.sqrt(2.0 * draws))
    np.testing.assert_allclose((drawn.values - law.values) / u, 0.0, atol=5.0 / np.sqrt(draws))


def test_the_mean_of_sets_scatters_as_its_covariance_says(size: Callable[[int, int], int]) -> None:
    """Sheets drawn by their own generator, the last digits shared by no two of them."""
    car, rng = demo("car"), np.random.default_rng(1310)
    car["settling"] = {"warp_kg": 0.8, "ride_height_mm": 0.3, "lateral_mm": 0.0, "toe_deg": 0.02, "camber_deg": 0.03}
    settling, with_ = car["settling"], car["instruments"]
    model, sheets = sw.load_car(car), size(300, 2000)
    found, said = [], []

    def drawn_set(sheet: Table) -> Table:
        one, warp = own_set(sheet), settling["warp_kg"] * rng.normal()
        for i, corner in enumerate(CORNERS):
            toe = 0.5 * car["setup_wheel"]["front"]["flag_span_mm"] * np.radians(settling["toe_deg"] * rng.normal())
            hand = with_["flag_ruler"].get("repeatability_mm", 0.0) * rng.normal(size=2)
            for n, (way, sign) in enumerate((("front", 1.0), ("rear", -1.0))):
                one[corner]["flags_mm"][way] += sign * toe + hand[n]
            gauge = np.hypot(settling["camber_deg"], with_["camber_gauge"]["repeatability_deg"])
            one[corner]["camber_deg"] += gauge * rng.normal()
            hand_kg = with_["scale"]["repeatability_kg"] * rng.normal()
            one[corner]["scale_kg"] += (warp if i in (0, 3) else -warp) + hand_kg
        return one

    plain = demo("readings")
    for _ in range(sheets):
        sheet = demo("readings") | drawn_set(plain)
        sheet["again"] = [drawn_set(plain) for _ in range(3)]
        measured = sw.load_readings(sheet, model).reduce()
        at = [measured.keys.index(key) for key in ("front_left.toe", "rear_right.camber", "front_left.weight")]
        found.append(measured.values[at])
        anew = np.sqrt(np.diag(measured.core.repeat_covariance))[at]
        digits = [
            np.degrees(np.sqrt(2.0 * with_["flag_ruler"]["resolution_mm"] ** 2 / 12.0) / 520.0),
            with_["camber_gauge"]["resolution_deg"] / np.sqrt(12.0),
            with_["scale"]["resolution_kg"] / np.sqrt(12.0),
        ]
        level = np.radians(with_["flag_ruler"]["level_uncertainty_deg"])
        digits[0] = np.hypot(digits[0], np.degrees(level * np.sin(np.radians(2.7))))
        said.append(anew**2 - np.square(digits))
    ratio = np.std(found, axis=0) / np.sqrt(np.mean(said, axis=0))
    np.testing.assert_allclose(ratio, 1.0, atol=5.0 / np.sqrt(2.0 * sheets) + 0.03)


def test_read_tells_what_the_sets_show_beside_the_file() -> None:
    sheet = sets(
        put("front_left", "scale_kg", 102.8), put("front_left", "scale_kg", 98.8), put("rear_right", "scale_kg", 152.3)
    )
    read = sw.load_readings(sheet, sw.demo_car()).read()
    said = " ".join(read.text().split())
    assert said.count("The sheet was read in 4 sets, settled anew before each: their mean counts.") == 1
    assert "front left scale: read" not in said  # nothing stands out
    warp = next(one for one in read.settled if one.what == "warp")
    quarter = np.array([0.0, 2.0, -2.0, 0.4]) / 4.0
    scale = demo("car")["instruments"]["scale"]
    one = scale["repeatability_kg"] ** 2 + scale["resolution_kg"] ** 2 / 12.0
    seen = np.var(quarter, ddof=1) - one / 4.0
    assert warp.seen == pytest.approx(np.sqrt(seen), abs=1e-12)
    from scipy.stats import chi2

    ends = np.sqrt(3.0 * np.var(quarter, ddof=1) / chi2.ppf([0.975, 0.025], 3) - one / 4.0)
    np.testing.assert_allclose(warp.within_95, ends, atol=1e-12)
    file = demo("car")["settling"]["warp_kg"]
    assert warp.counts == pytest.approx(np.sqrt((4.0 * file**2 + 3.0 * seen) / 7.0), abs=1e-12)
    assert f"weights: settling scatters them by {warp.seen:.2f} kg, as 4 sets show" in said
    assert f"by {file:.2f} in the car file; {warp.counts:.2f} kg counts." in said
    assert {one["what"] for one in read.as_dict()["settled"]} == {"toe", "camber", "ride_height", "warp"}


def test_of_two_sets_alike_the_files_scatter_counts_and_is_said_to() -> None:
    read = sw.load_readings(sets(put("front_left", "scale_kg", 100.9)), sw.demo_car()).read()
    warp = next(one for one in read.settled if one.what == "warp")
    assert warp.counts == warp.of_file
    said = " ".join(read.text().split())
    assert f"the {warp.of_file:.2f} kg of the car file counts." in said
    assert "weights: settling scatters them by no more than the instruments do, as 2 sets show (95 %: 0.00 to" in said
    assert warp.within_95[1] > 0.0  # equal readings do not show that a car is steady


def test_two_sets_far_apart_raise_what_counts_and_are_doubted() -> None:
    read = sw.load_readings(sets(put("front_left", "scale_kg", 117.8)), sw.demo_car()).read()
    warp = next(one for one in read.settled if one.what == "warp")
    assert warp.counts > 5.0 * warp.of_file
    assert any("front_left.scale_kg: spread of one scale read again is 17 kg" in doubt for doubt in read.doubts)


def test_the_interval_of_the_settling_covers(size: Callable[[int, int], int]) -> None:
    from scipy.stats import binom

    from shimwise.readings.settled import spread_within

    rng, trials, degrees = np.random.default_rng(2), size(2000, 20000), 3
    variances = rng.normal(size=(trials, degrees + 1)).var(axis=1, ddof=1)
    inside = sum(low <= 1.0 <= high for low, high in (spread_within(v, degrees) for v in variances))
    assert binom.ppf(0.0005, trials, 0.95) <= inside <= binom.ppf(0.9995, trials, 0.95)


def test_a_set_that_stands_out_is_named() -> None:
    sheet = sets(*[same] * 4, put("front_left", "flags_mm", "front", 51.6))
    read = sw.load_readings(sheet, sw.demo_car()).read()
    flag = next(one for one in read.repeats if one.key == "front_left.flags.front")
    assert flag.outlier == 51.6
    said = " ".join(read.text().split())
    assert (
        "front left flags front: read in 6 sets, 10.0 mm apart; the mean counts, with 51.6 mm that stands out" in said
    )


def test_what_stands_out_within_one_set_is_named_still() -> None:
    sheet = sets(same)
    sheet["ride_heights_mm"]["front_left"] = [30.8, 30.8, 30.7, 30.8, 31.9]
    said = " ".join(sw.load_readings(sheet, sw.demo_car()).read().text().split())
    assert "ride height front left: read 5 times, 1.2 mm apart; the mean counts, with 31.9 mm that stands out" in said


def test_heights_of_all_sets_are_doubted_together() -> None:
    readings = sw.load_readings(sets(put("ride_heights_mm", "front_left", 92.6)), sw.demo_car())
    assert any("spread of one height read again is 61.8 mm" in doubt for doubt in readings.read().doubts)


def turned(one: Table) -> None:
    one["front_left"]["camber_deg"] = {"facing": -2.7, "turned": 2.6}


def empty(one: Table) -> None:
    one.clear()


def no_flags_at_one_wheel(one: Table) -> None:
    del one["rear_right"]["flags_mm"]


def lifted(one: Table) -> None:
    for corner in CORNERS:
        one[corner]["scale_kg"] = 0.0


BROKEN: list[tuple[Callable[[Table], object], str]] = [
    (empty, "again[1]: nothing was read"),
    (no_flags_at_one_wheel, "again[1].rear_right.flags_mm: is missing: what the sheet has of all wheels"),
    (drop("front_left", "scale_kg"), "again[1].front_left.scale_kg: is missing: what the sheet has of all wheels"),
    (turned, "again[1].front_left.camber_deg: is read the same ways round as in the sheet itself"),
    (lifted, "again[1].scale_kg: all four scales show 0 kg"),
    (put("front_left", "scale_kg", -1.0), "again[1].front_left.scale_kg = -1.0: must not be negative"),
    (
        put("front_left", "camber_deg", [50.0, 1.0]),
        "again[1].front_left.camber_deg = [ 50.0, 1.0, ]: must lie within 45 degrees",
    ),
    (put("front_left", "camber_deg", "x"), "again[1].front_left.camber_deg"),
    (put("front_left", "flags_mm", {"front": 40.0}), "again[1].front_left.flags_mm.rear: is missing"),
    (put("front_left", "flags_mm", "front", float("nan")), "again[1].front_left.flags_mm.front"),
    (put("front_left", "flags_mm", "front", 700.0), "again[1].front_left.flags_mm: front and rear differ by"),
    (put("ride_heights_mm", "front_left", 0.0), "again[1].ride_heights_mm.front_left = 0.0: must be more than 0"),
    (put("ride_heights_mm", "nose", 40.0), "again[1].ride_heights_mm.nose"),
    (put("strings", {}), "again[1].strings"),
    (put("front_left", "shims_mm", {}), "again[1].front_left.shims_mm"),
    (put("at", datetime.date(2026, 5, 2)), "again[1].at"),
]


@pytest.mark.parametrize(("change", "said"), BROKEN)
def test_what_is_no_set_is_refused_by_its_field(change: Callable[[Table], object], said: str) -> None:
    with pytest.raises(sw.InputError) as refused:
        sw.load_readings(sets(change), sw.demo_car())
    assert said in str(refused.value)


@pytest.mark.parametrize("what", ["ride_heights_mm", "flags_mm", "camber_deg", "scale_kg"])
def test_what_the_sheet_has_not_is_not_read_anew(what: str) -> None:
    sheet = sets(same)
    if what == "ride_heights_mm":
        del sheet[what]["rear_left"]
    else:
        for corner in CORNERS:
            del sheet[corner][what]
    with pytest.raises(sw.InputError, match="was not read in the sheet itself"):
        sw.load_readings(sheet, sw.demo_car())


@pytest.mark.parametrize(("again", "said"), [({}, "needs tables"), ([1], "needs tables"), ([], "is an empty list")])
def test_what_is_no_list_of_sets_is_refused(again: Any, said: str) -> None:
    with pytest.raises(sw.InputError, match=said):
        sw.load_readings(demo("readings") | {"again": again}, sw.demo_car())
