"""How fast a skid wears, and how far it still goes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from shimwise import _core
from shimwise.arguments import demand_kind, demand_yes_or_no, number
from shimwise.data_of import data_of
from shimwise.given import Given, source_of
from shimwise.shown import Shown

if TYPE_CHECKING:
    from typing import SupportsFloat

    from shimwise.as_set import CarAsSet
    from shimwise.readings.measured import Measured
    from shimwise.readings.readings import Targets

__all__ = ["SkidWear", "skid"]


class SkidWear(Shown):
    """The wear of the skid that is on the car: made by `skid`, what `shimwise skid` shows.

    Attributes:
        core: the file as it was read.
        wear: of each point the last reading, what is worn off, and where checks tell it an `outlook`: rate of wear,
            thickness after the next run (of one reading, not the mean), the chance of being under then and the distance
            left, each with its interval of 95 %; the same by ride height; by the car what is left under the skid.
        asked: how far the next run goes, how far the skid is to last, and whether the gauge's uncertainty counts alone.
        car: the car's name; None without one.
    """

    def __init__(self, core: _core.Skid, asked: _core.WearAsked, car: CarAsSet | None) -> None:
        self.core = core
        self.asked = asked
        self.car = car.name if car is not None else None
        self.wear = _core.wear(core, asked) if car is None else _core.wear(core, asked, car.core)

    def targets(self, measured: Measured, car: CarAsSet) -> Targets:
        """Return the ride heights with which the skid lasts `lasts_km`, for `shimwise.plan`: its pushrods.

        Every height that was read is raised by the same, so that rake stays: by what the point lacks that lacks most.

        Args:
            measured: what was read of the car as it stands now.
            car: the one that the file was read for.

        Raises:
            InputError: no `lasts_km` was asked for, heights were not read at two places along the car, or a point that
                does not last as far tells no height that does.
        """
        return _core.targets_that_last(self.core, self.asked, measured.core, car.core)

    def as_dict(self) -> dict[str, Any]:
        """Return everything as plain data: what `--json` prints."""
        return {
            "car": self.car,
            "new_mm": self.core.new_mm,
            "least_mm": self.core.least_mm,
            "common_practice": {
                "new_mm": self.core.new_is_common_practice,
                "least_mm": self.core.least_is_common_practice,
            },
            "gauge_uncertainty_mm": self.core.gauge_uncertainty_mm,
            "asked": data_of(self.asked),
            **data_of(self.wear),
            "cautions": _core.cautions(),
        }


def skid(
    path: Given | None = None,
    car: CarAsSet | None = None,
    *,
    text: str | None = None,
    next_km: SupportsFloat | None = None,
    lasts_km: SupportsFloat | None = None,
    gauge_alone: bool = False,
) -> SkidWear:
    """Return how fast a skid wears, how thick it will be after the next run, and how far it still goes.

    Args:
        path: the file, or what stands in it as a dictionary.
        car: against which points, names of ride heights and the new skid's thickness are checked, and by which the
            height under each point is known.
        text: what stands in the file, in place of `path`.
        next_km: length of the next run; as long as the last one if not given.
        lasts_km: how far the skid is to last from now on: the ride height that makes it do so is told, where runs were
            at different ones.
        gauge_alone: tell a rate of one run alone, which does not show how unevenly the skid wears: its uncertainty is
            then the gauge's, and too small.

    Raises:
        InputError: with every problem of the file (thickness that grows beyond its uncertainty is one, unless the check
            says `new = true`), where no point has a rate, and where a distance is not above 0.
    """
    if car is not None:
        demand_kind("car", car, "Car")
    demand_yes_or_no("gauge_alone", gauge_alone)
    asked = _core.WearAsked()
    asked.gauge_alone = bool(gauge_alone)
    if next_km is not None:
        asked.next_km = number("next_km", next_km)
    if lasts_km is not None:
        asked.lasts_km = number("lasts_km", lasts_km)
    source = source_of(path, text)
    return SkidWear(_core.skid_from(source) if car is None else _core.skid_from(source, car.core), asked, car)
