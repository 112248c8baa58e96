"""How curves look: text at 80 columns."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from shimwise.views.pieces import plain_table
from shimwise.words import figure, spoken

if TYPE_CHECKING:
    from collections.abc import Mapping

    from rich.table import Table

__all__ = ["CURVE_SIGNS", "STEERING_SIGNS", "curves_view", "steering_view"]

# heading and decimals of the columns that fit a page; everything is in --json
_SHOWN = {
    "toe_deg": ("\ntoe\ndeg", 3),
    "camber_deg": ("\ncamber\ndeg", 3),
    "caster_deg": ("\ncaster\ndeg", 3),
    "half_track_mm": ("half\ntrack\nmm", 2),
    "wheelbase_change_mm": ("wheelb.\nchange\nmm", 2),
    "roll_centre_height_mm": ("roll\ncentre\nmm", 1),
    "motion_ratio": ("motion\nratio\n", 4),
    "wheel_rate_N_per_mm": ("wheel\nrate\nN/mm", 1),
}
_OVER = {"travel_mm": "travel", "rack_mm": "rack"}


def curves_view(corner: str, columns: Mapping[str, Any], over: str) -> Table:
    """One corner over wheel travel or rack travel: `over` names the column."""
    table = plain_table(f"{spoken(corner)} over {over.removesuffix('_mm')}, chassis frame")
    table.add_column(f"\n{_OVER[over]}\nmm", justify="right", no_wrap=True)
    shown = {name: about for name, about in _SHOWN.items() if name in columns}
    for heading, _ in shown.values():
        table.add_column(heading, justify="right", no_wrap=True)
    for i, at in enumerate(columns[over]):
        table.add_row(f"{at:+.1f}", *(figure(float(columns[name][i]), digits) for name, (_, digits) in shown.items()))
    return table


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
