"""The outputs that texts show: their digits, and what people call them."""

from __future__ import annotations

__all__ = ["DIGITS", "label"]

DIGITS = {
    "toe": 3,
    "camber": 3,
    "caster": 3,
    "kingpin_inclination": 3,
    "half_track": 2,
    "chassis_height": 2,
    "spring_length": 2,
}


def label(name: str) -> str:
    """An output's name as it is read: "half track"."""
    return {"kingpin_inclination": "kingpin"}.get(name, name.replace("_", " "))
