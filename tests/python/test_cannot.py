"""What cannot be met, of small linear plans: against all combinations, and against what is said to bind and to lift."""

from __future__ import annotations

import itertools
import json
import subprocess
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from shimwise.choice.smallest_miss import Range, Windows, smallest_miss, smallest_real_miss

EXACT = 1e-6  # of a tolerance: HiGHS closes its absolute gap to that

Run = Callable[..., subprocess.CompletedProcess[str]]


def random_windows(rng: np.random.Generator) -> Windows:
    """Three to four unknowns, threads and packs with gaps, some forced; rows with one end or two; a sum with ends."""
    count, rows = rng.integers(3, 5), rng.integers(2, 6)
    ranges = []
    for _ in range(count):
        kind = rng.integers(0, 4)
        if kind == 0:
            values = np.sort(rng.choice(np.arange(-8, 9), size=5, replace=False)).astype(float)
        elif kind == 1 and rng.random() < 0.3:
            values = np.array([float(rng.integers(-2, 3))])
        else:
            values = np.arange(-rng.integers(1, 5), rng.integers(2, 6), dtype=float)
        ranges.append(Range(values))
    start, half = rng.normal(0.0, 3.0, rows), rng.uniform(0.2, 1.0, rows)
    low, high = -half, half
    low = np.where(rng.random(rows) < 0.2, -np.inf, low)
    return Windows(
        start, rng.normal(size=(rows, count)), low, high, tuple(ranges),
        np.r_[1.0, 1.0, np.zeros(count - 2)][None, :], np.array([-3.0]), np.array([4.0]),
    )  # fmt: skip


def by_enumeration(windows: Windows) -> tuple[float, NDArray[np.float64]] | None:
    best = None
    for one in itertools.product(*(r.values for r in windows.ranges)):
        x = np.array(one)
        sums = windows.sums @ x
        if (sums < windows.least).any() or (sums > windows.most).any():
            continue
        then = windows.start + windows.effect @ x
        miss = max(0.0, float(np.max(np.maximum(windows.low - then, then - windows.high))))
        if best is None or miss < best[0]:
            best = miss, x
    return best


def test_the_smallest_largest_miss_is_that_of_all_combinations(size: Callable[[int, int], int]) -> None:
    rng = np.random.default_rng(14)
    met = gaps = 0
    for case in range(size(60, 400)):
        windows = random_windows(rng)
        known = by_enumeration(windows)
        found = smallest_miss(windows, 10.0)
        if known is None:
            assert found.x is None, case
            continue
        assert found.x is not None, case
        assert abs(found.miss - known[0]) <= EXACT, case
        assert abs(found.bound - known[0]) <= EXACT, case
        assert windows.misses(found.x).max() == pytest.approx(found.miss, abs=1e-12)
        for value, one in zip(found.x, windows.ranges, strict=True):
            assert np.abs(one.values - value).min() <= 1e-9, case
        met += known[0] == 0.0
        gaps += any(one.has_gaps for one in windows.ranges)
    assert met > 3
    assert gaps > 10


def test_real_amounts_miss_no_more_and_what_binds_is_enough(size: Callable[[int, int], int]) -> None:
    """The multipliers name it: with these rows, ends and sums alone the miss is the same."""
    rng = np.random.default_rng(41)
    told = 0
    for case in range(size(60, 400)):
        windows = random_windows(rng)
        real, whole = smallest_real_miss(windows), smallest_miss(windows, 10.0)
        if real.x is None:
            assert whole.x is None, case
            continue
        assert real.miss <= whole.miss + EXACT, case
        assert windows.misses(real.x).max() <= real.miss + EXACT, case
        if not real.miss > 1e-3:
            continue
        told += 1
        rows = np.setdiff1d(np.arange(len(windows.start)), real.rows)
        freed = [i for i in range(len(windows.ranges)) if i not in real.ends]
        alone = opened(windows, rows=rows.tolist(), ends=freed, sums=[] if real.sums else [0])
        assert abs(smallest_real_miss(alone).miss - real.miss) <= EXACT, case
    assert told > 10


def opened(windows: Windows, *, rows: list[int], ends: Sequence[int] = (), sums: Sequence[int] = ()) -> Windows:
    low, high, least, most = windows.low.copy(), windows.high.copy(), windows.least.copy(), windows.most.copy()
    low[rows], high[rows], least[list(sums)], most[list(sums)] = -np.inf, np.inf, -np.inf, np.inf
    far = np.array([-1e3, 1e3])
    ranges = tuple(Range(far, whole=False) if i in ends else one for i, one in enumerate(windows.ranges))
    return replace(windows, low=low, high=high, least=least, most=most, ranges=ranges)


def test_a_search_that_ends_by_its_time_says_what_it_proved() -> None:
    rng = np.random.default_rng(3)
    count = 40
    windows = Windows(
        rng.normal(0.0, 5.0, 12), rng.normal(size=(12, count)), np.full(12, -1e-4), np.full(12, 1e-4),
        tuple(Range(np.arange(-9.0, 10.0)) for _ in range(count)),
        np.zeros((0, count)), np.zeros(0), np.zeros(0),
    )  # fmt: skip
    found = smallest_miss(windows, 0.2)
    assert found.bound < 0.9 * found.miss


def test_a_saved_card_still_says_what_cannot_be_met(run: Run, tmp_path: Path) -> None:
    run(
        "plan",
        "wren.toml",
        "wren_readings.toml",
        "wren_targets.toml",
        "--forbid",
        "front_left",
        "--save",
        "card.json",
        code=1,
    )
    told = run("card", "card.json").stdout
    assert told.startswith("Cannot be met:\n  ! ")
    assert json.loads((tmp_path / "card.json").read_text(encoding="utf-8"))["plan"]["refusals"][0] in " ".join(
        told.split()
    )
    assert max(map(len, told.splitlines())) <= 80
