"""How curves look: text at 80 columns."""

from __future__ import annotations

import math
import textwrap
from typing import TYPE_CHECKING, Any

from shimwise import _core
from shimwise.views.pieces import plain_table
from shimwise.words import figure, spoken

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from rich.table import Table

__all__ = ["CURVE_SIGNS", "STEERING_SIGNS", "curves_view", "sign_lines", "steering_view"]

_LISTED = {info.column: info for info in [*_core.output_list(), *_core.curve_list()]}
_DECIMALS = {"deg": 3, "mm": 2, "deg/mm": 5, "": 4, "N": 1, "N/mm": 1, "1/mm": 6, "mm/rad": 1}
# heading and decimals of the columns that fit a page; everything is in --json
_SHOWN = {
    "toe_deg": ("toe\ndeg", 3),
    "camber_deg": ("camber\ndeg", 3),
    "caster_deg": ("caster\ndeg", 3),
    "half_track_mm": ("half\ntrack\nmm", 2),
    "wheelbase_change_mm": ("wheelb.\nchange\nmm", 2),
    "roll_centre_height_mm": ("roll\ncentre\nmm", 1),
    "motion_ratio": ("motion\nratio\n", 4),
    "wheel_rate_N_per_mm": ("wheel\nrate\nN/mm", 1),
}
_OVER = {"travel_mm": "travel", "rack_mm": "rack"}


def curves_view(corner: str, columns: Mapping[str, Any], over: str, *, every: bool = False) -> Table:
    """One corner over wheel travel or rack travel: `over` names the column. Of the others those that fit, or every."""
    table = plain_table(f"{spoken(corner)} over {over.removesuffix('_mm')}, chassis frame")
    names = [name for name in columns if name != over] if every else [name for name in _SHOWN if name in columns]
    shown = {name: _SHOWN.get(name) or _heading(name) for name in names}
    headings = [f"{_OVER[over]}\nmm", *(heading for heading, _ in shown.values())]
    lines = max(heading.count("\n") for heading in headings)
    for heading in headings:
        table.add_column("\n" * (lines - heading.count("\n")) + heading, justify="right", no_wrap=True)
    for i, at in enumerate(columns[over]):
        table.add_row(f"{at:+.1f}", *(_cell(float(columns[name][i]), digits) for name, (_, digits) in shown.items()))
    return table


def _heading(column: str) -> tuple[str, int]:
    info = _LISTED[column]
    return "\n".join([*textwrap.wrap(spoken(info.name), 11), info.unit]), _DECIMALS[info.unit]


def _cell(value: float, digits: int) -> str:
    return figure(value, digits) if math.isfinite(value) else "none"  # an axis that is infinitely far away


def sign_lines(columns: Iterable[str]) -> list[str]:
    """What each column is and what plus means, a line each."""
    return [f"{spoken(_LISTED[name].name)}: {_LISTED[name].sign}" for name in columns if name in _LISTED]


CURVE_SIGNS = (
    "Plus is wheel up (travel), to the left (rack), toe-in, top outboard (camber), top rearward (caster), longer "
    "(wheelbase). The roll centre is over the ground, from the contact's path."
)
STEERING_SIGNS = (
    "Left and right: plus is to the left. Inner and outer are sizes. Outer less Ackermann's: plus is steered further "
    "than the rule."
)

_STEERING = {
    "left_deg": "left",
    "right_deg": "right",
    "inner_deg": "inner",
    "outer_deg": "outer",
    "ideal_outer_deg": "outer by\nAckermann's",
    "ackermann_error_deg": "outer less\nAckermann's",
}


def steering_view(columns: Mapping[str, Any]) -> Table:
    """Steer of the front wheels over rack travel, beside Ackermann's rule."""
    table = plain_table("front wheels over rack: steer from rack centred, deg")
    table.add_column("rack\nmm", justify="right", no_wrap=True)
    for heading in _STEERING.values():
        table.add_column(heading, justify="right", no_wrap=True)
    for i, at in enumerate(columns["rack_mm"]):
        table.add_row(f"{at:+.1f}", *(figure(float(columns[name][i]), 3) for name in _STEERING))
    return table
