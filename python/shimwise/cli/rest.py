"""`shimwise rest`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from shimwise.cli.shared import (
    car_of,
    console,
    csv_option,
    invented_notes,
    json_option,
    print_origin,
    settings_option,
    write_csv,
    write_json,
)
from shimwise.cli.standing import Floor, bars_option, floor_options, said_of, with_bars
from shimwise.data_of import origin
from shimwise.views.pieces import bullet

if TYPE_CHECKING:
    from shimwise.standing.rest import Rest
    from shimwise.standing.solid import Solid

__all__ = ["rest"]


@click.command()
@click.argument("car", metavar="CAR")
@floor_options
@bars_option
@click.option("--tyres", is_flag=True, help="On the car file's tyres, not on setup wheels.")
@click.option("--solid", is_flag=True, help="On solid struts of the drawn length: best plane, no weights.")
@settings_option
@json_option
@csv_option
def rest(
    car: str,
    bars: str | None,
    tyres: bool,
    solid: bool,
    settings: str | None,
    as_json: bool,
    as_csv: bool,
    floor: Floor,
) -> None:
    """Print the car at rest on its springs: corner weights, ride heights, alignment over the ground."""
    model, inputs = car_of(car, settings)
    if solid and (tyres or floor.ballast_kg or bars is not None):
        raise click.UsageError(
            "--solid goes without --tyres, --ballast and --bars: the struts carry, whatever the weight"
        )
    model = with_bars(model, bars)
    found: Rest | Solid = (
        model.on_solid_struts(pads_mm=floor.pads_mm, rack_mm=floor.rack_mm)
        if solid
        else model.at_rest(**floor._asdict(), on_tyres=tyres)
    )
    notes = invented_notes(inputs)
    if as_json:
        write_json(found.as_dict() | {"notes": notes} | origin(*inputs))
        return
    if as_csv:
        rows = [(output.name, found.values[output.name], output.unit) for output in found.outputs]
        said = {"frame": "ground", "chassis": found.chassis_words} | said_of(found.stand)
        write_csv(("name", "value", "unit"), rows, said, inputs)
        return
    out = console()
    out.print(found.view())
    for note in notes:
        out.print(bullet("!", note))
    print_origin(out, inputs)
