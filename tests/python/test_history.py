"""A folder of baselines: the chain, what is wrong with it, and whether a value drifts."""

from __future__ import annotations

import csv
import io
import json
import shutil
import subprocess
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from baselines import accepted, chain, noise, replaced, sealed, sheet
from scipy import stats

import shimwise as sw
from toml_text import toml_lines

Run = Callable[..., subprocess.CompletedProcess[str]]
BAND, LEVEL = 0.999, 0.05
DRIFT_DEG = 0.02  # a week


def drifting(rng: np.random.Generator) -> Callable[[int, dict], None]:
    """One camber runs off, all else is noise."""
    scatter = noise(rng)

    def change(i: int, table: dict) -> None:
        scatter(i, table)
        table["front_left"]["camber_deg"] += i * DRIFT_DEG

    return change


def test_a_chain_is_told_oldest_first_with_its_trend(car: sw.Car, tmp_path: Path, run: Run) -> None:
    chain(car, tmp_path, 12, drifting(np.random.default_rng(3)))
    found = sw.history(tmp_path)
    assert [Path(one.file).name for one in found.chain] == [f"b{i:03}.toml" for i in range(12)]
    assert found.faults == []
    assert found.core.dated
    assert found.core.one_set
    trend = found.trends().loc["front_left.camber"]
    assert trend.is_one
    assert trend.over == pytest.approx(11 * DRIFT_DEG, abs=4.0 * trend.uncertainty)
    assert trend["rate"] == pytest.approx(trend.over / 77.0)
    said = run("history", ".").stdout
    assert max(map(len, said.splitlines())) <= 80
    row = next(line for line in said.splitlines() if line.startswith("front left camber"))
    assert "TREND p<0.001" in row
    told = json.loads(run("history", ".", "--json").stdout)
    assert [one["baseline"]["digest"] for one in told["accepted"]] == [one.digest for one in found.chain]
    assert next(one for one in told["trends"] if one["key"] == "front_left.camber")["is_one"]
    rows = list(csv.DictReader(io.StringIO(run("history", ".", "--csv").stdout)))
    assert len(rows) == 12 * 29
    assert float(rows[0]["value"]) == found.chain[0].values[0].value


def test_a_trend_is_the_weighted_line_and_its_scatter_is_students(car: sw.Car, tmp_path: Path) -> None:
    """Beside NumPy's polynomial fit and SciPy's distributions."""

    def change(i: int, table: dict) -> None:
        table["rear_left"]["scale_kg"] += (0.0, 1.5, -1.0, 2.0, 0.5)[i]

    chain(car, tmp_path, 5, change)
    found = sw.history(tmp_path)
    values = found.frame()["rear_left.weight"].to_numpy()
    s = np.array([{v.key: v.anew for v in one.values}["rear_left.weight"] for one in found.chain])
    days = 7.0 * np.arange(5)
    (rate, _), covariance = np.polyfit(days, values, 1, w=1.0 / s, cov="unscaled")
    trend = found.trends().loc["rear_left.weight"]
    assert trend["rate"] == pytest.approx(rate, rel=1e-9)
    chi_square = np.sum(((values - np.polyval(np.polyfit(days, values, 1, w=1.0 / s), days)) / s) ** 2)
    u = np.sqrt(covariance[0, 0] * max(1.0, chi_square / 3.0))
    assert trend.uncertainty == pytest.approx(u * 28.0, rel=1e-9)
    assert trend.chance == pytest.approx(2.0 * stats.t.sf(abs(rate / u), 3), rel=1e-9)
    steady = found.trends().loc["front_left.weight"]
    assert (steady["rate"], steady.chance, steady.is_one) == (0.0, 1.0, False)


def test_noise_is_called_a_trend_in_no_more_than_1_of_20(
    car: sw.Car, tmp_path: Path, size: Callable[[int, int], int]
) -> None:
    count = size(40, 400)
    rng = np.random.default_rng(5)
    called: dict[str, int] = {}
    for i in range(count):
        folder = tmp_path / str(i)
        folder.mkdir()
        chain(car, folder, 6, noise(rng))
        for trend in sw.history(folder).core.trends:
            if "camber" in trend.key or trend.key.endswith(".weight"):
                called[trend.key] = called.get(trend.key, 0) + trend.is_one
    print(f"{count} histories without a trend, called one in {min(called.values())} to {max(called.values())}")
    assert max(called.values()) <= stats.binom.interval(BAND, count, LEVEL)[1]
    assert sum(called.values()) > 0


def test_a_fork_a_gap_a_copy_a_second_beginning_and_a_changed_file_are_said(car: sw.Car, tmp_path: Path) -> None:
    chain(car, tmp_path, 4)
    assert sw.history(tmp_path).faults == []
    first = sw.load_baseline(tmp_path / "b000.toml", car)
    accepted(car, tmp_path / "c.toml", 9.0, replaces=first)
    shutil.copy(tmp_path / "b001.toml", tmp_path / "d.toml")
    found = sw.history(tmp_path)
    assert found.faults == [
        "b001.toml and d.toml are the same: one counts",
        "A fork: b000.toml is replaced more than once: by b001.toml, c.toml",
    ]
    assert [Path(one.file).name for one in found.chain] == [f"b{i:03}.toml" for i in range(4)]
    assert [Path(one.baseline.file).name for one in found.core.accepted if not one.in_chain] == ["c.toml"]

    (tmp_path / "d.toml").unlink()
    text = (tmp_path / "b001.toml").read_text(encoding="utf-8")
    (tmp_path / "b001.toml").write_text(text.replace("invented", "imagined", 1), encoding="utf-8")
    changed = sw.history(tmp_path).faults
    assert "b001.toml" in changed[0]
    assert "the file was changed after it was written" in changed[0]
    assert changed[1].startswith("A gap: b002.toml replaces a baseline that is not here, or was changed")

    (tmp_path / "b001.toml").unlink()
    accepted(car, tmp_path / "e.toml", 30.0)
    found = sw.history(tmp_path)
    assert found.faults[0].startswith("A gap: b002.toml replaces")
    assert found.faults[1] == "Several beginnings: b000.toml, e.toml replace nothing"
    assert "Look at the folder again" in found.text()


def test_one_that_replaces_a_later_one_is_said(car: sw.Car, tmp_path: Path, run: Run) -> None:
    accepted(car, tmp_path / "b1.toml", 7.0)
    (tmp_path / "early.toml").write_text(toml_lines(sheet()), encoding="utf-8")
    accept = ["accept", "wren.toml", "early.toml", "--reason", "invented", "--out", "b2.toml", "--replaces", "b1.toml"]
    older = "b2.toml, read 2026-05-02T08:10:00Z, replaces b1.toml, read 2026-05-09T08:10:00Z: it is the older one"
    assert older in " ".join(run(*accept).stdout.split())
    found = sw.history(tmp_path)
    assert found.faults == [older]
    assert not found.core.dated


def test_other_files_are_not_looked_at_and_a_broken_baseline_is_said(car: sw.Car, tmp_path: Path) -> None:
    for file in sw.demo_files():
        shutil.copy(file, tmp_path)
    (tmp_path / "notes.toml").write_text("not toml at all", encoding="utf-8")
    with pytest.raises(sw.InputError, match="holds no baseline that can be read"):
        sw.history(tmp_path)
    chain(car, tmp_path, 3)
    assert sw.history(tmp_path).faults == []
    text = (tmp_path / "b002.toml").read_text(encoding="utf-8")
    broken = sealed(replaced(text, r"^reason = .*$", "reason = 3").encode())
    (tmp_path / "b003.toml").write_bytes(broken)
    assert "b003.toml" in sw.history(tmp_path).faults[0]
    assert "reason = 3" in sw.history(tmp_path).faults[0]


def test_a_folder_of_two_cars_or_none_is_refused(car: sw.Car, tmp_path: Path) -> None:
    accepted(car, tmp_path / "a.toml")
    accepted(sw.load_car(car.as_dict() | {"name": "Finch"}), tmp_path / "b.toml")
    with pytest.raises(sw.InputError, match="holds baselines of Wren and of Finch: a history is of one car"):
        sw.history(tmp_path)
    with pytest.raises(sw.InputError, match="there is no such folder"):
        sw.history(tmp_path / "gone")


def test_instruments_of_another_name_make_the_noise_whole(car: sw.Car, tmp_path: Path) -> None:
    chain(car, tmp_path, 3, lambda i, table: table.update(instruments={"scale": f"set {i % 2}"}))
    found = sw.history(tmp_path)
    assert not found.core.one_set
    value = next(v for v in found.chain[0].values if v.key == "front_left.weight")
    assert found.trends().noise["front_left.weight"] == pytest.approx(value.uncertainty, rel=1e-6)


def test_without_dates_a_rate_is_from_one_to_the_next(car: sw.Car, tmp_path: Path) -> None:
    chain(car, tmp_path, 3, lambda _i, table: table.pop("at"))
    found = sw.history(tmp_path)
    assert not found.core.dated
    assert "from one to the next" in " ".join(found.text().split())


def test_a_thousand_baselines_take_two_seconds(car: sw.Car, tmp_path: Path, size: Callable[[int, int], int]) -> None:
    count, seconds = size(100, 1000), 2.0
    chain(car, tmp_path, count)
    best = min(_timed(tmp_path) for _ in range(3))
    print(f"a history of {count} baselines: {best:.2f} s of processor time")
    assert best <= seconds * count / 1000.0
    assert len(sw.history(tmp_path).text().splitlines()) < 70


def _timed(folder: Path) -> float:
    begin = time.process_time()
    sw.history(folder)
    return time.process_time() - begin
