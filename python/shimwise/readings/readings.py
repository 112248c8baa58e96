"""From the clipboard: readings, what follows from them, and targets."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast, overload

from shimwise import _core
from shimwise.arguments import demand_kind, names_among, whole_number
from shimwise.given import Given, source_of
from shimwise.readings.datum import Datum, level_tolerance
from shimwise.readings.measured import Measured
from shimwise.readings.sheet_read import SheetRead

if TYPE_CHECKING:
    from typing import SupportsFloat

    from shimwise.as_set import CarAsSet

__all__ = ["Readings", "Targets", "load_readings", "load_targets"]

Targets = _core.Targets


class Readings:
    """A morning's readings in the instruments' own numbers."""

    def __init__(self, core: _core.Readings, car: CarAsSet) -> None:
        self.core = core
        self._car = car

    @property
    def car(self) -> CarAsSet:
        """The car that it was loaded for, as it was set."""
        return self._car

    def reduce(self, method: str = "law", *, draws: int = 100_000, seed: int = 0) -> Measured:
        """Return alignment, heights and weights with their covariance, in the ground frame.

        Args:
            method: "law", the law of propagation (GUM 5.2.2), or "monte carlo", propagation of distributions (JCGM
                101): last digits are drawn evenly, all else normally. Values are then the means of the draws, and
                `Measured.within_95` holds the interval of each.
            draws, seed: of "monte carlo": how many, 1,000 to 10,000,000, and the seed of the generator.

        Raises:
            InputError: no such method, too few or too many draws, or no such seed.
            OutOfReach: the car as it is set cannot stand on the ground that was measured.
        """
        if names_among("method", method, ["law", "monte carlo"]) == ["law"]:
            return Measured(_core.reduce(self.core, self._car.core))
        drawn = whole_number("draws", draws, 1_000, 10_000_000), whole_number("seed", seed, 0, 2**64 - 1)
        return Measured(_core.reduce_drawn(self.core, self._car.core, *drawn))

    def read(self) -> SheetRead:
        """Return what the sheet amounts to: every value, how sure it is and of what, strings, gauge and repeats.

        Raises:
            OutOfReach: the car as it is set cannot stand on the ground that was measured.
        """
        return SheetRead(self.core, self.reduce(), self._car)

    def level(
        self,
        *,
        tilt_mm_per_m: SupportsFloat | None = None,
        twist_mm: SupportsFloat | None = None,
        there: Readings | None = None,
    ) -> Datum:
        """Return how the pads lie, what to put under which, and what is left does to gauges and scales.

        Args:
            tilt_mm_per_m, twist_mm: how far off level the place may lie; by common practice 0.5 mm/m either way and
                0.5 mm.
            there: what was read of the car at another place: what it will show here, as it stood there.

        Raises:
            InputError: the pads were not read, or a tolerance is not above 0.
            OutOfReach: the car as it is set cannot stand on the ground that was measured, or as it stood there.
        """
        if there is not None:
            demand_kind("there", there, "Readings")
        tolerance = level_tolerance(tilt_mm_per_m, twist_mm)
        other = (there.core, there.reduce().core) if there is not None else None
        return Datum(self.core, self.reduce().core, self._car, tolerance, other)

    def __repr__(self) -> str:
        return f"<Readings {self.core.file} {self.core.place} {self.core.at}>"


@overload
def load_readings(path: Given, car: CarAsSet) -> Readings: ...
@overload
def load_readings(*, car: CarAsSet, text: str) -> Readings: ...
def load_readings(path: Given | None = None, car: CarAsSet | None = None, *, text: str | None = None) -> Readings:
    """Read a readings file for a car: its adjusters and points are checked against it.

    Args:
        path: the file, or what stands in it as a dictionary, as in `load_car`.
        car: the car that was read.
        text: what stands in the file, in place of `path`.

    Raises:
        InputError: with every problem of the file.
    """
    model = _model(car)
    return Readings(_core.readings_from(source_of(path, text), model.core), model)


@overload
def load_targets(path: Given, car: CarAsSet) -> Targets: ...
@overload
def load_targets(*, car: CarAsSet, text: str) -> Targets: ...
def load_targets(path: Given | None = None, car: CarAsSet | None = None, *, text: str | None = None) -> Targets:
    """Read a targets file for a car. Tolerances left out are common practice, and shown as such.

    Args and errors as in `load_readings`.
    """
    return _core.targets_from(source_of(path, text), _model(car).core)


def _model(car: CarAsSet | None) -> CarAsSet:
    demand_kind("car", car, "CarAsSet")
    return cast("CarAsSet", car)
