"""A state of the car that was accepted: written once, and read with every check."""

from __future__ import annotations

from os import PathLike
from typing import TYPE_CHECKING, Any

from shimwise import _core
from shimwise.arguments import demand_kind, file_name
from shimwise.data_of import data_of
from shimwise.given import source_of
from shimwise.readings.readings import Readings
from shimwise.shown import Shown

if TYPE_CHECKING:
    import pandas as pd

    from shimwise.car import Car
    from shimwise.readings.measured import Measured
    from shimwise.readings.readings import Targets

__all__ = ["Baseline", "accept", "load_baseline"]


class Baseline(Shown):
    """What was read of a car, how it was set and loaded then, why that is accepted, and what it replaces.

    Made by `accept` and `load_baseline`.

    Attributes:
        core: all that stands in the file.
        car: the car as it was set then.
        readings: its sheet, of that car: what `compare` takes.
        notes: what has come between the baseline and the car file: another one, another version.
    """

    def __init__(self, core: _core.Baseline, car: Car) -> None:
        self.core = core
        self._given = car
        self.car = type(car)(_core.as_accepted(core, car.core))
        self.readings = Readings(_core.readings_of(core, car.core), self.car)
        self.notes = _core.baseline_notes(core, car.core)

    @property
    def file(self) -> str:
        return self.core.file

    @property
    def digest(self) -> str:
        """Of the file: by which the baseline that replaces it names it."""
        return self.core.digest

    @property
    def reason(self) -> str:
        """Why it was accepted."""
        return self.core.reason

    def targets(self, measured: Measured, car: Car) -> Targets:
        """Return what was accepted as what is wanted of a car that was read again: what `plan` takes.

        Toe, camber, heights and differences of weight, each within its common tolerance (common practice, no source).

        Raises:
            InputError: the baseline is of another car.
        """
        demand_kind("measured", measured, "Measured")
        self.demand_car(car)
        return _core.targets_of(self.core, measured.core, car.core)

    def demand_car(self, car: Car) -> None:
        """Refuse another car."""
        demand_kind("car", car, "CarAsSet")
        if self.core.car != car.name:
            raise _core.InputError(f"baseline: {self.file} is of {self.core.car}, this car is {car.name}")

    def frame(self) -> pd.DataFrame:
        """Return the accepted values, indexed by key, each in its own unit.

        Columns: `value`, `uncertainty` (standard), `anew` (the part of it that comes anew), `derived`, `unit`.
        """
        import pandas as pd

        values = self.core.values
        names = ("value", "uncertainty", "anew", "derived", "unit")
        columns = {name: [getattr(one, name) for one in values] for name in names}
        return pd.DataFrame(columns, index=pd.Index([one.key for one in values], name="key"))

    def as_dict(self) -> dict[str, Any]:
        """Return everything as plain data."""
        content: dict[str, Any] = data_of(self.core)
        return content | {"notes": self.notes}


def accept(
    car: Car,
    readings: Readings,
    reason: str,
    out: str | PathLike[str],
    *,
    replaces: Baseline | str | PathLike[str] | None = None,
) -> Baseline:
    """Write what was read of a car into a new file: from now on this is how it should stand.

    Args:
        car: the car as it was set when it was read; lengths and shims of the sheet win.
        readings: its sheet.
        reason: why this state is accepted, in a sentence.
        out: the file, which must be new.
        replaces: the baseline that it takes the place of, or its file. Left out: the first of its kind.

    Raises:
        InputError: no reason, nothing follows from the sheet, a setting breaks a limit, `replaces` is of another car,
            or the file exists.
        OutOfReach: the car as it is set cannot stand on the ground that was measured.
    """
    demand_kind("car", car, "CarAsSet")
    demand_kind("readings", readings, "Readings")
    if not isinstance(reason, str):
        raise _core.InputError(f"reason = {reason!r}: needs a text")
    before = "" if replaces is None else _digest_of(replaces, car)
    path = file_name(out)
    _core.save_baseline(_core.accepted(readings.core, car.core, reason, before), path)
    return load_baseline(path, car)


def _digest_of(replaces: Baseline | str | PathLike[str], car: Car) -> str:
    core = replaces.core if isinstance(replaces, Baseline) else _core.baseline_alone_from(source_of(replaces, None))
    if core.car != car.name:
        raise _core.InputError(f"{core.file}: car: is a baseline of {core.car}, this car is {car.name}")
    return core.digest


def load_baseline(path: str | PathLike[str], car: Car) -> Baseline:
    """Read a baseline for its car: settings, lengths and values are checked against the car, and against its own sheet.

    Raises:
        InputError: with every problem of the file; a file that was changed after it was written says that alone.
        OutOfReach: the car cannot stand as it was read.
    """
    demand_kind("car", car, "CarAsSet")
    return Baseline(_core.baseline_from(source_of(path, None), car.core), car)
