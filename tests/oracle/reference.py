"""The oracle's answers for one corner of a car file, computed live; how many corners a run compares."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from car_table import Table, corner_tables, read_car
from corner import HOLDS, OUTPUTS, Corner

Array = NDArray[np.float64]

SIZES = {"short": 12, "full": 200}
TRAVEL_MM = np.array([-30.0, -20.0, -10.0, 0.0, 10.0, 20.0, 30.0])
RACK_MM = 8.0


def corner_count() -> int:
    """Random corners to compare: SHIMWISE_SIZE is "short" (the default) or "full"."""
    return SIZES[os.environ.get("SHIMWISE_SIZE", "short")]


def corner_of(path: Path, name: str) -> Corner:
    """The corner called `name` of a car file, as the oracle sees it."""
    return corner_in(read_car(path), name)


def corner_in(car: Table, name: str) -> Corner:
    """The same of a parsed car file."""
    axle, side = name.split("_")
    return Corner(corner_tables(car)[name], car["setup_wheel"][axle], car["rack"]["direction"], side)


@dataclass
class Answers:
    """What a library must give back for this corner at its present settings."""

    joints: dict[str, Array]  # point -> (travel, 3)
    outputs: dict[str, Array]  # output -> (travel,)
    outputs_racked: dict[str, Array]  # the same with the rack at RACK_MM
    adjusters: list[str]
    effects: dict[str, Array]  # hold -> (adjuster, output), per mm, at travel 0


def answers(path: Path, name: str) -> Answers:
    corner = corner_of(path, name)
    q, parts = corner.sweep(TRAVEL_MM)
    racked, racked_parts = corner.sweep(TRAVEL_MM, RACK_MM)
    zero, zero_parts = corner.present()
    return Answers(
        joints=corner.joints(q, parts),
        outputs=corner.outputs(q, parts),
        outputs_racked=corner.outputs(racked, racked_parts),
        adjusters=corner.adjuster_names,
        effects={hold: corner.effects(zero, zero_parts, corner.now_mm, 0.0, hold)[0] for hold in HOLDS},
    )


__all__ = ["HOLDS", "OUTPUTS", "RACK_MM", "TRAVEL_MM", "Answers", "answers", "corner_count", "corner_in", "corner_of"]
