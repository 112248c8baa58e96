"""How a result comes to be seen. What it looks like stands in `views`, which know the results and register here."""

from __future__ import annotations

import io
from functools import singledispatch
from typing import TYPE_CHECKING, Any

from rich.console import Console

if TYPE_CHECKING:
    from rich.console import RenderableType

__all__ = ["Shown", "html_of", "text_of", "view"]


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
    """A view as a terminal shows it."""
    out = Console(file=io.StringIO(), width=width, record=True, highlight=False)
    out.print(what)
    return out.export_text(styles=False)


def html_of(what: RenderableType) -> str:
    """The same for a notebook."""
    out = Console(file=io.StringIO(), width=88, record=True, highlight=False)
    out.print(what)
    return out.export_html(inline_styles=True, code_format='<pre style="line-height:1.25">{code}</pre>')
