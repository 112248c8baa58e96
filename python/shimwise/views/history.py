"""How a history of baselines looks: text at 80 columns, the chain, then what drifts."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from rich.console import Group
from rich.text import Text

from shimwise.baselines.history import History
from shimwise.shown import view
from shimwise.views.compared import digits_of
from shimwise.views.pieces import bullet, plain_table
from shimwise.words import figure, printable, spoken

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.table import Table

__all__ = ["history_view"]

_NEWEST = 20  # of a long chain, below its first
_DATE = 10
_RARE = 0.001


@view.register(History)
def history_view(history: History) -> RenderableType:
    """What is wrong with the folder, the chain, the trend of each value."""
    parts: list[RenderableType] = []
    if history.faults:
        parts.append(Text("Look at the folder again:", style="bold"))
        parts += [bullet("?", f"{printable(fault)}.".replace("..", ".")) for fault in history.faults]
        parts.append(Text())
    count = len(history.chain)
    title = f"{printable(history.core.car)}: {'1 baseline' if count == 1 else f'{count} baselines'}, oldest first"
    parts += [Text(title, style="bold"), _chain(history)]
    beside = len(history.core.accepted) - count
    if beside:
        parts.append(Text(f"Marked x: {beside} beside the chain, which no trend is made of."))
    if not history.core.trends:
        return Group(*parts, Text(), Text("A trend needs three baselines that have a value."))
    return Group(*parts, Text(), _trends(history), Text(_foot(history)))


def _plain(*columns: str) -> Table:
    table = plain_table("", gap=1)
    table.title = None
    for column in columns:
        table.add_column(column, justify="left" if column in ("", "date", "file") else "right", no_wrap=True)
    return table


def _chain(history: History) -> Table:
    table = _plain("", "date", "file")
    table.add_column("why")
    accepted = history.core.accepted
    chain = [one for one in accepted if one.in_chain]
    left_out = range(1, len(chain) - _NEWEST) if len(chain) > _NEWEST + 1 else range(0)
    for i, one in enumerate(accepted):
        if i in left_out:
            if i == left_out[0]:
                table.add_row("...", "", f"{len(left_out)} more", "")
            continue
        baseline = one.baseline
        number = str(i + 1) if one.in_chain else "x"
        table.add_row(number, baseline.at[:_DATE], printable(Path(baseline.file).name), printable(baseline.reason))
    return table


def _trends(history: History) -> Table:
    table = _plain("", "first", "last", "over all", "u", "noise")
    table.add_column("", no_wrap=True)
    for trend in history.core.trends:
        digits = digits_of(trend.key, trend.unit)
        said = "-" if not trend.is_one else f"TREND p {trend.chance:.3f}" if trend.chance >= _RARE else "TREND p<0.001"
        table.add_row(
            spoken(trend.key),
            figure(trend.values[0], digits),
            figure(trend.values[-1], digits, trend.unit),
            figure(trend.over, digits, sign=True),
            figure(trend.uncertainty, digits + 1),
            figure(trend.noise, digits + 1),
            said,
        )
    return table


def _foot(history: History) -> str:
    core = history.core
    time = "by their dates" if core.dated else "from one to the next, as dates are missing or do not run on"
    noise = (
        "what comes anew at each reading, since all name the same instruments"
        if core.one_set
        else "all that a value may be off, since they were read with other instruments"
    )
    return (
        f"Over all: by the straight line, {time}, from the first to the last; u: its standard deviation. Noise of one "
        f"value: {noise}. A trend: 1 chance in 20 that as much is noise, and of 20 values 1 is one by chance."
    )
