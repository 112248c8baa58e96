"""The outputs that texts show: their digits, and what people call them."""

from __future__ import annotations

from shimwise import _core

__all__ = ["DIGITS", "INFOS", "label"]

INFOS = {info.name: info for info in (*_core.output_list(), *_core.car_output_list())}

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
    return INFOS[name].label or name.replace("_", " ")
