"""A car whose springs lie across its centre plane, and whose rear rockers sit in its middle, against the oracle."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import numpy as np
import pytest
from test_oracle_comparison import compare
from test_oracle_comparison_rest import compare as compare_rest

import shimwise as sw

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "oracle"))

from car_table import read_car
from rest import rest as oracle_rest

FRONT_ACROSS = {  # from the rocker past the middle of the car
    "spring = { chassis = [8.0, 60.0, 470.0]": "spring = { chassis = [8.0, -150.0, 470.0]",
    "damper = { shortest_mm = 205.0, longest_mm = 250.0 }": "damper = { shortest_mm = 405.0, longest_mm = 460.0 }",
}
REAR_MIDDLE = {  # rockers over the middle of the car, their springs on the other side of it
    "inner = [-2330.0, 340.0, 440.0]": "inner = [-2330.0, 40.0, 440.0]",
    "spring = { chassis = [-2330.0, 70.0, 480.0]": "spring = { chassis = [-2330.0, -245.0, 480.0]",
    "damper = { shortest_mm = 200.0, longest_mm = 245.0 }": "damper = { shortest_mm = 215.0, longest_mm = 265.0 }",
    "axis_point = [-2330.0, 290.0, 405.0]": "axis_point = [-2330.0, -10.0, 405.0]",
    "spring = [-2330.0, 295.0, 465.0]": "spring = [-2330.0, -5.0, 465.0]",
    "drop_link = [-2330.0, 240.0, 405.0]": "drop_link = [-2330.0, -60.0, 405.0]",
    "{ bearing = [-2430.0, 200.0, 335.0], arm = [-2330.0, 240.0, 335.0] }": (
        "{ bearing = [-2430.0, 30.0, 335.0], arm = [-2330.0, -60.0, 335.0] }"
    ),
}


def written(folder: Path, changes: dict[str, str]) -> Path:
    text = sw.demo_files().car.read_text(encoding="utf-8")
    for old, new in changes.items():
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    path = folder / "across.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.fixture
def across(tmp_path: Path) -> Path:
    return written(tmp_path, FRONT_ACROSS | REAR_MIDDLE)


def test_it_is_a_car_and_no_doubtful_one(across: Path) -> None:
    car = sw.load_car(across)
    assert not car.doubts
    for name, sign in (("front_left", 1.0), ("front_right", -1.0)):
        joints = car.corners[name].joints()
        assert joints["spring.chassis"].values.tolist() == pytest.approx([8.0, -150.0 * sign, 470.0])
    assert car.rear_right.joints()["rocker.axis_point"].values[1] == pytest.approx(10.0)
    for left, right in (("front_left", "front_right"), ("rear_left", "rear_right")):
        assert car.corners[left].effects().equals(car.corners[right].effects())


@pytest.mark.parametrize("name", ["front_left", "front_right", "rear_left", "rear_right"])
def test_corners_and_their_effects(across: Path, name: str) -> None:
    compare(across, name, f"across {name}")


def test_at_rest(across: Path) -> None:
    compare_rest(across, {})
    compare_rest(across, {"front_left": 1.5, "rear_right": -0.5})


def test_effects_at_rest(across: Path, tmp_path: Path) -> None:
    """A turn of a pushrod against the oracle's differences, at a corner with either kind of spring."""
    text = across.read_text(encoding="utf-8")
    table = sw.load_car(across).effects("rest")
    for corner in ("front_left", "rear_left"):
        shares = []
        for turns in (-0.02, 0.02):
            pattern = rf'(\[\[{corner}\.adjuster\]\]\nname = "pushrod".*?now_turns = )0\.0'
            turned, count = re.subn(pattern, rf"\g<1>{turns}", text, count=1, flags=re.DOTALL)
            assert count == 1
            right = f'\n[[{corner.replace("left", "right")}.adjuster]]\nname = "pushrod"\nnow_turns = 0.0\n'
            (tmp_path / "turned.toml").write_text(turned + right, encoding="utf-8")
            shares.append(100.0 * oracle_rest(read_car(tmp_path / "turned.toml"), {}).cross_weight)
        expected = np.diff(shares)[0] / 0.04
        found = table.loc[(f"{corner}.pushrod", "turn"), "cross_weight_percent"]
        assert found == pytest.approx(expected, rel=1e-4)
        assert abs(found) > 0.05
