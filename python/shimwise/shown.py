"""How a result comes to be seen. What it looks like stands in `views`, which know the results and register here."""

from __future__ import annotations

import io
from functools import singledispatch
from typing import TYPE_CHECKING, Any

from rich.console import Console, Group
from rich.measure import Measurement
from rich.padding import Padding
from rich.segment import Segment
from rich.table import Column, Table

from shimwise import _core

if TYPE_CHECKING:
    from rich.console import ConsoleOptions, RenderableType, RenderResult

_ANY = 10_000  # letters: wider than anything

__all__ = ["Paper", "Shown", "html_of", "text_of", "view", "visible"]


@singledispatch
def view(result: object, *_asked: Any, **_also: Any) -> RenderableType:
    """Return what is printed of a result; registered by its type, in `views`."""
    raise NotImplementedError(f"no view of {type(result).__name__} is registered")


class Shown:
    """A result whose text is its repr, and HTML in a notebook."""

    def text(self, *, width: int = 80) -> str:
        """Return it as text."""
        return text_of(view(self), width)

    def __repr__(self) -> str:
        return self.text()

    def _repr_html_(self) -> str:
        return html_of(view(self))


def text_of(what: RenderableType, width: int) -> str:
    """A view as a terminal shows it: `width` letters wide, or as wide as its tables need."""
    if not isinstance(width, int) or not 1 <= width <= _ANY:
        raise _core.InputError(f"width = {width!r}: needs a number of letters, 1 to {_ANY}")
    out = Paper(width, file=io.StringIO(), record=True)
    out.print(what)
    return out.export_text(styles=False)


def html_of(what: RenderableType) -> str:
    """The same for a notebook."""
    out = Paper(88, file=io.StringIO(), record=True)
    out.print(what)
    return out.export_html(inline_styles=True, code_format='<pre style="line-height:1.25">{code}</pre>')


def visible(text: str) -> str:
    """A text whose control characters stand as "\\x1b", so that none of them moves, colours or rings anything."""
    return "".join(c if c == "\n" or c.isprintable() or not c.isascii() else f"\\x{ord(c):02x}" for c in text)


class _Visible:
    """What is printed, its control characters seen."""

    def __init__(self, what: Any) -> None:
        self._what = what

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        for segment in console.render(self._what, options):
            yield Segment(visible(segment.text), segment.style, segment.control)


class Paper(Console):
    """Prints a file's words as they stand there ("[red]" is no colour), and no table narrower than its columns."""

    def __init__(self, width: int, **how: Any) -> None:
        super().__init__(highlight=False, markup=False, emoji=False, width=width, **how)
        self._least_width = width

    def print(self, *objects: Any, **how: Any) -> None:
        """As Console.print."""
        self.width = max([self._least_width, *(self._needs(one) for one in objects)])
        super().print(*map(_Visible, objects), **how)

    def on_broken_pipe(self) -> None:
        """Who reads this is gone: for the command line to end with, not for Rich."""
        raise BrokenPipeError

    def _needs(self, what: Any) -> int:
        """The width below which Rich crops a column of a table, or leaves it out."""
        if isinstance(what, Group):
            return max((self._needs(one) for one in what.renderables), default=0)
        if isinstance(what, Padding):
            return self._needs(what.renderable) + what.left + what.right
        if not isinstance(what, Table) or not what.columns:
            return 0
        _, right, _, left = what.padding
        return sum(map(self._column_needs, what.columns)) + (right + left) * (len(what.columns) - 1)

    def _column_needs(self, column: Column) -> int:
        cells = [
            Measurement.get(self, self.options.update(width=_ANY), cell) for cell in (column.header, *column._cells)
        ]
        widest = max(cell.maximum if column.no_wrap else cell.minimum for cell in cells)
        return max(widest, column.min_width or 0)
