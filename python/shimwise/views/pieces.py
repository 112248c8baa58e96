"""Pieces that every view is made of."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.table import Table
from rich.text import Text

from shimwise.views.output_words import INFOS, label

if TYPE_CHECKING:
    from collections.abc import Container, Sequence

    from rich.console import RenderableType

__all__ = ["bullet", "caution_lines", "doubt_lines", "plain_table", "signs"]

# A plain sign is never shown alone: what plus means, for a table's foot.
_SIGNS = {"flags": "more at the front"} | {label(info.name): info.plus for info in INFOS.values() if info.plus}


def signs(names: Container[str]) -> str:
    """What plus means for these names, in one sentence."""
    return "Plus is " + ", ".join(f"{_SIGNS[name]} ({name})" for name in _SIGNS if name in names) + "."


def plain_table(title: str | None, gap: int = 2) -> Table:
    """A table without lines; `gap` columns between its columns."""
    return Table(
        title=title, title_justify="left", title_style="bold", box=None, pad_edge=False, padding=(0, gap, 0, 0)
    )


def bullet(mark: str, text: str) -> Table:
    """A line that wraps under itself, not under its mark."""
    table = Table.grid(padding=(0, 1, 0, 0))
    table.add_column(no_wrap=True)
    table.add_column()
    table.add_row(Text(f"  {mark}"), Text(text))
    return table


def doubt_lines(doubts: Sequence[str]) -> list[RenderableType]:
    """What stands before everything else: nothing below it is worth more than this."""
    if not doubts:
        return []
    return [
        Text("Doubtful. Look again before anything is turned:", style="bold"),
        *(bullet("?", one) for one in doubts),
    ]


def caution_lines(cautions: Sequence[str]) -> list[Table]:
    """What is said once wherever something is to be turned."""
    return [bullet("!", caution) for caution in cautions]
