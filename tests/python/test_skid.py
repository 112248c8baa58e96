"""`shimwise skid`: the line, its prediction and inverse prediction against SciPy, what is refused, and how it looks."""

from __future__ import annotations

import json
import subprocess
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy import optimize, stats

import shimwise as sw

Run = Callable[..., subprocess.CompletedProcess[str]]
Table = dict[str, Any]

CORNERS = ("front_left", "front_right", "rear_left", "rear_right")


def worn(km: list[float], mm: list[float], gauge_mm: float = 0.05, **more: Any) -> Table:
    """One point's wear; invented."""
    checks = [{"distance_km": at, "thickness_mm": {"nose": left}} for at, left in zip(km, mm, strict=True)]
    points = {"nose": [-250.0, 0.0, -5.0]}
    return {"format": "shimwise-skid/1", "gauge_uncertainty_mm": gauge_mm, "points": points, "check": checks} | more


def demo() -> Table:
    return tomllib.loads(sw.demo_files().skid.read_text(encoding="utf-8"))


def on_one_line(said: str) -> str:
    return " ".join(said.split())


def test_line_prediction_and_inverse_prediction_against_scipy() -> None:
    km = np.array([0.0, 60.0, 150.0, 150.0, 260.0, 330.0])
    mm = np.array([25.0, 24.2, 23.7, 23.5, 22.9, 21.9])
    found = sw.skid(worn(km.tolist(), mm.tolist()), next_km=120.0).wear
    point = found.points[0]
    seen = point.outlook
    assert seen is not None
    line = stats.linregress(km, mm)
    n, t = len(km), stats.t.ppf(0.975, len(km) - 2)
    scatter = np.sqrt(np.sum((mm - line.intercept - line.slope * km) ** 2) / (n - 2))
    spread = np.sum((km - km.mean()) ** 2)
    assert (point.scatter.degrees, point.scatter.standard) == (n - 2, pytest.approx(scatter, rel=1e-12))
    rate = seen.wear_mm_per_100_km
    assert rate.value == pytest.approx(-100.0 * line.slope, rel=1e-12)
    assert (rate.high - rate.value) == pytest.approx(100.0 * t * line.stderr, rel=1e-10)

    then = 330.0 + 120.0
    u = scatter * np.sqrt(1.0 + 1.0 / n + (then - km.mean()) ** 2 / spread)
    mean = line.intercept + line.slope * then
    assert seen.after_next_mm.value == pytest.approx(mean, rel=1e-12)
    assert seen.after_next_mm.low == pytest.approx(mean - t * u, rel=1e-10)
    assert seen.chance_under == pytest.approx(stats.t.cdf((20.0 - mean) / u, n - 2), rel=1e-9)

    def edge(x: float, sign: int) -> float:
        """Where the confidence band of the mean line is at 20 mm."""
        band = t * scatter * np.sqrt(1.0 / n + (x - km.mean()) ** 2 / spread)
        return float(line.intercept + line.slope * x + sign * band - 20.0)

    assert seen.left_km.value == pytest.approx((20.0 - line.intercept) / line.slope - 330.0, rel=1e-10)
    assert seen.left_km.low == pytest.approx(optimize.brentq(edge, 330.0, 1e4, args=(-1,), xtol=1e-9) - 330.0, rel=1e-9)
    assert seen.left_km.high == pytest.approx(optimize.brentq(edge, 330.0, 1e4, args=(1,), xtol=1e-9) - 330.0, rel=1e-9)


def test_by_ride_height_against_least_squares_of_three_columns() -> None:
    table = demo()
    km = np.array([check["distance_km"] for check in table["check"]])
    mm = np.array([check["thickness_mm"]["nose"] for check in table["check"]])
    heights = np.array([30.0, 30.0, 30.0, 28.5, 28.5, 28.5])  # as it runs from there on
    higher = np.concatenate([[0.0], np.cumsum(np.diff(km) * (heights[:-1] - heights[-1]))])
    A = np.column_stack([np.ones_like(km), km, higher])
    (_, slope, by_height), squares, *_ = np.linalg.lstsq(A, mm, rcond=None)
    u = np.sqrt(np.diag(np.linalg.inv(A.T @ A)) * squares[0] / 3.0)
    (by,) = sw.skid(table, lasts_km=300.0).wear.points[0].by_height
    assert by.height == "front_left"
    assert by.outlook.wear_mm_per_100_km.value == pytest.approx(-100.0 * slope, rel=1e-10)
    assert by.outlook.wear_mm_per_100_km.uncertainty == pytest.approx(100.0 * u[1], rel=1e-9)
    assert by.less_mm_per_100_km.value == pytest.approx(100.0 * by_height, rel=1e-9)
    assert by.less_mm_per_100_km.uncertainty == pytest.approx(100.0 * u[2], rel=1e-9)
    assert by.lasts_mm is not None
    assert by.lasts_mm.value is not None
    now = A[-1] @ np.linalg.lstsq(A, mm, rcond=None)[0]
    assert now + 300.0 * (slope + by_height * (by.lasts_mm.value - 28.5)) == pytest.approx(20.0, abs=1e-9)


def test_what_is_printed_fits_80_columns_and_says_what_counts(run: Run, tmp_path: Path) -> None:
    (tmp_path / "wren_skid.toml").write_bytes(sw.demo_files().skid.read_bytes())
    said = run("skid", "wren_skid.toml").stdout
    assert max(len(line.rstrip()) for line in said.splitlines()) <= 80
    words = on_one_line(said)
    assert words.startswith("The skid at 431 km")
    assert "After the next run, 81 km" in words
    assert "Scatter of tail: the gauge's alone, 0.05 mm." in words
    assert "Support the car" not in said
    asked = run("skid", "wren_skid.toml", "wren.toml", "--next", "40", "--lasts", "300").stdout
    assert "After the next run, 40 km" in asked
    assert "The height that lasts 300 km from now" in asked
    assert "Support the car" in asked  # a height is changed by turning something
    assert "wren_skid.toml" in asked.splitlines()[-1]
    assert "wren.toml" in asked.splitlines()[-1]


def test_long_names_and_wide_numbers_fit_too() -> None:
    table = worn([0.0, 30.0, 60.0], [25.0, 24.0, 23.9])
    table["points"] = {"a" * 70: [0.0, 0.0, 0.0], "[red]\x1b[31m": [0.0, 0.0, 0.0]}
    for check in table["check"]:
        check["thickness_mm"] = dict.fromkeys(table["points"], check["thickness_mm"]["nose"])
        check["ride_height_mm"] = {"b" * 70: 30.0}
    said = sw.skid(table).text()
    assert max(len(line.rstrip()) for line in said.splitlines()) <= 80
    assert "\x1b" not in said
    assert "[red]" in said


def test_json_says_where_it_comes_from(run: Run, tmp_path: Path) -> None:
    (tmp_path / "skid.toml").write_bytes(sw.demo_files().skid.read_bytes())
    told = json.loads(run("skid", "skid.toml", "wren.toml", "--json").stdout)
    assert told["roles"] == {"skid": "skid.toml", "car": "wren.toml"}
    assert told["car"] == "Wren"
    assert [point["point"] for point in told["points"]] == ["nose", "tail"]
    assert told["points"][0]["outlook"]["left_km"]["low"] < told["points"][0]["outlook"]["left_km"]["value"]
    assert told["cautions"]


def test_one_run_alone_is_refused_unless_the_gauge_is_taken_alone(shimwise: Run, tmp_path: Path) -> None:
    lines = ['format = "shimwise-skid/1"', "gauge_uncertainty_mm = 0.05", "points = { nose = [0.0, 0.0, 0.0] }"]
    for km, mm in ((0, 25.0), (80, 24.2)):
        lines += ["[[check]]", f"distance_km = {km}", f"thickness_mm = {{ nose = {mm} }}"]
    (tmp_path / "skid.toml").write_text("\n".join(lines), encoding="utf-8")
    refused = shimwise("skid", "skid.toml", code=2).stderr
    assert refused.startswith("skid.toml: nose: one run alone is no rate")
    said = on_one_line(shimwise("skid", "skid.toml", "--gauge-alone").stdout)
    assert "Scatter of nose: the gauge's alone, 0.05 mm." in said
    assert "Common practice, no source: new 25 mm, least 20 mm." in said


@pytest.mark.parametrize(
    ("options", "sentence"),
    [
        (("--next", "0"), "next_km = 0: must be more than 0 and no more than 100000 km"),
        (("--next", "nan"), "next_km = nan: must be more than 0 and no more than 100000 km"),
        (("--lasts", "-5"), "lasts_km = -5: must be more than 0 and no more than 100000 km"),
        (("--lasts", "1e300"), "lasts_km = 1e+300: must be more than 0 and no more than 100000 km"),
    ],
)
def test_distances_without_sense_are_refused(
    shimwise: Run, tmp_path: Path, options: tuple[str, str], sentence: str
) -> None:
    (tmp_path / "skid.toml").write_bytes(sw.demo_files().skid.read_bytes())
    assert shimwise("skid", "skid.toml", *options, code=2).stderr == sentence + "\n"


def test_a_skid_that_was_changed_starts_anew_in_a_call_too() -> None:
    table = worn([0.0, 100.0, 200.0, 200.0, 300.0, 390.0], [24.0, 22.1, 20.2, 25.0, 24.1, 23.2])
    with pytest.raises(sw.InputError, match=r"check\[4\]\.thickness_mm\.nose = 25\.0: is 4\.8 mm thicker"):
        sw.skid(table)
    table["check"][3]["new"] = True
    found = sw.skid(table)
    assert found.wear.points[0].checks == 3
    assert "3 checks of an earlier skid left out." in found.text()


def test_the_height_that_lasts_is_planned_by_its_pushrods(shimwise: Run, tmp_path: Path, car: sw.Car) -> None:
    measured = sw.load_readings(sw.demo_files().readings, car).reduce()
    found = sw.skid(sw.demo_files().skid, car, lasts_km=300.0)
    frame, nose = measured.frame(), found.wear.points[0]
    x = np.array([0.0, 0.0, -2345.0, -2345.0])  # the demo's ride-height points
    read = np.array([frame.loc[f"ride_height.{corner}", "value"] for corner in CORNERS])
    under = np.polyval(np.polyfit(x, read, 1), -250.0) - 5.0
    up = nose.by_height[0].lasts_mm.value - under
    assert up > 0.1
    plan = sw.plan(car, measured, found.targets(measured, car))
    for corner, mm in zip(CORNERS, read, strict=True):
        assert plan.values.loc[f"ride_height.{corner}", "target"] == pytest.approx(mm + up, abs=1e-9)
    assert {setting.split(".")[1] for setting in plan.settings} == {"pushrod"}
    assert any("mm more, with which the skid lasts 300 km at nose" in note for note in plan.notes)

    near = sw.plan(car, measured, sw.skid(sw.demo_files().skid, car, lasts_km=60.0).targets(measured, car))
    assert any("ride heights stay" in note for note in near.notes)
    assert near.settings == {}
    with pytest.raises(sw.InputError, match="needs the distance that the skid is to last"):
        sw.skid(sw.demo_files().skid, car).targets(measured, car)
    alike = demo()
    for check in alike["check"]:
        check.pop("ride_height_mm", None)
    with pytest.raises(sw.InputError, match="nose: these runs do not tell which ride height lasts 300 km"):
        sw.skid(alike, car, lasts_km=300.0).targets(measured, car)

    files = ["skid", str(sw.demo_files().skid), str(sw.demo_files().car), str(sw.demo_files().readings)]
    card = tmp_path / "card.json"
    said = shimwise(*files, "--lasts", "300", "--save", str(card)).stdout
    assert "CARD  Wren" in said
    assert json.loads(card.read_text(encoding="utf-8"))["format"] == "shimwise-card/1"
    assert "--lasts: READINGS are for" in on_one_line(shimwise(*files, code=2).stderr)
    assert "there are none" in on_one_line(shimwise(*files[:3], "--save", "x.json", code=2).stderr)
    assert "there is none" in on_one_line(shimwise(*files[:2], "--settings", "x.toml", code=2).stderr)


def test_another_file_and_another_car_are_told(car: sw.Car) -> None:
    with pytest.raises(sw.InputError, match="this is a readings file, a skid file is needed"):
        sw.skid(sw.demo_files().readings)
    with pytest.raises(sw.InputError, match="needs a Car"):
        sw.skid(sw.demo_files().skid, "wren.toml")  # type: ignore[arg-type]
    table = demo()
    table["check"][0]["ride_height_mm"] = {"front_lfet": 30.0}
    assert sw.skid(table).wear.points  # by any name where no car is given
    with pytest.raises(sw.InputError, match='did you mean "front_left"'):
        sw.skid(table, car)
