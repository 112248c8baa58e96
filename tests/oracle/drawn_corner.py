"""A corner drawn by hand, and one of a lot."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from corner import Corner
from random_corners import (
    RACK_DIRECTION,
    RandomCorner,
)

WHEEL = {"radius_mm": 255.0, "width_mm": 10.0, "offset_mm": 6.0}
# Invented; the shape of the car format's example corner.
DRAWN = {
    "wheel": {"centre": [0.0, 640.0, 225.0], "toe_deg": 0.10, "camber_deg": -2.6},
    "upper_wishbone": {"front": [110.0, 270.0, 330.0], "rear": [-120.0, 270.0, 322.0], "outer": [-8.0, 575.0, 335.0]},
    "lower_wishbone": {"front": [140.0, 215.0, 125.0], "rear": [-150.0, 215.0, 118.0], "outer": [4.0, 610.0, 112.0]},
    "track_rod": {"inner": [70.0, 225.0, 150.0], "outer": [84.0, 600.0, 146.0], "inner_moves": "rack"},
    "pushrod": {"outer": [0.0, 570.0, 128.0], "inner": [10.0, 330.0, 420.0], "outer_on": "lower_wishbone"},
    "rocker": {"axis_point": [10.0, 290.0, 400.0], "axis_direction": [1.0, 0.0, 0.0], "spring": [0.0, 300.0, 460.0]},
    "spring": {"chassis": [0.0, 60.0, 470.0]},
    "adjuster": [
        {"name": "track rod", "changes": "track_rod", "thread": "M8x1.25", "ends": "left_and_right"},
        {
            "name": "camber shim",
            "moves": ["upper_wishbone.outer"],
            "on": "upright",
            "direction": [0.0, -1.0, 0.0],
            "drawn_with_mm": 3.0,
            "fitted_mm": [2.0, 1.0],
        },
    ],
}


def build(case: RandomCorner) -> Corner:
    return Corner(case.table(), case.setup_wheel, RACK_DIRECTION, case.side)
