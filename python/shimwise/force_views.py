"""How the forces of a corner look: text at 80 columns."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from rich.console import Group
from rich.text import Text

from shimwise.texts import figure, plain_table, spoken

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rich.console import RenderableType
    from rich.table import Table

    from shimwise.forces import Forces

__all__ = ["ASSUMED", "forces_view", "load_words"]

ASSUMED = (
    "Parts are rigid and have no weight; bar, drop link and third spring carry nothing. The load goes into the upright "
    "as into one body: fore and aft it is that of a brake at the wheel, not of a drive shaft. Spring: all that sits in "
    "its line, damper and bump rubber too."
)

_WAYS = (("forward", "rearward"), ("left", "right"), ("up", "down"))
_FEWER_DIGITS_FROM_N = 100.0


def load_words(load_N: Sequence[float]) -> str:
    """ "300 N rearward, 1000 N up": a sign is never shown alone."""
    told = [f"{abs(f):g} N {way[f < 0.0]}" for f, way in zip(load_N, _WAYS, strict=True) if f != 0.0]
    return ", ".join(told) or "no load"


def forces_view(forces: Forces, corner: str) -> RenderableType:
    """One corner: what pulls and pushes along each member, then the force at each joint."""
    values = forces.as_dict()
    digits = 0 if math.hypot(*values["load_N"]) >= _FEWER_DIGITS_FROM_N else 3
    parts: list[RenderableType] = [
        Text(f"{spoken(corner)}: {load_words(values['load_N'])} on the wheel at its contact, chassis frame", "bold"),
        _members(values["axial_N"], digits),
        _joints("Force on the upright, N", values["on_upright_N"], digits),
        _joints("Force on the chassis, N", _on_chassis(values["on_chassis_N"]), digits),
    ]
    along = values["along_pickups_N"]
    parts.append(
        Text(
            f"* across the pickup axis. Along it both pickups together: "
            f"{', '.join(f'{spoken(name)} {_pushed(force, digits)}' for name, force in along.items())}; "
            f"how they share it is not determined."
        )
    )
    if values["rocker_moment_Nmm"] is not None:
        x, y, z = (figure(m / 1000.0, max(digits, 1), sign=True) for m in values["rocker_moment_Nmm"])
        parts.append(Text(f"Moment on the rocker's axis point, across the axis: x {x}, y {y}, z {z} N m."))
    return Group(*parts)


def _pushed(force: float, digits: int) -> str:
    return f"{figure(abs(force), digits, 'N')} {'forward' if force >= 0.0 else 'rearward'}"


def _members(axial: dict[str, float], digits: int) -> Table:
    table = plain_table("Along the member")
    table.add_column("", no_wrap=True)
    table.add_column("N", justify="right", no_wrap=True)
    table.add_column("", no_wrap=True)
    carrier = "pushrod" if "pushrod" in axial else "spring"
    for wishbone in ("upper_wishbone", "lower_wishbone"):
        if f"{wishbone}.front_leg" not in axial:
            table.add_row(f"{spoken(wishbone)} legs", "-", f"bent by the {carrier}, see its joints below")
    for name, force in axial.items():
        word = "tension" if force > 0.0 else "compression" if force < 0.0 else ""
        table.add_row(spoken(name), figure(force, digits, sign=True), word)
    return table


def _on_chassis(rows: dict[str, list[float]]) -> dict[str, list[float]]:
    return {f"{name} *" if name.endswith(("wishbone.front", "wishbone.rear")) else name: f for name, f in rows.items()}


def _joints(title: str, rows: dict[str, list[float]], digits: int) -> Table:
    table = plain_table(title)
    table.add_column("", no_wrap=True, min_width=24)
    for heading in ("x, forward", "y, left", "z, up", "size"):
        table.add_column(heading, justify="right", no_wrap=True, min_width=10)
    for name, force in rows.items():
        table.add_row(
            spoken(name),
            *(figure(component, digits, sign=True) for component in force),
            figure(math.hypot(*force), digits),
        )
    return table
