"""The law of propagation against draws, with instruments of every sort."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from typing import Any

import numpy as np

import shimwise as sw

DRAWS = 4000
SIGMAS = 5.5  # thousands of comparisons


def drawn_car(rng: np.random.Generator) -> dict[str, Any]:
    """The demo car with other instruments, settling and strings: from the finest of a workshop to the coarsest."""

    def among(least: float, most: float) -> float:
        return float(np.exp(rng.uniform(np.log(least), np.log(most))))

    car = tomllib.loads(sw.demo_files().car.read_text(encoding="utf-8"))
    car["instruments"] = {
        "flag_ruler": {
            "resolution_mm": among(0.05, 1.0),
            "repeatability_mm": among(0.02, 0.5),
            "level_uncertainty_deg": among(0.02, 1.0),
        },
        "camber_gauge": {
            "resolution_deg": among(0.005, 0.1),
            "repeatability_deg": among(0.005, 0.05),
            "zero_error_deg": float(rng.normal(0.0, 0.05)),
            "zero_uncertainty_deg": among(0.01, 0.1),
        },
        "height_gauge": {"resolution_mm": among(0.1, 1.0), "repeatability_mm": among(0.02, 0.5)},
        "scale": {
            "resolution_kg": among(0.1, 1.0),
            "repeatability_kg": among(0.05, 0.5),
            "zero_uncertainty_kg": among(0.05, 0.5),
            "span_uncertainty_percent": among(0.02, 0.2),
        },
        "pad_level": {"resolution_mm": among(0.02, 0.5), "repeatability_mm": among(0.02, 0.2)},
    }
    car["settling"] = {
        "warp_kg": among(0.05, 0.5),
        "ride_height_mm": among(0.03, 0.3),
        "lateral_mm": among(0.05, 0.5),
        "toe_deg": among(0.002, 0.02),
        "camber_deg": among(0.002, 0.02),
    }
    car["strings"] |= {"end_uncertainty_mm": among(0.1, 1.0), "on": str(rng.choice(["car", "stands"]))}
    return car


def test_the_law_agrees_with_draws_within_their_own_error(size: Callable[[int, int], int]) -> None:
    readings = tomllib.loads(sw.demo_files().readings.read_text(encoding="utf-8"))
    rng = np.random.default_rng([2026, 11, 27])
    for number in range(size(10, 200)):
        sheet = dict(readings)
        if number % 3 == 0:  # its zero is then the car file's
            del sheet["gauge_check"]
        taken = sw.load_readings(sheet, sw.load_car(drawn_car(rng)))
        law, drawn = taken.reduce(), taken.reduce("monte carlo", draws=DRAWS, seed=number)
        u = np.sqrt(np.diag(law.covariance))
        assert np.max(np.abs(drawn.values - law.values) / u) < SIGMAS / np.sqrt(DRAWS)
        assert np.max(np.abs(np.sqrt(np.diag(drawn.covariance)) / u - 1.0)) < SIGMAS / np.sqrt(2.0 * DRAWS)
        off = drawn.covariance / np.outer(u, u) - law.covariance / np.outer(u, u)
        assert np.max(np.abs(off)) < SIGMAS * np.sqrt(2.0 / DRAWS)
        anew = np.sqrt(np.diag(law.core.repeat_covariance))
        again = np.sqrt(np.diag(drawn.core.repeat_covariance))
        assert np.max(np.abs(again / anew - 1.0)) < SIGMAS / np.sqrt(2.0 * DRAWS)
