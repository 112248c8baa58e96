"""A car whose rest follows by hand, and the numbers of the random ones that every test looks at."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))

from car_table import CORNER_NAMES
from rest_car import G

HALF_BASE_MM, HALF_TRACK_MM = 1200.0, 700.0
FIRST = [0, 1, 2, 3]  # twist, droop stops, scales, rests as drawn


def loads(found):
    """In the order of CORNER_NAMES."""
    return np.array([found.load_N()[name] for name in CORNER_NAMES])


def ideal(rate=5e5, weight_N=10000.0, x_mm=0.0, y_mm=0.0, rear_rate=None, radius_mm=250.0, **top):
    """Level, equal, parallel wishbones, upright springs over the wheels, centre of gravity in the ground plane."""
    wheel = {"radius_mm": radius_mm}
    car = {
        "mass": {
            "total_kg": weight_N / G,
            "cg_mm": [x_mm - HALF_BASE_MM, y_mm, -30.0],
            "unsprung_kg": {"front": 0.0, "rear": 0.0},
        },
        "setup_wheel": {"front": wheel, "rear": wheel},
        **top,
    }
    for name, x, k in (("front_left", 0.0, rate), ("rear_left", -2 * HALF_BASE_MM, rear_rate or rate)):
        arms = {
            f"{arm}_wishbone": {"front": [x + 100.0, 300.0, z], "rear": [x - 100.0, 300.0, z], "outer": [x, 600.0, z]}
            for arm, z in (("upper", 320.0), ("lower", 120.0))
        }
        car[name] = arms | {
            "wheel": {"centre": [x, HALF_TRACK_MM, radius_mm - 30.0], "toe_deg": 0.0, "camber_deg": 0.0},
            "track_rod": {"inner": [x + 80.0, 300.0, 220.0], "outer": [x + 80.0, 600.0, 220.0]},
            "spring": {
                "outer": [x, HALF_TRACK_MM, 250.0],
                "outer_on": "upright",
                "chassis": [x, HALF_TRACK_MM, 500.0],
                "rate_N_per_mm": k,
                "load_at_drawn_N": weight_N / 4,
            },
        }
    return car
