"""Sheets of readings as commands take them, two of them beside each other."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shimwise import _core
from shimwise.arguments import file_name
from shimwise.readings.readings import Readings, load_readings

if TYPE_CHECKING:
    from shimwise.car import Car

__all__ = ["sheet_of"]


def sheet_of(car: Car, path: str, settings: str | None, which: str) -> tuple[Readings, list[_core.Input]]:
    """A readings file of the car as it was set then; and the files that this was read from."""
    inputs = []
    if settings is not None:
        read = _core.load_settings(file_name(settings), car.core)
        car = car.with_settings(read)
        inputs.append(_core.input_as(f"{which} settings", _core.input_of(read)))
    taken = load_readings(path, car)
    return taken, [_core.input_as(which, _core.input_of(taken.core)), *inputs]
