"""A sheet of readings, read: every value with what it is made of, and what the sheet says of itself."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from shimwise import _core
from shimwise.data_of import data_of
from shimwise.readings.repeats import repeated
from shimwise.readings.settled import settled
from shimwise.shown import Shown

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from shimwise.as_set import CarAsSet
    from shimwise.readings.measured import Measured

__all__ = ["SheetRead"]


class SheetRead(Shown):
    """What `shimwise read` shows, made by `Readings.read`.

    Attributes:
        measured: the values with their covariance.
        made_of: for each value, the parts of its variance, the largest first.
        strings: how the strings ran; None where they were not read.
        gauge_zero_deg: the camber gauge's zero error with its uncertainty.
        gauge_checks: what each check of this morning showed of it, with its time; empty where there was none.
        repeats: readings that were taken more than once, each with Grubbs' test of them.
        settled: how the car itself scattered where the sheet was read anew after settling.
        contradictions: how the sheet fits the car and itself, and what slip would explain it; None where the car does
            not stand by the model.
        doubts: what is possible and yet unlikely, or contradicts, one sentence each.
    """

    def __init__(self, readings: _core.Readings, measured: Measured, car: CarAsSet) -> None:
        core = measured.core
        self.measured = measured
        self.car = car.name
        self.place, self.at = readings.place, readings.at
        self.frame = core.frame_words
        self.gauge_checks = readings.gauge_checks
        self.made_of = [_core.made_of(core, i) for i in range(len(core.quantities))]
        self.strings = _core.strings_read(core, car.core)
        self.gauge_zero_deg = _core.gauge_zero_deg(core)
        self.repeats = repeated(core, car.core)
        self.settled = settled(core, car.core)
        self.contradictions = _core.contradictions(core, car.core)
        self.doubts = [doubt.text for doubt in _core.doubts(car.core) + _core.doubts(core, car.core)]

    @property
    def anew(self) -> NDArray[np.float64]:
        """Of each value the standard uncertainty that comes anew at the next reading, shape (n,)."""
        return np.sqrt(np.diag(self.measured.core.repeat_covariance))

    def as_dict(self) -> dict[str, Any]:
        """Return everything as plain data: what `--json` prints."""
        core = self.measured.core
        values = [
            {
                "key": quantity.key,
                "value": value,
                "unit": quantity.unit,
                "uncertainty": u,
                "anew": anew,
                "made_of": {part.kind: part.share for part in parts},
            }
            for quantity, value, u, anew, parts in zip(
                core.quantities, core.values, core.uncertainties, self.anew, self.made_of, strict=True
            )
        ]
        said = {"doubts": self.doubts} if self.doubts else {}
        return said | {
            "car": self.car,
            "frame": self.frame,
            "values": values,
            "input_quantities": data_of(core.inputs),
            "by_input_quantities": core.by_inputs.tolist(),
            "strings": data_of(self.strings),
            "gauge_zero_deg": data_of(self.gauge_zero_deg),
            "gauge_checks": [data_of(check) for check in self.gauge_checks],
            "repeats": [
                {
                    "key": one.key,
                    "unit": one.unit,
                    "in_sets": one.in_sets,
                    "readings": one.readings,
                    "outlier": one.outlier,
                }
                for one in self.repeats
            ],
            "settled": [one._asdict() for one in self.settled],
            "contradictions": data_of(self.contradictions),
            "notes": self.measured.notes,
        }
