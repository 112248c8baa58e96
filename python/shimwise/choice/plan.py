"""What to turn and what to shim: the choices, their chances, the card of one."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any

from shimwise import _core
from shimwise.arguments import demand_kind
from shimwise.choice.probability import BoxProbability
from shimwise.data_of import data_of
from shimwise.shown import Shown, text_of, view

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shimwise.car import Car
    from shimwise.readings.measured import Measured
    from shimwise.readings.readings import Targets

__all__ = ["Plan", "plan"]


class Plan(Shown):
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

    @property
    def doubts(self) -> list[str]:
        """What is possible and yet unlikely in car, readings and targets, one sentence each."""
        return [doubt.text for doubt in _core.doubts_of(self.core)]

    @property
    def unread(self) -> list[str]:
        """Targets that nothing read answers, by key: no verdict and no chance covers them."""
        return _core.unread(self.core)

    @property
    def judged(self) -> int:
        """How many targets something read answers."""
        return _core.judged(self.core)

    @cached_property
    def _chances(self) -> _core.Chances:
        return _core.chances(self.core)

    @cached_property
    def chances(self) -> dict[str, BoxProbability]:
        """Chance to pass of every choice: that of what was read. 1.0 where no toe or camber that is asked for was."""
        found = {name: getattr(self._chances, name) for name in self.choices}
        return {name: BoxProbability(chance.value, chance.error) for name, chance in found.items()}

    @cached_property
    def choice(self) -> str:
        """The choice a card is written for: the likeliest to pass; less work where that costs less than 0.05 of it.

        Touch nothing where no turn makes passing likelier.
        """
        return _core.default_choice(self.core, self._chances).name

    def __getitem__(self, choice: str) -> _core.Choice:
        if not isinstance(choice, str) or choice not in self.choices:
            raise _core.InputError(f"choice = {choice!r}: this plan has {', '.join(self.choices)}")
        return self.choices[choice]

    def card(self, choice: str | None = None) -> _core.Card:
        """Return the job in working order for a choice, by default `self.choice`."""
        return _core.card(self.core, self._car.core, self._which(choice))

    def _which(self, choice: str | None) -> _core.Which:
        name = self.choice if choice is None else choice
        self[name]
        return _core.Which.__members__[name]

    def car_after(self, choice: str | None = None) -> Car:
        """Return the car once the choice is done."""
        return type(self._car)(_core.car_after(self._car.core, self.core, self._which(choice)))

    def settings_after(self, choice: str | None = None) -> _core.Settings:
        """Return the settings once the choice is done."""
        return _core.settings_after(self._car.core, self.core, self._which(choice))

    def as_dict(self, choice: str | None = None) -> dict[str, Any]:
        """Return everything as plain data: what `--json` prints and a saved card holds."""
        name = self.choice if choice is None else choice
        self[name]
        read = bool(self.core.nothing.next.keys)
        said = {"doubts": self.doubts, "unread": self.unread}
        return {key: words for key, words in said.items() if words} | {
            "choice": name,
            "chance_to_pass": {one: round(p.value, 6) if read else None for one, p in self.chances.items()},
            "card": data_of(self.card(name)),
            "settings_before": _without_file(_core.settings_of(_core.as_read(self._car.core, self.core.measured))),
            "settings_after": _without_file(self.settings_after(name)),
            "plan": data_of(self.core),
        }

    def text(self, choice: str | None = None, *, width: int = 80) -> str:
        """Return the plan and its card as text."""
        if choice is not None:
            self[choice]
        return text_of(view(self, choice), width)


def _without_file(settings: _core.Settings) -> dict[str, Any]:
    return {key: value for key, value in data_of(settings).items() if key != "file"}


def plan(car: Car, measured: Measured, targets: Targets, *, doubts: Sequence[_core.Doubt] = ()) -> Plan:
    """Choose the turns and shims for toe, camber and caster, each corner by itself, its contact held.

    Args:
        car: the car as it stands.
        measured: what was read of it.
        targets: what it should read.
        doubts: what is doubted already; it comes first among the plan's own doubts.

    Raises:
        OutOfReach: the car as it stands cannot be placed on the ground.
    """
    demand_kind("car", car, "CarAsSet")
    demand_kind("measured", measured, "Measured")
    demand_kind("targets", targets, "Targets")
    return Plan(_core.plan(car.core, measured.core, targets, list(doubts)), car)
