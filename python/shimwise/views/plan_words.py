"""Words and tables that all views of a plan share."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shimwise import _core
from shimwise.choice.answer import ASKS
from shimwise.views.pieces import plain_table
from shimwise.words import figure, spoken

if TYPE_CHECKING:
    from rich.table import Table

    from shimwise.choice.answer import Answer
    from shimwise.choice.plan import Plan

__all__ = ["CHOICES", "setting_words", "values_table", "wanted_words", "what_was_judged"]

CHOICES = {
    "nothing": "touch nothing",
    "closest": "closest",
    "least_work": "least work",
    "rounded": "rounded, for comparison",
}


def setting_words(answer: Answer, one: _core.PlannedSetting) -> str:
    """What is done there: "1/2 flat shorter", "pack 2.0 + 1.0 + 0.2 mm"."""
    if not one.touched:
        return "stays"
    adjuster = answer.adjuster(one.key)
    if isinstance(adjuster.setting, _core.Thread):
        return _core.turns_words(adjuster, one.after - one.before)
    return f"pack {_core.pack_words(one.shims.shims_mm)}"


def values_table(answer: Answer) -> Table:
    """Every value now and then, wanted, and why it stands there."""
    table = plain_table("What is read now and then, ground frame", gap=1)
    for column in ("", "now", "then", "u", "wanted", ""):
        table.add_column(column, justify="right" if column in ("now", "then", "u") else "left", no_wrap=True)
    for value in answer.core.values:
        digits = 3 if value.unit == "deg" else 2
        u = figure(value.deviation, digits) if value.deviation > 0.0 else ""
        table.add_row(
            spoken(value.key),
            figure(value.now, digits),
            figure(value.then, digits, value.unit),
            u if value.measured else "model",
            wanted_words(value.target, digits),
            _asks_words(value),
        )
    return table


def _asks_words(value: _core.PlannedValue) -> str:
    words = ASKS[value.asks.name]
    return words if value.asks.name == "let_go" else f"{words} {'ok' if value.within else 'OUT'}"


def wanted_words(target: _core.Target, digits: int) -> str:
    """ "0.100 within 0.055", "at least 4", with a star at a tolerance that is common practice."""
    words = []
    if target.value is not None:
        mark = " *" if target.tolerance_is_common_practice else ""
        words.append(f"{figure(target.value, digits)} within {figure(target.tolerance, digits)}{mark}")
    if target.least is not None:
        words.append(f"at least {target.least:g}")
    if target.most is not None:
        words.append(f"at most {target.most:g}")
    return ", ".join(words)


def what_was_judged(plan: Plan) -> str:
    """What the chance and the verdict cover, and no more."""
    read = len(plan.core.nothing.next.keys)
    model = [spoken(v.key) for v in plan.core.closest.values if not v.measured and v.asks.name in ("asked", "limit")]
    also = " and predicted" if plan.unpredicted else ""
    chance = f"The chance is that of the {read} values that are asked for and were read{also}, all together."
    if read < 2:
        chance = (
            "The chance is that of the 1 value that is asked for and was read."
            if read
            else "There is no chance to tell: nothing that is asked for was read."
        )
    return f"{chance} In tolerance counts {', '.join(model)} too, by the model." if model else chance
