"""Pieces of text that every view is made of."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import TYPE_CHECKING

from rich.console import Console
from rich.table import Table
from rich.text import Text

if TYPE_CHECKING:
    from collections.abc import Container, Sequence

    from rich.console import RenderableType

__all__ = [
    "bullet",
    "figure",
    "html_of",
    "invented_notes",
    "plain_table",
    "printable",
    "signs",
    "spoken",
    "text_of",
    "toml_text",
    "unit_word",
]

# A plain sign is never shown alone: what plus means, for a table's foot.
_SIGNS = {
    "flags": "more at the front",
    "toe": "toe-in",
    "camber": "top outboard",
    "caster": "top rearward",
    "kingpin": "top inboard",
    "half track": "outboard",
    "chassis height": "up",
    "thrust angle": "rear wheels to the right",
}


def signs(names: Container[str]) -> str:
    """What plus means for these names, in one sentence."""
    return "Plus is " + ", ".join(f"{_SIGNS[name]} ({name})" for name in _SIGNS if name in names) + "."


def text_of(view: RenderableType, width: int) -> str:
    """A view as a terminal shows it."""
    out = Console(file=io.StringIO(), width=width, record=True, highlight=False)
    out.print(view)
    return out.export_text(styles=False)


def html_of(view: RenderableType) -> str:
    """The same for a notebook."""
    out = Console(file=io.StringIO(), width=88, record=True, highlight=False)
    out.print(view)
    return out.export_html(inline_styles=True, code_format='<pre style="line-height:1.25">{code}</pre>')


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
    unit = unit_word(unit)
    return f"{round(value, digits) + 0.0:{'+' if sign else ''}.{digits}f}{' ' + unit if unit else ''}"


def unit_word(unit: str) -> str:
    """A unit as it is read."""
    return {"percent": "%"}.get(unit, unit)


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


def invented_notes(files: Sequence[str]) -> list[str]:
    """One sentence for each file with lines that still say INVENTED, as a starter's do: its answers are no advice."""
    notes = []
    for file in files:
        count = sum("INVENTED" in line for line in Path(file).read_text(encoding="utf-8").splitlines())
        if count:
            lines = "1 line still says" if count == 1 else f"{count} lines still say"
            notes.append(f"{file}: {lines} INVENTED. Turn nothing before your own numbers stand there.")
    return notes
