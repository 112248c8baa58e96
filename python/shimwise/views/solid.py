"""How a car on solid struts looks: text at 80 columns."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.console import Group
from rich.text import Text

from shimwise import _core
from shimwise.shown import view
from shimwise.standing.solid import Solid
from shimwise.views.output_words import DIGITS
from shimwise.views.pieces import plain_table, signs
from shimwise.words import figure, spoken

if TYPE_CHECKING:
    from rich.console import RenderableType


__all__ = ["solid_view"]


@view.register(Solid)
def solid_view(solid: Solid) -> RenderableType:
    """Each corner, then heights, rake and what is left to rock."""
    corners = list(_core.CornerId.__members__)
    table = plain_table(f"{solid.stand.car.name} on solid struts, ground frame")
    table.add_column("", no_wrap=True)
    for corner in corners:
        table.add_column(spoken(corner), justify="right", no_wrap=True)

    def row(label: str, cells: list[str]) -> None:
        table.add_row(label, *cells)

    row("strut, eye to eye", [figure(solid.struts_mm[corner], 2, "mm") for corner in corners])
    row("contact over its pad", [figure(solid.over_pads_mm[corner], 2, "mm", sign=True) for corner in corners])
    for name, unit in (("toe", "deg"), ("camber", "deg"), ("caster", "deg")):
        row(name, [figure(solid.values[f"{corner}.{name}_deg"], DIGITS[name], unit) for corner in corners])
    lines = [f"ride height {spoken(name)}: {figure(mm, 2, 'mm')}" for name, mm in solid.ride_heights_mm.items()]
    if solid.rake_mm is not None:
        lines.append(f"rake: {figure(solid.rake_mm, 2, 'mm')}, {figure(solid.rake_deg, 3, 'deg')}")
    lines.append(f"left to rock: {figure(abs(solid.rocking_mm), 2, 'mm')}, {_over(solid.rocking_mm)}")
    return Group(
        table,
        Text(),
        *(Text(line) for line in lines),
        Text(),
        Text("The best plane over the pads. A scale under a solid strut tells nothing: there are no weights."),
        Text(signs(("toe", "camber", "caster"))),
    )


def _over(rocking_mm: float) -> str:
    if round(rocking_mm, 2) == 0.0:
        return "all four stand"
    return ("front left and rear right" if rocking_mm > 0.0 else "front right and rear left") + " high"
