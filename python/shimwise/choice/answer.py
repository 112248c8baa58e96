"""One way to set the car, as a plan has several."""

from __future__ import annotations

import math
from functools import cached_property
from typing import TYPE_CHECKING

from shimwise import _core
from shimwise.choice.card import Card
from shimwise.choice.probability import BoxProbability
from shimwise.shown import Shown

if TYPE_CHECKING:
    import pandas as pd

    from shimwise.car import Car

__all__ = ["ASKS", "Answer"]

ASKS = {"asked": "asked", "limit": "limit", "kept": "kept", "let_go": "let go"}


class Answer(Shown):
    """One way to set the car: touch nothing, the closest plan, the one of least work, or plain rounding.

    Attributes:
        name: "nothing", "closest", "least_work" or "rounded".
        core: what the library says of it.
    """

    def __init__(
        self, name: str, core: _core.Choice, plan: _core.Plan, car: Car, *, beside: Answer | None = None
    ) -> None:
        self.name = name
        self.core = core
        self._beside = beside
        self._plan = plan
        self._car = car

    @property
    def cost(self) -> float:
        """Sum of ((then - target) / tolerance)^2 over what is asked for, and 1e-6 of a squared step."""
        return self.core.cost

    @property
    def minutes(self) -> float:
        """How long it takes, by the minutes that the car file gives each adjuster."""
        return self.core.minutes

    @property
    def within(self) -> bool:
        """Whether every target is met by what is predicted; False also where one of them was not read."""
        return self.core.within

    @property
    def touches(self) -> bool:
        """Whether anything is turned or changed."""
        return self.core.touches

    @property
    def proof(self) -> _core.Proof:
        """How many settings were weighed, how far the linear model was off, and whether nothing better is left."""
        return self.core.proof

    @cached_property
    def chance(self) -> BoxProbability:
        """Chance that all targets that were read are met when the car is read again with the same instruments.

        1.0 where none was read.
        """
        if self._beside is not None and _set_alike(self, self._beside):
            return self._beside.chance  # it takes as long as the plan
        found = _core.chance(self.core.next)
        return BoxProbability(found.value, found.error)

    @property
    def turned(self) -> list[_core.PlannedSetting]:
        """What is turned or changed, corner by corner."""
        return [one for one in self.core.settings if one.touched]

    def adjuster(self, key: str) -> _core.Adjuster:
        """Return an adjuster as it stood when the car was read. Raises InputError where there is none."""
        return self._as_read.adjuster(key)

    @cached_property
    def _as_read(self) -> Car:
        return type(self._car)(_core.as_read(self._car.core, self._plan.measured))

    @property
    def settings(self) -> dict[str, float | list[float]]:
        """What stands otherwise than in the car, as `Car.with_settings` takes it.

        From "corner.adjuster name" to turns from drawn, or the shims of the pack in mm. Rods and shims that were read
        with the car are among it where they are others than the car's.
        """
        was = _by_key(self._car.settings)
        then = _by_key(self._as_read.settings)
        for one in self.turned:
            then[one.key] = one.shims.shims_mm if isinstance(then[one.key], list) else one.after
        turned = {one.key for one in self.turned}
        return {key: now for key, now in then.items() if key in turned or now != was[key]}

    @property
    def values(self) -> pd.DataFrame:
        """Every value that it is judged by or keeps, indexed by key, in the ground frame.

        Columns: `measured`, as it was read; `then`, once all is done; `target` with its `tolerance`, `least`, `most`,
        NaN where there is none; `within`; `uncertainty`, the standard deviation of the next reading about `then`, NaN
        where nothing is read; `asks`: "asked" (in the cost), "limit" (a least or most, or what follows from what is
        asked), "kept" (nobody asked, it stays within its common tolerance) or "let go"; `read`, False of what is the
        model's own, caster for instance: `measured` is the model's value then; `unit`.
        """
        import pandas as pd

        rows = [_row(value) for value in self.core.values]
        columns = ["key", "measured", "then", "target", "tolerance", "least", "most", "within", "uncertainty", "asks"]
        return pd.DataFrame(rows, columns=[*columns, "read", "unit"]).set_index("key")

    def card(self) -> Card:
        """Return the job in working order. Raises InputError of plain rounding, which is for comparison only."""
        if self.name not in _core.Which.__members__:
            raise _core.InputError(f"{self.name}: is for comparison, no card is written for it")
        return Card(_core.card(self._plan, self._car.core, _core.Which.__members__[self.name]))


def _set_alike(one: Answer, other: Answer) -> bool:
    return [setting.after for setting in one.core.settings] == [setting.after for setting in other.core.settings]


def _by_key(settings: _core.Settings) -> dict[str, float | list[float]]:
    return {**settings.turns, **settings.shims_mm}


def _row(value: _core.PlannedValue) -> tuple[object, ...]:
    target = value.target
    wanted = [math.nan if one is None else one for one in (target.value, target.least, target.most)]
    tolerance = math.nan if target.value is None else target.tolerance
    deviation = value.deviation if value.measured and value.deviation > 0.0 else math.nan
    ends = (wanted[0], tolerance, wanted[1], wanted[2])
    told = (value.within, deviation, ASKS[value.asks.name], value.measured, value.unit)
    return (value.key, value.now, value.then, *ends, *told)
