"""The library against the independent SciPy oracle: the demo corners and seeded random corners.

SHIMWISE_SIZE=short (default) compares 12 random corners, full 200. Poses to 1e-9 mm, toe and camber to 1e-10 deg,
sensitivities per mm to 1e-6 of the largest entry of that output over all adjusters (floor 1e-9).
"""

from __future__ import annotations

import importlib.resources
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import shimwise as sw

sys.path.insert(0, str(Path(__file__).parents[1] / "oracle"))

from random_corners import random_car
from reference import HOLDS, OUTPUTS, RACK_MM, TRAVEL_MM, Answers, answers, corner_count

POSE_MM = 1e-9
ANGLE_DEG = 1e-10
TOLERANCE = dict.fromkeys(OUTPUTS, 1e-9) | dict.fromkeys(("toe_deg", "camber_deg", "inclination_deg"), ANGLE_DEG)
SENSITIVITY = 1e-6
SENSITIVITY_FLOOR = 1e-9
TEST = "test_oracle_comparison"


def library_answers(path: Path, name: str) -> Answers:
    """The same answers from the library: the one place that knows its calls."""
    corner = getattr(sw.load_car(path), name)

    def outputs(**state: Any) -> dict[str, np.ndarray]:
        found = corner.alignment(travel_mm=TRAVEL_MM, **state)
        return {output: np.asarray(found[output], dtype=float).reshape(len(TRAVEL_MM)) for output in OUTPUTS}

    joints = corner.joints(travel_mm=TRAVEL_MM)
    tables = {hold: corner.effects(hold=hold).xs("mm", level="per") for hold in HOLDS}
    return Answers(
        joints={str(point): np.asarray(joints[point], dtype=float) for point in joints.data_vars},
        outputs=outputs(),
        outputs_racked=outputs(rack_mm=RACK_MM),
        adjusters=list(tables["wheel"].index),
        effects={hold: table[list(OUTPUTS)].to_numpy(dtype=float) for hold, table in tables.items()},
    )


def compare(path: Path, name: str, case: str) -> None:
    expected, found = answers(path, name), library_answers(path, name)

    shared = expected.joints.keys() & found.joints.keys()
    moving = {"upper_wishbone.outer", "lower_wishbone.outer", "track_rod.outer"}
    moving |= expected.joints.keys() & {"pushrod.outer", "pushrod.inner"}
    assert moving <= shared, f"{case}: no joint {sorted(moving - shared)}"
    for point in sorted(shared):
        error = np.max(np.abs(found.joints[point] - expected.joints[point]))
        assert error <= POSE_MM, f"{case}: {point} differs by {error} mm"

    for label, one, other in (
        ("centred", found.outputs, expected.outputs),
        (f"rack {RACK_MM} mm", found.outputs_racked, expected.outputs_racked),
    ):
        for output in OUTPUTS:
            error = np.max(np.abs(one[output] - other[output]))
            assert error <= TOLERANCE[output], f"{case}, {label}: {output} differs by {error}"

    assert sorted(found.adjusters) == sorted(expected.adjusters), case
    order = [found.adjusters.index(adjuster) for adjuster in expected.adjusters]
    for hold in HOLDS:
        table, reference = found.effects[hold][order], expected.effects[hold]
        allowed = np.maximum(SENSITIVITY * np.max(np.abs(reference), axis=0), SENSITIVITY_FLOOR)
        wrong = ~(np.abs(table - reference) <= allowed)
        places = [
            f"{expected.adjusters[row]} -> {OUTPUTS[column]}: {table[row, column]} for {reference[row, column]}"
            for row, column in np.argwhere(wrong)
        ]
        assert not places, f"{case}, hold {hold}: " + "; ".join(places)


@pytest.mark.parametrize("name", ["front_left", "front_right", "rear_left", "rear_right"])
def test_demo_corner(name: str) -> None:
    with importlib.resources.as_file(importlib.resources.files("shimwise") / "data" / "wren.toml") as path:
        compare(path, name, f"demo {name}")


def test_random_corners(tmp_path: Path) -> None:
    count = corner_count()
    redrawn = 0
    reasons: list[str] = []
    for index in range(count // 2):
        text, cases = random_car(TEST, index)
        path = tmp_path / f"car_{index}.toml"
        path.write_text(text, encoding="utf-8")
        for case in cases:
            compare(path, case.name, f"random_car({TEST!r}, {index}).{case.name}")
            redrawn += case.redrawn
            reasons += case.reasons
    tally = {reason: reasons.count(reason) for reason in sorted(set(reasons))}
    print(f"{count} random corners compared at {len(TRAVEL_MM)} travels; {redrawn} redrawn: {tally}")
    assert redrawn <= count, f"more than half were redrawn: {tally}"
