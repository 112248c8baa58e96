"""How the forces of a corner look: text at 80 columns."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from rich.console import Group
from rich.text import Text

from shimwise.views.pieces import plain_table
from shimwise.words import figure, rod_spoken, spoken

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rich.console import RenderableType
    from rich.table import Table

    from shimwise.corner.forces import Forces

__all__ = ["ASSUMED", "forces_view", "load_words"]

ASSUMED = (
    "Parts are rigid and have no weight; bar, drop link and third spring carry nothing. The load goes into the upright "
    "as into one body: fore and aft it is that of a brake at the wheel, not of a drive shaft. Spring: all that sits in "
    "its line, damper and bump rubber too."
)

_WAYS = (("forward", "rearward"), ("left", "right"), ("up", "down"))
_FEWER_DIGITS_FROM_N = 100.0
_NAME_WIDTH, _NUMBER_WIDTH = 26, 10


def load_words(load_N: Sequence[float]) -> str:
    """ "300 N rearward, 1000 N up": a sign is never shown alone."""
    told = [f"{abs(f):g} N {way[f < 0.0]}" for f, way in zip(load_N, _WAYS, strict=True) if f != 0.0]
    return ", ".join(told) or "no load"


def forces_view(forces: Forces, corner: str, *, pull_rod: bool = False) -> RenderableType:
    """One corner: what pulls and pushes along each member, then the force at each joint."""
    values = forces.as_dict()
    digits = 0 if math.hypot(*values["load_N"]) >= _FEWER_DIGITS_FROM_N else 3
    along = ", ".join(f"{spoken(name)} {_way(force, digits)}" for name, force in values["along_pickups_N"].items())
    parts: list[RenderableType] = [
        Text(f"{spoken(corner)}: {load_words(values['load_N'])} at the contact, chassis frame", "bold"),
        _members(values["axial_N"], digits, pull_rod),
        _joints("Force on the upright, N", values["on_upright_N"], digits, pull_rod),
        _joints("Force on the chassis, N", values["on_chassis_N"], digits, pull_rod),
        Text(
            f"* across the pickup axis. Along it, both pickups together: {along}. "
            "How the two share that is not determined."
        ),
    ]
    if values["rocker_moment_Nmm"] is not None:
        x, y, z = (_signed(m / 1000.0, max(digits, 1)) for m in values["rocker_moment_Nmm"])
        parts.append(Text(f"Moment at the rocker's axis point, across the axis: x {x}, y {y}, z {z} N m."))
    return Group(*parts)


def _signed(value: float, digits: int) -> str:
    return figure(value, digits, sign=True) if round(value, digits) else "0"


def _way(force: float, digits: int) -> str:
    return f"{figure(abs(force), digits, 'N')} {'forward' if force >= 0.0 else 'rearward'}"


def _members(axial: dict[str, float], digits: int, pull_rod: bool) -> Table:
    table = plain_table("Along each member, N")
    table.show_header = False
    table.add_column(no_wrap=True, min_width=_NAME_WIDTH)
    table.add_column(justify="right", no_wrap=True, min_width=_NUMBER_WIDTH)
    table.add_column(no_wrap=True)
    carried = rod_spoken("pushrod", pull_rod=pull_rod) if "pushrod" in axial else "spring"
    for wishbone in ("upper_wishbone", "lower_wishbone"):
        if f"{wishbone}.front_leg" not in axial:
            table.add_row(f"  {spoken(wishbone)} legs", "", f"bent: it carries the {carried}")
        for leg in (f"{wishbone}.front_leg", f"{wishbone}.rear_leg"):
            _member(table, leg, axial, digits, pull_rod)
    for member in ("track_rod", "pushrod", "spring"):
        _member(table, member, axial, digits, pull_rod)
    return table


def _member(table: Table, name: str, axial: dict[str, float], digits: int, pull_rod: bool) -> None:
    if name in axial:
        force = _signed(axial[name], digits)
        word = {"+": "tension", "-": "compression"}.get(force[0], "")
        table.add_row(f"  {rod_spoken(name, pull_rod=pull_rod)}", force, word)


def _joints(title: str, rows: dict[str, list[float]], digits: int, pull_rod: bool) -> Table:
    table = plain_table(title)
    table.add_column("", no_wrap=True, min_width=_NAME_WIDTH)
    for heading in ("x, forward", "y, left", "z, up", "size"):
        table.add_column(heading, justify="right", no_wrap=True, min_width=_NUMBER_WIDTH)
    for name, force in rows.items():
        mark = " *" if name.endswith(("wishbone.front", "wishbone.rear")) else ""
        table.add_row(
            f"  {rod_spoken(name, pull_rod=pull_rod)}{mark}",
            *(_signed(part, digits) for part in force),
            figure(math.hypot(*force), digits),
        )
    return table
