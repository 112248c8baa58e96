"""From the clipboard: readings, what follows from them, and targets."""

from __future__ import annotations

from os import PathLike, fspath
from typing import TYPE_CHECKING

from shimwise import _core

if TYPE_CHECKING:
    import numpy as np
    import pandas as pd
    from numpy.typing import NDArray

    from shimwise.car import Car

__all__ = ["Measured", "Readings", "Targets", "load_readings", "load_targets"]

Targets = _core.Targets


class Readings:
    """A morning's readings in the instruments' own numbers."""

    def __init__(self, core: _core.Readings, car: Car) -> None:
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


class Measured:
    """Values with a full covariance."""

    def __init__(self, core: _core.Measured) -> None:
        self.core = core

    @property
    def keys(self) -> list[str]:
        """Names of the values: "front_left.toe", "ride_height.front_left", ..."""
        return [q.key for q in self.core.quantities]

    @property
    def values(self) -> NDArray[np.float64]:
        """Values, shape (n,), each in its own unit."""
        return self.core.values

    @property
    def covariance(self) -> NDArray[np.float64]:
        """Covariance, shape (n, n); singular, because derived values are among them."""
        return self.core.covariance

    @property
    def notes(self) -> list[str]:
        """What could not be concluded, and what was assumed."""
        return self.core.notes

    def frame(self) -> pd.DataFrame:
        """Return values with unit and standard uncertainty, indexed by key."""
        import pandas as pd

        rows = {
            "value": self.core.values,
            "uncertainty": self.core.uncertainties,
            "unit": [q.unit for q in self.core.quantities],
        }
        return pd.DataFrame(rows, index=pd.Index(self.keys, name="key"))

    def __repr__(self) -> str:
        return self.frame().to_string()


def load_readings(path: str | PathLike[str], car: Car) -> Readings:
    """Read a readings file for a car: its adjusters and points are checked against it.

    Raises:
        InputError: with every problem of the file.
    """
    return Readings(_core.load_readings(fspath(path), car.core), car)


def load_targets(path: str | PathLike[str], car: Car) -> Targets:
    """Read a targets file for a car. Tolerances left out are common practice, and shown as such.

    Raises:
        InputError: with every problem of the file.
    """
    return _core.load_targets(fspath(path), car.core)
