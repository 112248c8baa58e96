"""Sheets of readings as commands take them, two of them beside each other."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from shimwise import _core
from shimwise.arguments import file_name
from shimwise.baselines.baseline import Baseline
from shimwise.readings.readings import Readings

if TYPE_CHECKING:
    from shimwise.car import Car
    from shimwise.readings.measured import Measured
    from shimwise.readings.readings import Targets

__all__ = ["sheet_of", "wanted_of"]


def wanted_of(car: Car, path: str, measured: Measured) -> Targets:
    """What a targets file asks for; of a baseline, what was accepted."""
    source = _core.read_source(file_name(path))  # once: a pipe has nothing for a second reader
    if _core.is_baseline(source):
        return Baseline(_core.baseline_from(source, car.core), car).targets(measured, car)
    return _core.targets_from(source, car.core)


def sheet_of(car: Car, path: str, settings: str | None, which: str) -> tuple[Readings, list[_core.Input]]:
    """What was read of the car as it was set then, of a readings file or a baseline; and the files behind it."""
    source = _core.read_source(file_name(path))
    if _core.is_baseline(source):
        if settings is not None:
            raise click.UsageError(f"--settings-{which}: {path} is a baseline, which has its own settings")
        baseline = Baseline(_core.baseline_from(source, car.core), car)
        return baseline.readings, [_core.input_as(which, _core.input_of(baseline.core))]
    inputs = []
    if settings is not None:
        read = _core.load_settings(file_name(settings), car.core)
        car = car.with_settings(read)
        inputs.append(_core.input_as(f"{which} settings", _core.input_of(read)))
    taken = Readings(_core.readings_from(source, car.core), car)
    return taken, [_core.input_as(which, _core.input_of(taken.core)), *inputs]
