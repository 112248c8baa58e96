"""Sense before any turn: what is absurd is doubted, what is sound is not."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
from mornings import ABSURD, Morning, demo_morning, sound_morning

import shimwise
from shimwise import InputError, OutOfReach, _core

sys.path.append(str(Path(__file__).parents[1] / "oracle"))
from random_cars import random_car

INSTRUMENTS = """
[strings]
bars_apart_mm = 3900.0
on = "car"
end_uncertainty_mm = 0.3

[instruments]
flag_ruler = { resolution_mm = 0.2, level_uncertainty_deg = 0.1 }
camber_gauge = { resolution_deg = 0.02, repeatability_deg = 0.01, zero_error_deg = 0.0, zero_uncertainty_deg = 0.03 }
height_gauge = { resolution_mm = 0.2 }
scale = { resolution_kg = 0.1, repeatability_kg = 0.1, zero_uncertainty_kg = 0.2, span_uncertainty_percent = 0.1 }
pad_level = { resolution_mm = 0.05, repeatability_mm = 0.05 }

[settling]
warp_kg = 0.15
ride_height_mm = 0.1
lateral_mm = 0.15
toe_deg = 0.005
camber_deg = 0.005
"""


def doubts_of(morning: Morning, folder: Path) -> list[str]:
    """What is said against a morning: its doubts, or the sentence with which it is refused."""
    paths = {}
    for name in ("car", "readings", "targets"):
        paths[name] = folder / f"{name}.toml"
        paths[name].write_text(getattr(morning, name), encoding="utf-8")
    try:
        car = shimwise.load_car(paths["car"])
        measured = shimwise.load_readings(paths["readings"], car).reduce()
        targets = shimwise.load_targets(paths["targets"], car)
        found = _core.doubts(car.core) + _core.doubts(measured.core, car.core)
        return [doubt.text for doubt in found + _core.doubts(targets, measured.core, car.core)]
    except (InputError, OutOfReach) as error:
        return [str(error)]


def test_demo_is_sound(tmp_path: Path) -> None:
    assert doubts_of(demo_morning(), tmp_path) == []


def test_absurd_is_doubted(tmp_path: Path, size) -> None:
    each = size(1, 4)
    unseen = []
    for kind, make in ABSURD.items():
        for draw in range(each):
            morning = make(demo_morning(), np.random.default_rng([*kind.encode(), draw]))
            assert morning != demo_morning(), kind
            if not doubts_of(morning, tmp_path):
                unseen.append(f"{kind}, draw {draw}")
    assert len(ABSURD) >= 40
    assert len(unseen) <= 0.05 * each * len(ABSURD), unseen


def test_sound_is_not_doubted(tmp_path: Path, size) -> None:
    cars = size(10, 100)
    doubted = {}
    for number in range(4 * cars):
        text = random_car(number // 4) + INSTRUMENTS
        (tmp_path / "drawn.toml").write_text(text, encoding="utf-8")
        rng = np.random.default_rng([*b"sound", number])
        if said := doubts_of(sound_morning(shimwise.load_car(tmp_path / "drawn.toml"), text, rng), tmp_path):
            doubted[number] = said
    assert len(doubted) <= 0.01 * 4 * cars, doubted
