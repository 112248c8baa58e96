"""Grubbs' test as readings go through it, against the handbook's example and table."""

from __future__ import annotations

import numpy as np
import pytest

from shimwise.readings.repeats import grubbs


def test_the_handbooks_eight_readings() -> None:
    """NIST/SEMATECH e-Handbook 1.3.5.17.1, data SEEN: G = 2.468765; the maximum is an outlier."""
    found = grubbs([199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57])
    assert found is not None
    assert found.statistic == pytest.approx(2.468765, abs=5e-7)
    assert found.farthest == 7
    assert found.stands_out


@pytest.mark.parametrize(
    ("n", "critical"), [(4, 1.4812), (5, 1.7150), (6, 1.8871), (8, 2.1266), (10, 2.2900), (20, 2.7082)]
)
def test_critical_values_two_sided_at_5_percent(n: int, critical: float) -> None:
    """From memory of the printed two-sided tables, good to 1e-3 of what Student's t gives."""
    found = grubbs(np.arange(n))
    assert found is not None
    assert found.critical == pytest.approx(critical, abs=1e-3)


def test_three_readings_prove_no_outlier() -> None:
    """DERIVED: of three the statistic is at most 2 / sqrt(3) = 1.1547, a hair over the 1.1543 that it would need."""
    for third in (0.2, 1.0, 50.0):
        assert grubbs([0.0, 0.1, third]) is None


def test_one_set_in_twenty_of_sound_readings_is_flagged() -> None:
    rng = np.random.default_rng(17)
    flagged = [found.stands_out for found in map(grubbs, rng.normal(size=(4000, 7))) if found]
    assert np.mean(flagged) == pytest.approx(0.05, abs=0.014)


def test_rounded_readings_of_a_sound_gauge_are_flagged_as_seldom() -> None:
    """Three alike and one a digit off: the largest statistic of four is 1.5, over its critical 1.481."""
    rng = np.random.default_rng(18)
    for digit, hand, n in ((0.02, 0.01, 4), (0.02, 0.01, 5), (0.1, 0.1, 4), (0.1, 0.1, 8)):
        sets = np.round((rng.uniform(0.0, 1.0, size=(3000, 1)) + hand * rng.normal(size=(3000, n))) / digit) * digit
        scatter = np.hypot(digit / np.sqrt(12.0), hand)
        assert np.mean([found.stands_out for found in (grubbs(one, scatter) for one in sets) if found]) < 0.05
        far = sets + 10.0 * digit * (np.arange(n) == 0)
        assert n == 4 or np.mean([found.stands_out for found in (grubbs(one, scatter) for one in far) if found]) > 0.95


def test_the_same_reading_again_and_again_has_no_outlier() -> None:
    assert grubbs([1.0, 1.0, 1.0, 1.0]) is None
    assert grubbs([1.0, 2.0]) is None
