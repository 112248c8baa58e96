"""How a plan comes to its answer: everything that `shimwise plan --all` adds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text

from shimwise import _core
from shimwise.views.pieces import bullet, plain_table
from shimwise.views.plan_words import CHOICES, setting_words, values_table, wanted_words
from shimwise.words import figure, spoken

if TYPE_CHECKING:
    from collections.abc import Iterator

    from rich.console import RenderableType
    from rich.table import Table

    from shimwise.choice.answer import Answer
    from shimwise.choice.plan import Plan

__all__ = ["detail_lines"]

_COUNTED = 1e15
_CHANCE_TOLD = 0.01


def detail_lines(plan: Plan, choice: str) -> list[RenderableType]:
    """Why this one, what each of the others turns, every value, what else was near, what is held, and the proof."""
    parts: list[RenderableType] = [_head("Why this one"), bullet("-", _why(plan, choice))]
    others = list(_other_choices(plan, choice))
    if others:
        parts += [Text(), _head(f"What the others turn otherwise than {CHOICES[choice]}"), *others]
    parts += [Text(), _compared(plan), Text(), values_table(plan[choice])]
    if any(value.target.tolerance_is_common_practice for value in plan[choice].core.values):
        parts.append(Text("* no tolerance in the targets file: common practice, no source"))
    parts += [Text(), _head("Runners-up to the closest"), *_runners_up(plan)]
    if plan.core.held:
        parts += [Text(), _head("Held, as what is asked can be set without it"), *_held(plan)]
    parts += [Text(), _head("Worth reading again"), bullet("-", _read_again(plan))]
    parts += [Text(), _head("Proof"), *(bullet("-", words) for words in _proof(plan, choice))]
    return [*parts, Text(), _head("Notes"), *(bullet("-", note) for note in plan.notes)]


def _head(words: str) -> Text:
    return Text(words, style="bold")


def _why(plan: Plan, choice: str) -> str:
    if choice != plan.choice:
        return f"It was asked for; by itself the plan takes {CHOICES[plan.choice]}."
    chances, least, closest = plan.chances, plan.least_work, plan.closest
    if choice == "nothing":
        if not closest.touches:
            return "Nothing that may be turned brings the car nearer to what is asked for."
        return "No plan makes passing likelier, and none lowers the cost by more than the next reading scatters it."
    if least is None:
        return "No plan brings every target inside: it comes nearest to all of them together."
    saved = closest.minutes - least.minutes
    lost = chances["closest"].value - chances["least_work"].value
    if choice == "least_work":
        return f"It saves {saved:.0f} minutes beside the closest plan for {max(lost, 0.0):.2f} of its chance."
    if not saved > 0.0:
        return "No plan that is as likely to pass takes fewer minutes."
    return f"Least work would save {saved:.0f} minutes and cost {lost:.2f} of the chance."


def _other_choices(plan: Plan, choice: str) -> Iterator[RenderableType]:
    of = {one.key: one for one in plan[choice].core.settings}
    for answer in (plan.closest, plan.least_work, plan.rounded):
        if answer is None or answer.name == choice:
            continue
        differ = [one for one in answer.core.settings if one.after != of[one.key].after]
        yield bullet("-", f"{CHOICES[answer.name]}: {_settings(answer, differ) or 'the same'}")


def _settings(answer: Answer, settings: list[_core.PlannedSetting]) -> str:
    return "; ".join(f"{spoken(one.key)} {setting_words(answer, one)}" for one in settings)


def _compared(plan: Plan) -> Table:
    measured = plan.core.measured
    ground = "measured ride heights" if measured.ground_from.name == "ride_heights" else "drawn contacts"
    table = plain_table(f"Measured and wanted, ground frame (plane through {ground})")
    for column in ("", "measured", "u", "wanted", "off by", ""):
        table.add_column(column, justify="right" if column in ("measured", "u", "off by") else "left", no_wrap=True)
    for row in plan.core.compared:
        if row.target is None and row.derived:
            continue
        digits = 3 if row.unit == "deg" else 2
        table.add_row(
            spoken(row.key),
            figure(row.measured, digits, row.unit),
            figure(row.uncertainty, digits),
            "" if row.target is None else wanted_words(row.target, digits),
            figure(row.difference, digits, sign=True),
            {True: "ok", False: "OUT", None: ""}[row.within],
        )
        if row.at_flags is not None:
            table.add_row(*_at_flags(row.at_flags))
    return table


def _at_flags(at: _core.AtFlags) -> tuple[str, ...]:
    """The same toe in the mm in which it is wanted."""
    words = [] if at.value_mm is None else [f"{figure(at.value_mm, 2)} within {figure(at.tolerance_mm, 2)}"]
    words += [] if at.least_mm is None else [f"at least {at.least_mm:g}"]
    words += [] if at.most_mm is None else [f"at most {at.most_mm:g}"]
    u, off = figure(at.uncertainty_mm, 2), figure(at.difference_mm, 2, sign=True)
    return ("  at the flags", figure(at.measured_mm, 2, "mm"), u, ", ".join(words), off, "")


def _runners_up(plan: Plan) -> Iterator[RenderableType]:
    closest = {one.key: one.after for one in plan.closest.core.settings}
    before = {one.key: one for one in plan.nothing.core.settings}
    for one in plan.core.runners_up:
        turned = {setting.key: setting for setting in one.settings}
        now = {key: turned.get(key, before[key]) for key in closest}
        differ = [setting for key, setting in now.items() if setting.after != closest[key]]
        inside = "inside" if one.within else "outside"
        words = _settings(plan.closest, differ)
        yield bullet(
            "-", f"cost {one.cost:.3g} to {plan.closest.cost:.3g}, {one.minutes:.0f} minutes, {inside}: {words}"
        )
    if not plan.core.runners_up:
        yield bullet("-", "no other plan was compared with it on the whole car")


def _held(plan: Plan) -> Iterator[RenderableType]:
    for of in plan.core.held:
        keys = ", ".join(spoken(key) for key in of.keys)
        gain = f"could take at most {of.gain:.2g} off the cost of {plan.closest.cost:.3g}"
        yield bullet("-", f"{spoken(of.purpose.name)} ({keys}): {gain}")


def _read_again(plan: Plan) -> str:
    again, chance = plan.read_again, plan.chance.value
    if again is None or not again.chance >= chance + _CHANCE_TOLD:
        return f"No single reading, taken once more, raises the chance of {chance:.2f} by {_CHANCE_TOLD:g}."
    return f"{spoken(again.key)}: once more and averaged, the chance rises from {chance:.2f} to {again.chance:.2f}."


def _proof(plan: Plan, choice: str) -> Iterator[str]:
    proof = plan.closest.proof
    count = f"{proof.combinations:,.0f}" if proof.combinations < _COUNTED else f"{proof.combinations:.1g}"
    yield (
        f"{count} settings may be had, and {proof.listed} of them came near enough to be compared on the whole car, "
        f"where the linear model was off by up to {proof.model_error:.2g} of a tolerance. {proof.states} states of the "
        "whole car were worked out."
    )
    if proof.proven:
        yield "Nothing among them is better than the closest plan, within what the model is off."
    else:
        yield (
            "Not proven: the search ended at its limit. By the linear model no plan costs less than "
            f"{proof.bound:.3g}, and the closest that was found costs {plan.closest.cost:.3g}."
        )
    if choice == "least_work":
        proven = "No fewer minutes are enough." if plan.core.least_work_proven else "Not proven: fewer may be enough."
        yield f"Least work: {proven}"
