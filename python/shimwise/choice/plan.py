"""What to turn and what to shim: the answers, their chances, the card of one."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any

from shimwise import _core
from shimwise.arguments import demand_kind, demand_yes_or_no
from shimwise.choice.answer import Answer
from shimwise.choice.asked import doubts_of, options_of
from shimwise.choice.cannot import Verdict, verdict_of
from shimwise.choice.card import Card
from shimwise.data_of import data_of
from shimwise.shown import Shown, text_of, view

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    import pandas as pd

    from shimwise.car import Car
    from shimwise.choice.asked import Names
    from shimwise.choice.probability import BoxProbability
    from shimwise.readings.measured import Measured
    from shimwise.readings.readings import Targets
    from shimwise.setting_words import Words

__all__ = ["Plan", "plan"]


class Plan(Shown):
    """Touch nothing, the closest plan and the one of least work, with their proof and their chance to pass.

    What it says of itself (`settings`, `values`, `cost`, `chance`, `minutes`, `proof`) is that of the answer that a
    card is written for, `choice`; the others say the same of themselves.

    The chance is the probability that every target that was read lies within its tolerance when it is measured again
    with the same instruments and zeros.
    """

    def __init__(self, core: _core.Plan, car: Car, *, in_time: bool = False) -> None:
        self.core = core
        self._car = car
        self._in_time = in_time

    @cached_property
    def nothing(self) -> Answer:
        """Touch nothing: the car as it stands."""
        return Answer("nothing", self.core.nothing, self.core, self._car)

    @cached_property
    def closest(self) -> Answer:
        """The least cost that can be set."""
        return Answer("closest", self.core.closest, self.core, self._car)

    @cached_property
    def least_work(self) -> Answer | None:
        """The fewest minutes whose chance is within 0.05 of the best. None where not every target can be met."""
        choice = self.core.least_work
        return None if choice is None else Answer("least_work", choice, self.core, self._car, beside=self.closest)

    @cached_property
    def rounded(self) -> Answer | None:
        """Every adjuster at the step nearest to the best real amount, for comparison. None where it cannot be set."""
        choice = self.core.rounded
        return None if choice is None else Answer("rounded", choice, self.core, self._car, beside=self.closest)

    @cached_property
    def choices(self) -> dict[str, Answer]:
        """The ways to set the car: "nothing", "closest" and, where all comes within tolerance, "least_work"."""
        found = {"nothing": self.nothing, "closest": self.closest}
        return found if self.least_work is None else found | {"least_work": self.least_work}

    @property
    def doubts(self) -> list[str]:
        """What is possible and yet unlikely in car, readings and targets, one sentence each."""
        return [doubt.text for doubt in _core.doubts_of(self.core)]

    @property
    def unread(self) -> list[str]:
        """Targets that nothing read answers, by key: no verdict and no chance covers them."""
        return _core.unread(self.core)

    @property
    def unpredicted(self) -> list[str]:
        """Targets that were read, of which the model says nothing: heights and weights where the car does not stand."""
        return _core.unpredicted(self.core)

    @property
    def judged(self) -> int:
        """How many targets a verdict covers: what was read and is predicted."""
        return _core.judged(self.core)

    @property
    def chances(self) -> dict[str, BoxProbability]:
        """Chance to pass of every choice: that of what was read. 1.0 where nothing that is asked for was."""
        return {name: answer.chance for name, answer in self.choices.items()}

    @cached_property
    def choice(self) -> str:
        """The choice a card is written for: the likeliest to pass; less work where that costs less than 0.05 of it.

        Touch nothing where no turn makes passing likelier and none lowers the cost by more than the next reading
        scatters it.
        """
        return _core.default_choice(self.core, self._known_chances).name

    @cached_property
    def _known_chances(self) -> _core.Chances:
        known = {name: _core.BoxProbability(*chance) for name, chance in self.chances.items()}
        return _core.Chances(known["nothing"], known["closest"], known.get("least_work"))

    def __getitem__(self, choice: str) -> Answer:
        if not isinstance(choice, str) or choice not in self.choices:
            raise _core.InputError(f"choice = {choice!r}: this plan has {', '.join(self.choices)}")
        return self.choices[choice]

    @property
    def settings(self) -> dict[str, float | list[float]]:
        """What stands otherwise once it is done, as `Car.with_settings` takes it: `Answer.settings`."""
        return self[self.choice].settings

    @property
    def values(self) -> pd.DataFrame:
        """Every value that it is judged by or keeps, by key: `Answer.values`."""
        return self[self.choice].values

    @property
    def cost(self) -> float:
        """Sum of ((then - target) / tolerance)^2 over what is asked for, and 1e-6 of a squared step."""
        return self[self.choice].cost

    @property
    def chance(self) -> BoxProbability:
        """Chance to pass."""
        return self[self.choice].chance

    @property
    def minutes(self) -> float:
        """How long it takes."""
        return self[self.choice].minutes

    @property
    def proof(self) -> _core.Proof:
        """Why nothing is better."""
        return self[self.choice].proof

    @cached_property
    def read_again(self) -> _core.ReadAgain | None:
        """The single reading that, taken once more and averaged, makes passing likeliest, and how likely then.

        `key` and `chance`. None where nothing was read that is asked for.
        """
        return _core.worth_reading_again(self.core, self._which(None))

    @property
    def met(self) -> bool:
        """Whether a plan was found that brings every target in that is judged: the closest or that of least work."""
        return _core.meets_targets(self.core)

    @cached_property
    def verdict(self) -> Verdict:
        """`refusals`, and `notes` on what is not known of them."""
        return verdict_of(self.core, in_time=self._in_time)

    @property
    def refusals(self) -> list[str]:
        """What cannot be met, what stands in its way and what would lift it, a sentence each; empty where all can.

        Said by SciPy's mixed-integer linear solver over all adjusters, within 2 s; asked only where the closest plan
        leaves a target outside.
        """
        return self.verdict.refusals

    @property
    def notes(self) -> list[str]:
        """What was assumed, and what is not known."""
        return [*self.core.notes, *self.verdict.notes]

    def card(self, choice: str | None = None) -> Card:
        """Return the job in working order for a choice, by default `self.choice`."""
        return Card(_core.card(self.core, self._car.core, self._which(choice), self._known_chances))

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

    def as_dict(self, choice: str | None = None, *, everything: bool = True) -> dict[str, Any]:
        """Return it as plain data: everything, as `--json` prints it, or what a saved card holds: no `read_again`."""
        demand_yes_or_no("everything", everything)
        name = self.choice if choice is None else choice
        self[name]
        read = bool(self.core.nothing.next.keys)
        said = {"doubts": self.doubts, "unread": self.unread, "unpredicted": self.unpredicted}
        return {key: words for key, words in said.items() if words} | {
            "choice": name,
            "chance_to_pass": {one: round(p.value, 6) if read else None for one, p in self.chances.items()},
            "card": self.card(name).as_dict(),
            "settings_before": _without_file(_core.settings_of(_core.as_read(self._car.core, self.core.measured))),
            "settings_after": _without_file(self.settings_after(name)),
            "plan": data_of(self.core)
            | {"refusals": self.refusals, "notes": self.notes}
            | ({"read_again": data_of(self.read_again)} if everything else {}),
        }

    def text(self, choice: str | None = None, *, everything: bool = False, width: int = 80) -> str:
        """Return the plan and its card as text; `everything`: all choices side by side, and why this one."""
        if choice is not None:
            self[choice]
        demand_yes_or_no("everything", everything)
        return text_of(view(self, choice, everything=everything), width)


def _without_file(settings: _core.Settings) -> dict[str, Any]:
    return {key: value for key, value in data_of(settings).items() if key != "file"}


def plan(
    car: Car,
    measured: Measured,
    targets: Targets,
    *,
    keep: Names = (),
    free: Names = (),
    turn: Names = (),
    forbid: Names = (),
    force: Mapping[str, Words] | None = None,
    tie: Sequence[Sequence[str]] = (),
    prefer: Names = (),
    within_minutes: float | None = None,
    model_share: float | None = None,
    doubts: Sequence[_core.Doubt] = (),
) -> Plan:
    """Choose the turns and shims of the whole car: predicted = measured + (model after - model before).

    The model is the car at rest on the pads that were read, or on its solid struts where they were fitted. Toe, camber,
    heights and weights that were read and nobody asks for, and caster, stay within their common tolerance where that
    can be.

    Args:
        car: the car as it stands.
        measured: what was read of it.
        targets: what it should read.
        keep, free: values that stay within their common tolerance, and values that may go where they go: by key
            ("ride_height.front_left") or by a name that many have ("toe", "ride_height").
        turn, forbid: adjusters that take part though the plan would hold them, and adjusters that nobody turns: by key
            ("front_left.track rod"), by a name that several have ("track rod"), corner ("front_left") or purpose
            ("camber").
        force: from adjusters to the amount that they are turned by whatever else is done: as `Car.expect` takes it.
        tie: lists of adjusters that turn by equal steps, such as both track rods: the steering wheel stays straight.
        prefer: adjusters that are turned rather than others where the minutes are the same.
        within_minutes: no plan takes longer.
        model_share: what the model may be off, as a share of every adjuster's change, one sigma: 0.02 where
            it is left out (common practice, no source). It is in the chance and not in the cost.
        doubts: what is doubted already; it comes first among the plan's own doubts.

    Raises:
        OutOfReach: the car as it stands cannot be placed on the ground.
        InputError: an option names nothing, contradicts another one, or is of another kind.
    """
    demand_kind("car", car, "CarAsSet")
    demand_kind("measured", measured, "Measured")
    demand_kind("targets", targets, "Targets")
    options = options_of(keep, free, turn, forbid, force, tie, prefer, within_minutes, model_share)
    found = _core.plan(car.core, measured.core, targets, options, doubts_of(doubts))
    return Plan(found, car, in_time=within_minutes is not None)
