"""Plain data: no limit is null in JSON, never infinity and never a number."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import shimwise as sw
from shimwise.data_of import data_of, document

SIDES = {  # of the target for the front left camber: which bound is open, which number the other one has
    "camber = { least_deg = -3.25 }": ("upper", "lower", -3.25),
    "camber = { most_deg = -2.25 }": ("lower", "upper", -2.25),
}


def test_what_is_not_finite_in_an_array_is_null() -> None:
    found = data_of(np.array([-math.inf, 1.5, math.inf, math.nan]))
    assert found == [None, 1.5, None, None]
    assert data_of(np.array([[0.0, math.inf], [-math.inf, 2.0]])) == [[0.0, None], [None, 2.0]]


@pytest.mark.parametrize("target", SIDES)
def test_a_target_of_one_side_has_null_on_the_other(car: sw.Car, tmp_path: Path, target: str) -> None:
    files = sw.demo_files()
    path = tmp_path / "targets.toml"
    path.write_text(f'format = "shimwise-targets/1"\n\n[front_left]\n{target}\n', encoding="utf-8")
    measured = sw.load_readings(files.readings, car).reduce()
    plan = sw.plan(car, measured, sw.load_targets(path, car))
    told: dict[str, Any] = json.loads(document(plan.as_dict()))
    open_side, shut_side, number = SIDES[target]
    reading = told["plan"]["closest"]["next"]
    at = reading["keys"].index("front_left.camber")
    assert math.isinf(getattr(plan.closest.core.next, open_side)[at])
    assert reading[open_side][at] is None
    assert reading[shut_side][at] == number
