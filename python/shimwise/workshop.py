"""From the clipboard to the card: readings, targets, plan."""

from __future__ import annotations

from functools import cached_property
from os import PathLike, fspath
from typing import TYPE_CHECKING, Any

from shimwise import _core, cards, texts

if TYPE_CHECKING:
    import numpy as np
    import pandas as pd
    from numpy.typing import NDArray

    from shimwise.car import Car
    from shimwise.probability import BoxProbability

__all__ = ["Measured", "Plan", "Readings", "Targets", "load_readings", "load_targets", "plan"]

Targets = _core.Targets

_NEAR_ENOUGH = 0.05  # least work is taken where its chance is within this of the closest plan's


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


class Plan:
    """Touch nothing, the closest plan and the one of least work, with their proof and their chance to pass.

    The chance is the probability that every toe and camber asked for lies within its tolerance when it is measured
    again with the same instruments and zeros.
    """

    def __init__(self, core: _core.Plan, car: Car) -> None:
        self.core = core
        self._car = car

    @cached_property
    def choices(self) -> dict[str, _core.Choice]:
        """The ways to set the car: "nothing", "closest" and, where all comes within tolerance, "least_work"."""
        found = {"nothing": self.core.nothing, "closest": self.core.closest}
        return found if self.core.least_work is None else found | {"least_work": self.core.least_work}

    @cached_property
    def chances(self) -> dict[str, BoxProbability]:
        """Chance to pass of every choice."""
        return {name: _chance(choice.next) for name, choice in self.choices.items()}

    @cached_property
    def choice(self) -> str:
        """The choice a card is written for: the likeliest to pass; less work where that costs less than 0.05 of it.

        Touch nothing where no turn makes passing likelier.
        """
        chance = {name: p.value for name, p in self.chances.items()}
        best = max(chance[name] for name in chance if name != "nothing")
        if chance["nothing"] >= best:
            return "nothing"
        saves = "least_work" in chance and self["least_work"].minutes < self["closest"].minutes
        return "least_work" if saves and chance["least_work"] >= chance["closest"] - _NEAR_ENOUGH else "closest"

    def __getitem__(self, choice: str) -> _core.Choice:
        if choice not in self.choices:
            raise _core.InputError(f"choice = {choice!r}: this plan has {', '.join(self.choices)}")
        return self.choices[choice]

    def card(self, choice: str | None = None) -> _core.Card:
        """Return the job in working order for a choice, by default `self.choice`."""
        name = choice or self.choice
        self[name]
        return _core.card(self.core, self._car.core, _core.Which.__members__[name])

    def car_after(self, choice: str | None = None) -> Car:
        """Return the car once the choice is done."""
        return type(self._car)(
            _core.car_after(self._car.core, self.core, _core.Which.__members__[choice or self.choice])
        )

    def settings_after(self, choice: str | None = None) -> _core.Settings:
        """Return the settings once the choice is done."""
        return _core.settings_after(self._car.core, self.core, _core.Which.__members__[choice or self.choice])

    def as_dict(self, choice: str | None = None) -> dict[str, Any]:
        """Return everything as plain data: what `--json` prints and a saved card holds."""
        return cards.plan_data(self, choice or self.choice)

    def text(self, choice: str | None = None, *, width: int = 80) -> str:
        """Return the plan and its card as text."""
        return texts.text_of(cards.plan_view(self, choice or self.choice), width)

    def __repr__(self) -> str:
        return self.text()

    def _repr_html_(self) -> str:
        return texts.html_of(cards.plan_view(self, self.choice))


def _chance(reading: _core.NextReading) -> BoxProbability:
    from shimwise.probability import probability_in_box  # SciPy costs a third of a second

    return probability_in_box(reading.predicted, reading.covariance, reading.lower, reading.upper)


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


def plan(car: Car, measured: Measured, targets: Targets) -> Plan:
    """Choose the turns and shims for toe, camber and caster, each corner by itself, its contact held.

    Raises:
        OutOfReach: the car as it stands cannot be placed on the ground.
    """
    return Plan(_core.plan(car.core, measured.core, targets), car)
