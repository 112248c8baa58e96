"""From the clipboard: readings, what follows from them, and targets."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shimwise import _core
from shimwise.arguments import demand_kind, file_name
from shimwise.readings.measured import Measured

if TYPE_CHECKING:
    from os import PathLike

    from shimwise.as_set import CarAsSet

__all__ = ["Readings", "Targets", "load_readings", "load_targets"]

Targets = _core.Targets


class Readings:
    """A morning's readings in the instruments' own numbers."""

    def __init__(self, core: _core.Readings, car: CarAsSet) -> None:
        self.core = core
        self._car = car

    def reduce(self) -> Measured:
        """Return alignment, heights and weights with their covariance, in the ground frame.

        Raises:
            OutOfReach: the car as it is set cannot stand on the ground that was measured.
        """
        return Measured(_core.reduce(self.core, self._car.core))

    def __repr__(self) -> str:
        return f"<Readings {self.core.file} {self.core.place} {self.core.at}>"


def load_readings(path: str | PathLike[str], car: CarAsSet) -> Readings:
    """Read a readings file for a car: its adjusters and points are checked against it.

    Raises:
        InputError: with every problem of the file.
    """
    demand_kind("car", car, "CarAsSet")
    return Readings(_core.load_readings(file_name(path), car.core), car)


def load_targets(path: str | PathLike[str], car: CarAsSet) -> Targets:
    """Read a targets file for a car. Tolerances left out are common practice, and shown as such.

    Raises:
        InputError: with every problem of the file.
    """
    demand_kind("car", car, "CarAsSet")
    return _core.load_targets(file_name(path), car.core)
