"""`shimwise effects`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from shimwise import _core, effect_views
from shimwise.cli.shared import car_of, console, corner_option, json_option, print_origin, settings_option, write_json
from shimwise.data_of import origin

if TYPE_CHECKING:
    from shimwise.car import Car

__all__ = ["effects"]


@click.command()
@click.argument("car", metavar="CAR")
@corner_option
@click.option("--hold", type=click.Choice(list(_core.Held.__members__)), default="contact", show_default=True)
@click.option("--per", type=click.Choice(["step", "turn", "mm"]), default="step", show_default=True)
@settings_option
@json_option
def effects(car: str, corner: str | None, hold: str, per: str, settings: str | None, as_json: bool) -> None:
    """Print what every adjuster does to every output."""
    model, inputs = car_of(car, settings)
    names = [corner] if corner else list(model.corners)
    if as_json:
        write_json(
            {"car": model.name, "hold": hold, "frame": "chassis"} | _effects_data(model, names, hold) | origin(*inputs)
        )
        return
    out = console()
    for name in names:
        out.print(effect_views.effects_view(model, name, hold, per))
        out.print()
    print_origin(out, inputs)


def _effects_data(car: Car, names: list[str], hold: str) -> dict[str, Any]:
    columns = _core.column_names()
    corners = {}
    for name in names:
        corner = car.corners[name]
        table = corner.effect_table(hold)
        rows = [
            {
                "adjuster": corner.adjusters[r.adjuster].name,
                "per": _core.row_name(corner.adjusters[r.adjuster], r.per),
                "amount_mm": r.amount_mm,
            }
            | dict(zip(columns, r.change, strict=True))
            for r in table.rows
        ]
        corners[name] = {"now": dict(zip(columns, table.values, strict=True)), "rows": rows}
    return {"corners": corners}
