"""How the answers of the two solvers look."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.console import Group
from rich.text import Text

from shimwise.choice.whole_numbers import ClosestIntegers, FewestTouched
from shimwise.shown import view
from shimwise.views.pieces import plain_table

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
    from rich.console import RenderableType

__all__ = ["closest_integers_view", "fewest_touched_view"]


_NOT_PROVEN = "NOT PROVEN: the node limit ended the search."


@view.register(ClosestIntegers)
def closest_integers_view(found: ClosestIntegers) -> RenderableType:
    """A line for each choice, cheapest first."""
    table = plain_table(None)
    table.add_column("cost", justify="right", no_wrap=True)
    table.add_column("x")
    for cost, x in zip(found.cost, found.x, strict=True):
        table.add_row(f"{cost:.6g}", _numbers(x))
    end = "Proven: nothing that is left out costs less." if found.proven else _NOT_PROVEN
    return Group(Text("Closest, cheapest first", style="bold"), table, Text(end))


@view.register(FewestTouched)
def fewest_touched_view(found: FewestTouched) -> RenderableType:
    """What is touched, or that nothing is inside."""
    if found.x is None:
        none = "Cannot be met: no choice is inside, proven." if found.proven else f"None found. {_NOT_PROVEN}"
        return Text(none)
    touched = ", ".join(f"x[{i}] = {x:g}" for i, x in enumerate(found.x) if x != 0.0)
    end = "Proven: nothing inside costs less." if found.proven else _NOT_PROVEN
    return Group(Text(f"Touched for {found.cost:g}: {touched or 'nothing'}"), Text(end))


def _numbers(x: NDArray[np.float64]) -> str:
    return " ".join(f"{one:g}" for one in x)
