"""`shimwise effects`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from shimwise import _core
from shimwise.cli.shared import (
    car_of,
    console,
    corner_option,
    csv_option,
    json_option,
    print_origin,
    settings_option,
    write_csv,
    write_json,
)
from shimwise.cli.standing import Floor, bars_option, floor_options, said_of, with_bars
from shimwise.data_of import origin
from shimwise.views import effects as effect_views
from shimwise.views import rest_effects as rest_effect_views
from shimwise.views.pieces import bullet

if TYPE_CHECKING:
    from shimwise.car import Car
    from shimwise.standing.effects import RestEffects

__all__ = ["effects"]


@click.command()
@click.argument("car", metavar="CAR")
@corner_option
@click.option(
    "--hold",
    type=click.Choice([*_core.Held.__members__, "rest"]),
    default="contact",
    show_default=True,
    help="What stays; rest: the whole car comes to rest again on its springs.",
)
@click.option(
    "--per",
    type=click.Choice(["step", "flat", "turn", "mm"]),
    default="step",
    show_default=True,
    help="A flat is 1/6 turn; what a step of each adjuster is, the table says.",
)
@floor_options
@bars_option
@settings_option
@json_option
@csv_option
def effects(
    car: str,
    corner: str | None,
    hold: str,
    per: str,
    bars: str | None,
    settings: str | None,
    as_json: bool,
    as_csv: bool,
    floor: Floor,
) -> None:
    """Print what every adjuster does to every output."""
    model, inputs = car_of(car, settings)
    if hold == "rest":
        _rest(with_bars(model, bars).rest_effects(**floor._asdict()), corner, per, as_json, as_csv, inputs)
        return
    if bars is not None:
        raise click.UsageError("--bars needs --hold rest")
    floor.refuse(f"only with --hold rest: with --hold {hold} each corner is looked at by itself")
    names = [corner] if corner else list(model.corners)
    if as_json or as_csv:
        content = {"car": model.name, "hold": hold, "frame": "chassis"} | _effects_data(model, names, hold)
        if as_json:
            write_json(content | origin(*inputs))
        else:
            rows = [
                row | {"adjuster": f"{name}.{row['adjuster']}"}
                for name, found in content["corners"].items()
                for row in found["rows"]
            ]
            _write_rows(rows, _core.column_names(), {"hold": hold, "frame": "chassis"}, inputs)
        return
    out = console()
    for name in names:
        out.print(effect_views.effects_view(model, name, hold, per))
        out.print()
    print_origin(out, inputs)


def _rest(
    found: RestEffects, corner: str | None, per: str, as_json: bool, as_csv: bool, inputs: list[_core.Input]
) -> None:
    if as_json or as_csv:
        content = found.as_dict(corner)
        if as_json:
            write_json(content | origin(*inputs))
        else:
            said = {"hold": "rest", "frame": "ground", "chassis": found.stand.chassis_words} | said_of(found.stand)
            _write_rows(content["rows"], found.columns, said, inputs)
        return
    out = console()
    for name in [corner] if corner else list(_core.CornerId.__members__):
        out.print(rest_effect_views.rest_effects_view(found, name, per))
        out.print()
    out.print(rest_effect_views.pads_view(found, corner))
    out.print()
    if corner is None and (rack := rest_effect_views.rack_view(found)):
        out.print(rack)
        out.print()
    for note in rest_effect_views.rest_effects_notes(found):
        out.print(note)
    if found.stand.chassis_is_rigid:
        out.print(bullet("!", _core.RIGID_CHASSIS_WORDS))
    print_origin(out, inputs)


def _write_rows(
    rows: list[dict[str, Any]], columns: list[str], said: dict[str, str], inputs: list[_core.Input]
) -> None:
    """The long table: one row per adjuster and per."""
    header = ["adjuster", "per", *columns]
    write_csv(header, ([row[name] for name in header] for row in rows), said, inputs)


def _effects_data(car: Car, names: list[str], hold: str) -> dict[str, Any]:
    columns = _core.column_names()
    corners = {}
    for name in names:
        corner = car.corners[name]
        table = corner.effect_table(hold)
        rows = [
            {
                "adjuster": corner.adjusters[r.variable].name,
                "per": _core.row_name(corner.adjusters[r.variable], r.per),
                "amount_mm": r.amount,
            }
            | dict(zip(columns, r.change, strict=True))
            for r in table.rows
        ]
        corners[name] = {"now": dict(zip(columns, table.values, strict=True)), "rows": rows}
    return {"corners": corners}
