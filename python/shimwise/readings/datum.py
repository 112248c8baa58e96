"""How a place lies under a car, what to pack, and what is left does to the instruments."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from shimwise import _core
from shimwise.arguments import number
from shimwise.data_of import data_of
from shimwise.shown import Shown

if TYPE_CHECKING:
    from typing import SupportsFloat

    from shimwise.as_set import CarAsSet

__all__ = ["Datum", "level_tolerance"]


class Datum(Shown):
    """The four pads: made by `Readings.level`, what `shimwise level` shows.

    Attributes:
        level: tilt both ways in mm/m and twist in mm, each with its standard uncertainty, their `covariance`, what each
            pad is off the best plane, and how steps along a straightedge close.
        packing: what to put under which pad, and what is left then; `within`, whether that is inside the tolerance.
        tolerance: how far off level the place may lie.
        now, packed: what tilt and twist do to each gauge and scale, as the place lies and packed so.
        there: what the car as it was read at another place will show here; None where no other place was named.
        doubts: what is possible and yet unlikely in the car and what was read of it, one sentence each.
    """

    def __init__(
        self,
        readings: _core.Readings,
        measured: _core.Measured,
        car: CarAsSet,
        tolerance: _core.LevelTolerance,
        other: tuple[_core.Readings, _core.Measured] | None,
    ) -> None:
        self.car = car.name
        self.place, self.at = readings.place, readings.at
        self.packing_mm = list(readings.packing_mm)
        self.tolerance = tolerance
        self.level = _core.level(measured, car.core)
        self.packing = _core.best_packing(self.level, self.packing_mm, tolerance)
        self.now = _core.off_level(measured, car.core, self.level, self.level.pads_mm)
        self.packed = _core.off_level(measured, car.core, self.level, self.packing.pads_mm)
        self.there = _core.expect_here(measured, other[1], car.core) if other else None
        self.there_words = " ".join((other[0].place or other[0].file, other[0].at)).strip() if other else ""
        doubts = _core.doubts(car.core) + _core.doubts(measured, car.core)
        self.doubts = [doubt.text for doubt in doubts + (_core.doubts(other[1], car.core) if other else [])]

    @property
    def default_tolerance(self) -> bool:
        """Whether both tolerances are those of common practice."""
        return bool(data_of(self.tolerance) == data_of(_core.LevelTolerance()))

    def as_dict(self) -> dict[str, Any]:
        """Return everything as plain data: what `--json` prints."""
        said: dict[str, Any] = {"doubts": self.doubts} if self.doubts else {}
        content = said | {
            "car": self.car,
            "level": data_of(self.level),
            "tolerance": data_of(self.tolerance) | {"common_practice": self.default_tolerance},
            "packing_mm": self.packing_mm,
            "packing": data_of(self.packing),
            "off_level": {"now": data_of(self.now), "packed": data_of(self.packed)},
            "cautions": _core.cautions(),
        }
        if self.there is not None:
            content["there"] = data_of(self.there)
        return content


def level_tolerance(tilt_mm_per_m: SupportsFloat | None, twist_mm: SupportsFloat | None) -> _core.LevelTolerance:
    """Common practice where nothing is given."""
    tolerance = _core.LevelTolerance()
    if tilt_mm_per_m is not None:
        tolerance.tilt_mm_per_m = number("tilt_mm_per_m", tilt_mm_per_m)
    if twist_mm is not None:
        tolerance.twist_mm = number("twist_mm", twist_mm)
    return tolerance
