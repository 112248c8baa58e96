"""How curves look: text at 80 columns."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shimwise.texts import figure, plain_table, spoken

if TYPE_CHECKING:
    import xarray as xr
    from rich.table import Table

__all__ = ["curves_view", "steering_view"]

# heading, unit, decimals of the columns that fit a page; everything is in --json
_SHOWN = {
    "toe_deg": ("toe", "deg", 3),
    "camber_deg": ("camber", "deg", 3),
    "caster_deg": ("caster", "deg", 3),
    "half_track_mm": ("half tr.", "mm", 2),
    "wheelbase_change_mm": ("wheelb.", "mm", 2),
    "roll_centre_height_mm": ("roll c.", "mm", 1),
    "motion_ratio": ("motion", "ratio", 4),
    "wheel_rate_N_per_mm": ("rate", "N/mm", 1),
}


def curves_view(corner: str, curves: xr.Dataset, over: str) -> Table:
    """One corner over travel or rack travel, given as the name of the dimension."""
    words = {"travel_mm": ("travel", "wheel travel, rack centred"), "rack_mm": ("rack", "rack travel, wheel as drawn")}
    heading, title = words[over]
    shown = {name: about for name, about in _SHOWN.items() if name in curves}
    table = plain_table(f"{spoken(corner)}: {title}, chassis frame", gap=1)
    table.add_column(f"{heading}\nmm", justify="right", no_wrap=True)
    for label, unit, _ in shown.values():
        table.add_column(f"{label}\n{unit}", justify="right", no_wrap=True)
    for i, at in enumerate(curves[over].values):
        cells = (figure(float(curves[name].values[i]), digits) for name, (_, _, digits) in shown.items())
        table.add_row(f"{at:+.1f}", *cells)
    return table


_STEER = ("left_deg", "right_deg", "inner_deg", "outer_deg", "ideal_outer_deg", "ackermann_error_deg")


def steering_view(steering: xr.Dataset) -> Table:
    """Steer of the front wheels over rack travel, beside Ackermann's rule."""
    table = plain_table("front wheels over rack travel: steer from rack centred, left +, deg", gap=2)
    table.add_column("rack\nmm", justify="right", no_wrap=True)
    for heading in ("left\n", "right\n", "inner\n", "outer\n", "outer by\nAckermann", "outer\nless rule"):
        table.add_column(heading, justify="right", no_wrap=True)
    for i, at in enumerate(steering["rack_mm"].values):
        cells = (figure(float(steering[name].values[i]), 3) for name in _STEER)
        table.add_row(f"{at:+.1f}", *cells)
    return table
