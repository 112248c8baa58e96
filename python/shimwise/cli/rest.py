"""`shimwise rest`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from shimwise import _core
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
from shimwise.data_of import origin
from shimwise.views.pieces import bullet

if TYPE_CHECKING:
    from shimwise.standing.rest import Rest
    from shimwise.standing.solid import Solid

__all__ = ["rest"]


@click.command()
@click.argument("car", metavar="CAR")
@click.option(
    "--pads",
    multiple=True,
    metavar="FL,FR,RL,RR",
    help='Heights of the pads, mm; or one, "front_left=2", as often as needed.',
)
@click.option(
    "--ballast", multiple=True, metavar="NAME=KG", help="What there is of a ballast; else as in the car file."
)
@click.option("--tyres", is_flag=True, help="On the car file's tyres, not on setup wheels.")
@click.option("--solid", is_flag=True, help="On solid struts of the drawn length: best plane, no weights.")
@settings_option
@json_option
@csv_option
def rest(
    car: str,
    pads: tuple[str, ...],
    ballast: tuple[str, ...],
    tyres: bool,
    solid: bool,
    settings: str | None,
    as_json: bool,
    as_csv: bool,
) -> None:
    """Print the car at rest on its springs: corner weights, ride heights, alignment over the ground."""
    model, inputs = car_of(car, settings)
    if solid and (tyres or ballast):
        raise click.UsageError("--solid goes without --tyres and --ballast: the struts carry, whatever the weight")
    found: Rest | Solid = (
        model.on_solid_struts(pads_mm=_pads(pads))
        if solid
        else model.at_rest(pads_mm=_pads(pads), ballast_kg=_named("--ballast", ballast), on_tyres=tyres)
    )
    notes = invented_notes(inputs)
    if as_json:
        write_json(found.as_dict() | {"notes": notes} | origin(*inputs))
        return
    if as_csv:
        rows = [(output.name, found.values[output.name], output.unit) for output in found.outputs]
        said = {"frame": "ground", "chassis": found.chassis_words}
        write_csv(("name", "value", "unit"), rows, said, inputs)
        return
    out = console()
    out.print(found.view())
    for note in notes:
        out.print(bullet("!", note))
    print_origin(out, inputs)


def _pads(words: tuple[str, ...]) -> dict[str, float]:
    """Four numbers with commas, or corner by corner."""
    if len(words) != 1 or "=" in words[0]:
        return _named("--pads", words)
    try:
        return dict(zip(_core.CornerId.__members__, map(float, words[0].split(",")), strict=True))
    except ValueError:
        raise click.BadParameter(
            f'{words[0]!r}: needs four numbers in mm with commas, front left first, or "front_left=2"',
            param_hint="--pads",
        ) from None


def _named(option: str, words: tuple[str, ...]) -> dict[str, float]:
    found: dict[str, float] = {}
    for one in words:
        name, equals, number = (part.strip() for part in one.partition("="))
        try:
            value = float(number)
        except ValueError:
            equals = ""
        if not equals or not name:
            raise click.BadParameter(f'{one!r}: needs a name and a number, such as "name=2"', param_hint=option)
        if name in found:
            raise click.BadParameter(f"{name!r} is named twice", param_hint=option)
        found[name] = value
    return found
