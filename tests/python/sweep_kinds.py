"""Sweeps of every kind of input and hold."""

from __future__ import annotations

from typing import Any

import numpy as np
import xarray as xr

import shimwise as sw

ROD, SHIM = "front_left.track rod", "front_left.camber shim"


def sweeps(car: sw.Car) -> list[tuple[dict[str, Any], dict[str, Any]]]:
    """Of every kind of input and hold; some states past reach, some packs not at hand."""
    travel = {"travel_mm": np.linspace(-60.0, 120.0, 23), ROD: [-0.5, 0.5], "rack_mm": 3.0}
    built = sw.points_within(car, 0.4, ["front_left", "rear_right.wheel.centre"])
    packs = {SHIM: [[2.0], [2.0, 2.0], [2.0, 0.5]], "front_right.camber shim": [[2.0], [2.0, 1.0, 1.0]]}
    pads = {"pad.front_left": xr.DataArray([0.0, 1.0, -80.0], dims="pads"), "ballast.fuel": [5.0, 20.0]}
    drawn = {"sample": 31, "moved": "built", "change": list(built)}
    return [
        (travel, {"outputs": ["front_left.toe", "front_left.roll_centre_height"]}),
        (built | {"travel_mm": [0.0, 10.0]}, {"outputs": ["front_left.toe"]} | drawn),
        (built, {"outputs": ["cross_weight", "toe"], "hold": "rest"} | drawn),
        (packs, {"outputs": ["camber"], "at_hand": True, "hold": "spring"}),
        (pads, {"outputs": ["cross_weight"], "hold": "rest"}),
        ({ROD: 0.25}, {"outputs": ["toe"]}),
    ]
