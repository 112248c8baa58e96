"""Read the corners of a car file straight from its TOML: true coordinates, right side by mirroring.

Deliberately not the library's loader: the oracle shares nothing with the code that it checks.
"""

from __future__ import annotations

import copy
import tomllib
from pathlib import Path
from typing import Any

Table = dict[str, Any]

CORNER_NAMES = ("front_left", "front_right", "rear_left", "rear_right")


def is_vector(value: Any) -> bool:
    """True for three numbers: a point or a direction."""
    return (
        isinstance(value, list)
        and len(value) == 3
        and all(isinstance(number, (int, float)) and not isinstance(number, bool) for number in value)
    )


# Lists of millimetres that are not places and so are never mirrored.
PLAIN_LISTS = ("fitted_mm", "box_mm", "limits_mm", "limits_turns", "length_limits_mm", "engaged_mm")


def mirrored(table: Table) -> Table:
    """The same parts on the other side: y of every point and direction flipped, all else as it is."""

    def flip(key: str, value: Any) -> Any:
        if key in PLAIN_LISTS:
            return copy.deepcopy(value)
        if is_vector(value):
            return [value[0], -value[1], value[2]]
        if isinstance(value, dict):
            return {name: flip(name, item) for name, item in value.items()}
        if isinstance(value, list):
            return [flip(key, item) for item in value]
        return value

    return {name: flip(name, value) for name, value in table.items()}


# Ways of saying one thing: a key of one way, given on the right, removes the keys of the others.
WAYS = (
    (("load_at_drawn_N",), ("free_length_mm", "seat_gap_mm"), ("rests_as_drawn",)),
    (("thread", "second_thread"), ("pitch_mm", "second_pitch_mm")),
    (("box",), ("box_mm",)),
    (("limits_turns",), ("length_limits_mm",)),
    (("changes",), ("moves", "on", "direction")),
)


def overridden(base: Table, over: Table) -> Table:
    """`over` wins key by key into sub-tables; points and lists as a whole; adjusters matched by name."""
    merged = copy.deepcopy(base)
    for ways in WAYS:
        for given in (way for way in ways if way[0] in over):
            for key in (key for way in ways if way is not given for key in way):
                merged.pop(key, None)
    for key, value in over.items():
        if key == "adjuster":
            adjusters = {item["name"]: item for item in merged.get("adjuster", [])}
            for item in value:
                adjusters[item["name"]] = overridden(adjusters.get(item["name"], {}), item)
            merged["adjuster"] = list(adjusters.values())
        elif isinstance(value, dict) and isinstance(merged.get(key), dict):
            merged[key] = overridden(merged[key], value)
        else:
            merged[key] = copy.deepcopy(value)
    return merged


def corner_tables(car: Table) -> dict[str, Table]:
    """All four corners of a parsed car file, each in true chassis coordinates."""
    tables = {}
    for axle in ("front", "rear"):
        left = car[f"{axle}_left"]
        tables[f"{axle}_left"] = copy.deepcopy(left)
        tables[f"{axle}_right"] = overridden(mirrored(left), car.get(f"{axle}_right", {}))
    return tables


def read_car(path: Path) -> Table:
    """The whole file as plain tables."""
    with path.open("rb") as file:
        return tomllib.load(file)
