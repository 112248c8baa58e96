"""Sweeps of every kind of input and hold."""

from __future__ import annotations

from typing import Any

import numpy as np
import xarray as xr

import shimwise as sw
from shimwise import _core

ROD, SHIM = "front_left.track rod", "front_left.camber shim"


def sweeps(car: sw.Car) -> list[tuple[dict[str, Any], dict[str, Any]]]:
    """Of every kind of input and hold; some states past reach, some packs not at hand."""
    travel = {"travel_mm": np.linspace(-60.0, 120.0, 23), ROD: [-0.5, 0.5], "rack_mm": 3.0}
    built = sw.points_within(car, 0.4, ["front_left", "rear_right.wheel.centre"])
    packs = {SHIM: [[2.0], [2.0, 2.0, 2.0], [0.5]], "front_right.camber shim": [[2.0], [2.0, 2.0, 1.0, 0.5, 0.2]]}
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


def in_a_list(columns: dict[str, np.ndarray]) -> dict[str, xr.DataArray]:
    return {key: xr.DataArray(values, dims="state") for key, values in columns.items()}


def drawn_about(
    car: sw.Car, hold: str, count: int, seed: int, moved: str | None = "built"
) -> tuple[dict[str, np.ndarray], dict[str, Any]]:
    """Everything that may be set, each a little off, points too if they move; how it is swept, with every output."""
    drawn = np.random.default_rng(seed)
    spread = {"turn": 0.15, "mm": 0.3, "kg": 2.0}
    held = _core.SweepHold.__members__[hold]
    known = _core.sweep_inputs(car.core, held, _core.Moved.__members__[moved or "built"])
    by = {one.key: drawn.uniform(-spread[one.unit], spread[one.unit], count) for one in known if moved or not one.point}
    by |= {key: np.abs(values) for key, values in by.items() if key.startswith("ballast.")}
    outputs = [row.key for row in _core.sweep_outputs(car.core, held) if not row.missing]
    return by, {"outputs": outputs, "hold": hold, "change": True} | ({"moved": moved} if moved else {})
