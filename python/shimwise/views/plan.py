"""How plans look: text at 80 columns. What is doubted, what cannot be met, the card, and what else could be done."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.console import Group
from rich.text import Text

from shimwise import _core
from shimwise.choice.answer import Answer
from shimwise.choice.plan import Plan
from shimwise.shown import view
from shimwise.views.card import card_view
from shimwise.views.pieces import bullet, caution_lines, plain_table
from shimwise.views.plan_details import detail_lines
from shimwise.views.plan_words import CHOICES, setting_words, values_table, what_was_judged
from shimwise.words import spoken

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.table import Table

__all__ = ["answer_view", "plan_view"]


@view.register(Plan)
def plan_view(plan: Plan, choice: str | None = None, *, everything: bool = False) -> RenderableType:
    """What cannot be met, the card with its doubts, the choices side by side; `everything`: how it comes to that."""
    choice = choice or plan.choice
    parts: list[RenderableType] = []
    for keys, why in (
        (plan.unread, "as nothing that was read answers it"),
        (plan.unpredicted, "as the car does not stand by the model"),
    ):
        if keys:
            names = ", ".join(spoken(key) for key in keys)
            parts.append(Text(f"Not judged, {why}: {names}.", style="bold"))
    if plan.refusals:
        parts.append(Text("Cannot be met:", style="bold"))
        parts += [bullet("!", refusal) for refusal in plan.refusals]
    if parts:
        parts.append(Text())
    parts += [card_view(plan.card(choice)), Text(), choices_table(plan, choice), Text(what_was_judged(plan))]
    if everything:
        parts += [Text(), *detail_lines(plan, choice)]
    elif plan.verdict.notes:
        parts += [Text(), *(bullet("-", note) for note in plan.verdict.notes)]
    return Group(*parts)


@view.register(Answer)
def answer_view(answer: Answer) -> RenderableType:
    """What is turned, what is read then, and the cautions."""
    turned: list[RenderableType] = [
        bullet("-", f"{spoken(one.key)}: {setting_words(answer, one)}") for one in answer.turned
    ]
    head = f"{CHOICES[answer.name]}: {answer.minutes:.0f} minutes, chance to pass {answer.chance.value:.2f}"
    cautions: list[RenderableType] = [Text(), *caution_lines(_core.cautions())] if turned else []
    return Group(
        Text(head if answer.core.next.keys else CHOICES[answer.name], style="bold"),
        *(turned or [bullet("-", "nothing is turned")]),
        Text(),
        values_table(answer),
        *cautions,
    )


def choices_table(plan: Plan, choice: str) -> Table:
    """The choices side by side, and plain rounding."""
    table = plain_table("What could be done")
    for column in ("", "chance to pass", "minutes", "in tolerance", "cost", "turned"):
        table.add_column(column, justify="left" if column == "" else "right", no_wrap=True)
    answers = list(plan.choices.values()) + ([] if plan.rounded is None else [plan.rounded])
    for answer in answers:
        table.add_row(
            f"{'> ' if answer.name == choice else '  '}{CHOICES[answer.name]}",
            f"{answer.chance.value:.2f}" if answer.core.next.keys else "",
            f"{answer.minutes:.0f}",
            _in_tolerance(plan, answer),
            _cost(answer.cost),
            str(len(answer.turned)),
        )
    return table


def _in_tolerance(plan: Plan, answer: Answer) -> str:
    judged = [value.within for value in answer.core.values if value.asks.name in ("asked", "limit")]
    if not judged or not all(judged):
        return "no" if judged else ""
    if plan.unpredicted:
        return "what is judged"
    return "what was read" if plan.unread else "yes"


def _cost(cost: float) -> str:
    """In few letters, so that the table keeps its width."""
    if cost < 0.01:
        return "<0.01"
    return f"{cost:.3g}" if cost < 999.5 else ">999"
