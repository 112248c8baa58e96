"""Two sheets of one car: what has changed, whether it is more than noise, and what explains it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from shimwise import _core
from shimwise.arguments import demand_kind
from shimwise.baselines.baseline import Baseline
from shimwise.data_of import data_of
from shimwise.readings.readings import Readings
from shimwise.shown import Shown

if TYPE_CHECKING:
    import pandas as pd

    from shimwise.as_set import CarAsSet

__all__ = ["Compared", "compare"]


class Compared(Shown):
    """What `shimwise compare` shows, made by `compare`.

    Attributes:
        core: `differences` with their covariance and whether each is a change or noise; `causes`, what ballast, bars,
            pads and turns make of each by the model; `left`, what none of them explains, and its uncertainty.
        car: the car's name.
        old, new: place and time of the two sheets, as far as they say them.
        doubts: what is possible and yet unlikely in the car and both sheets, one sentence each.
        notes: what could not be compared or explained.
    """

    def __init__(self, core: _core.Explained, car: CarAsSet, old: str, new: str, doubts: list[str]) -> None:
        self.core = core
        self.car = car.name
        self.old, self.new = old, new
        self.doubts = doubts
        self.notes = list(core.notes)
        for which, keys in (("old", core.differences.only_old), ("new", core.differences.only_new)):
            if keys:
                self.notes.append(f"Read in the {which} sheet alone, and not compared: {', '.join(keys)}.")

    @property
    def changed(self) -> list[str]:
        """Keys of the values that differ by more than noise, at 95 %."""
        return [value.key for value in self.core.differences.values if value.changed]

    @property
    def unexplained(self) -> list[str]:
        """Keys of the values of which more is left than noise, at 95 %."""
        pairs = zip(self.core.differences.values, self.core.left, strict=True)
        return [value.key for value, left in pairs if left.unexplained]

    def frame(self) -> pd.DataFrame:
        """Return one row for each value, indexed by key, each in its own unit.

        Columns: `was`, `now`, `change`, `uncertainty`, `changed`, `tolerance` (common practice, no source; NaN where
        there is none), `within`, then one for each cause by its name, `left` and `left_uncertainty`, `unexplained`,
        `unit`.
        """
        import pandas as pd

        values, left = self.core.differences.values, self.core.left
        columns: dict[str, Any] = {
            "was": [one.was for one in values],
            "now": [one.is_now for one in values],
            "change": [one.by for one in values],
            "uncertainty": [one.uncertainty for one in values],
            "changed": [one.changed for one in values],
            "tolerance": [float("nan") if one.tolerance is None else one.tolerance for one in values],
            "within": [one.within for one in values],
        }
        columns |= {cause.name: cause.by for cause in self.core.causes}
        columns |= {
            "left": [one.by for one in left],
            "left_uncertainty": [one.uncertainty for one in left],
            "unexplained": [one.unexplained for one in left],
            "unit": [one.unit for one in values],
        }
        return pd.DataFrame(columns, index=pd.Index([one.key for one in values], name="key"))

    def as_dict(self) -> dict[str, Any]:
        """Return everything as plain data: what `--json` prints."""
        said: dict[str, Any] = {"doubts": self.doubts} if self.doubts else {}
        return said | {
            "car": self.car,
            "old": self.old,
            "new": self.new,
            "changed": self.changed,
            "unexplained": self.unexplained,
            **data_of(self.core),
            "notes": self.notes,
        }


def compare(car: CarAsSet, old: Readings | Baseline, new: Readings | Baseline) -> Compared:
    """Return what has changed from one sheet to another, and what explains it.

    Args:
        car: the car, as the model has it.
        old, new: sheets, each loaded for this car as it was set then: `load_readings(path, car.with_settings(...))`.
            Lengths and shims of a sheet win over its settings. Or baselines, which have their own sheet and settings.

    Raises:
        InputError: a sheet was loaded for another car file.
        OutOfReach: the car cannot stand on the ground that was measured.
    """
    demand_kind("car", car, "CarAsSet")
    sheets = []
    for name, given in (("old", old), ("new", new)):
        if isinstance(given, Baseline):
            given = given.readings  # noqa: PLW2901
        demand_kind(name, given, "Readings")
        if _core.input_of(given.car.core).digest != _core.input_of(car.core).digest:
            raise _core.InputError(f"{name}: was loaded for {given.car.file}, not for {car.file}: load it for this car")
        sheets.append((given, given.reduce().core))
    (old_sheet, was), (new_sheet, now) = sheets
    stood = [_core.as_read(given.car.core, measured) for given, measured in sheets]
    doubts = [doubt.text for doubt in _core.doubts(car.core)]
    for (given, measured), which in zip(sheets, ("Old", "New"), strict=True):
        doubts += [f"{which} sheet: {doubt.text}" for doubt in _core.doubts(measured, given.car.core)]
    return Compared(_core.explain(was, stood[0], now, stood[1]), car, when(old_sheet), when(new_sheet), doubts)


def when(readings: Readings) -> str:
    """Place and time of a sheet; its file where it says neither."""
    return " ".join(part for part in (readings.core.place, readings.core.at) if part) or readings.core.file
