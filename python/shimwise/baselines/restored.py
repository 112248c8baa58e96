"""The way back to a baseline: what to turn and what to shim from how the car is set now."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, overload

from shimwise import _core
from shimwise.arguments import demand_kind
from shimwise.baselines.baseline import Baseline
from shimwise.choice.plan import plan
from shimwise.data_of import data_of
from shimwise.shown import Shown

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shimwise.car import Car
    from shimwise.choice.plan import Plan
    from shimwise.readings.measured import Measured

__all__ = ["Restored", "restore"]


class Restored(Shown):
    """What `shimwise restore` shows, made by `restore`.

    Attributes:
        core: `lines`, each adjuster that is touched, in working order; `not_made`, packs that no shims at hand make;
            `settings`, once all lines are done; `minutes`.
        baseline: what the car is put back to.
        notes: adjusters that the baseline does not know, and what has come between it and the car file.
    """

    def __init__(self, core: _core.Restored, baseline: Baseline, car: Car) -> None:
        self.core = core
        self.baseline = baseline
        self.notes = [*core.notes, *baseline.notes]
        self._car = car

    @property
    def whole(self) -> bool:
        """Whether all of it can be put back."""
        return not self.core.not_made

    @property
    def car(self) -> Car:
        """The car once all lines are done."""
        return type(self._car)(_core.with_settings(self._car.core, self.core.settings))

    def as_dict(self) -> dict[str, Any]:
        """Return everything as plain data: what `--json` prints."""
        return {
            "car": self._car.name,
            "baseline": {"file": self.baseline.file, "digest": self.baseline.digest, "reason": self.baseline.reason},
            **data_of(self.core),
            "notes": self.notes,
            "values": data_of(self.baseline.core.values),
            "cautions": _core.cautions(),
        }


@overload
def restore(car: Car, baseline: Baseline) -> Restored: ...
@overload
def restore(car: Car, baseline: Baseline, measured: Measured, *, doubts: Sequence[_core.Doubt] = ()) -> Plan: ...
def restore(
    car: Car, baseline: Baseline, measured: Measured | None = None, *, doubts: Sequence[_core.Doubt] = ()
) -> Restored | Plan:
    """Return what to turn and what to shim so that a car is set as it was when a baseline was accepted.

    Threads go back by the turns between; packs to the thickness that they had, from the shims that are fitted and at
    hand now. What these do not make is said, and what they make. Nothing is read: whether the car then reads as it did
    is for `compare`. With `measured` the plan of the whole car whose targets are the accepted values: a car that was
    built up anew has other lengths for the same values.

    Args:
        car: the car as it is set now.
        baseline: of this car.
        measured: what was read of it as it stands now. `shimwise.plan` with `baseline.targets(measured, car)` takes
            options, too.
        doubts: as `shimwise.plan` takes them.

    Raises:
        InputError: the baseline is of another car.
        OutOfReach: with `measured`, the car as it stands cannot be placed on the ground.
    """
    demand_kind("baseline", baseline, "Baseline")
    baseline.demand_car(car)
    if measured is not None:
        return plan(car, measured, baseline.targets(measured, car), doubts=doubts)
    return Restored(_core.restore(car.core, baseline.core), baseline, car)
