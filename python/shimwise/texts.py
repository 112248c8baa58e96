"""Pieces of text that every view is made of."""

from __future__ import annotations

import json

from rich.table import Table
from rich.text import Text

__all__ = ["bullet", "figure", "plain_table", "printable", "spoken", "toml_text"]


def plain_table(title: str, gap: int = 2) -> Table:
    """A table without lines; `gap` columns between its columns."""
    return Table(
        title=title, title_justify="left", title_style="bold", box=None, pad_edge=False, padding=(0, gap, 0, 0)
    )


def spoken(key: str) -> str:
    """A key read aloud: "front_left.toe" is "front left toe"."""
    words = key.replace("ride_height.", "ride height ").replace(".", " ").replace("_", " ")
    return words + " (FR + RL)" if key == "cross_weight" else words


def figure(value: float | None, digits: int, unit: str = "", *, sign: bool = False) -> str:
    """A number with its unit, never "-0.0"; nothing for None."""
    if value is None:
        return ""
    unit = {"percent": "%"}.get(unit, unit)
    return f"{round(value, digits) + 0.0:{'+' if sign else ''}.{digits}f}{' ' + unit if unit else ''}"


def printable(text: str) -> str:
    """A text on one line, without control characters."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def toml_text(text: str) -> str:
    """A text in quotes, as TOML writes it."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def bullet(mark: str, text: str) -> Table:
    """A line that wraps under itself, not under its mark."""
    table = Table.grid(padding=(0, 1, 0, 0))
    table.add_column(no_wrap=True)
    table.add_column()
    table.add_row(Text(f"  {mark}"), Text(text))
    return table
