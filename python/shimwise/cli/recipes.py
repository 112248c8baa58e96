"""`shimwise recipes`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from shimwise import _core
from shimwise.cli.shared import (
    car_of,
    console,
    corner_option,
    invented_notes,
    json_option,
    named_amounts,
    print_origin,
    settings_option,
    write_json,
)
from shimwise.cli.standing import Floor, bars_option, floor_options, with_bars
from shimwise.data_of import origin
from shimwise.views import car_recipe as car_recipe_views
from shimwise.views import recipes as recipe_views
from shimwise.views.pieces import bullet

if TYPE_CHECKING:
    from shimwise.car import Car

__all__ = ["recipes"]


@click.command()
@click.argument("car", metavar="CAR")
@corner_option
@click.option("--by", multiple=True, metavar="OUTPUT=AMOUNT", help='Only this output: "camber=+0.25 deg".')
@click.option("--aim", multiple=True, metavar="VALUE=AMOUNT", help='Of the whole car at rest: "front_height=+2 mm".')
@click.option("--keep", multiple=True, metavar="VALUE", help='What stays, with --aim; "others" is what stays without.')
@click.option("--turn", multiple=True, metavar="ADJUSTER", help="What may turn, with --aim: an adjuster or a purpose.")
@floor_options
@bars_option
@settings_option
@json_option
def recipes(
    car: str,
    corner: str | None,
    by: tuple[str, ...],
    aim: tuple[str, ...],
    keep: tuple[str, ...],
    turn: tuple[str, ...],
    bars: str | None,
    settings: str | None,
    as_json: bool,
    floor: Floor,
) -> None:
    """Print how to move one value alone: of a corner, or of the whole car.

    Without --aim: toe, camber, caster or chassis height of each corner, by 1 deg or 1 mm; --by camber=0.25 asks for an
    amount, --by chassis_height=-2 for the other way, --by "toe=+1 mm" for toe in mm at the flags.

    With --aim: the car at rest on its springs, such as --aim "front_height=+2 mm", --aim "cross_weight=0.5 %" or --aim
    "rake=1 mm"; heights and cross weight stay otherwise. --pads, --ballast, --rack and --bars say how it stands.
    """
    if aim:
        if corner or by:
            raise click.UsageError("--aim is of the whole car: without --corner and --by")
        model, inputs = car_of(car, settings)
        _whole_car(with_bars(model, bars), inputs, aim, keep, turn, as_json, floor)
        return
    if bars is not None:
        raise click.UsageError("--bars needs --aim")
    floor.refuse("only with --aim: without it each corner is looked at by itself")
    if keep or turn:
        raise click.UsageError("--keep and --turn need --aim")
    model, inputs = car_of(car, settings)
    amounts = named_amounts(by, 'an output and an amount, such as "camber=+0.25 deg"')
    found = [model.corners[name].recipes(amounts) for name in ([corner] if corner else model.corners)]
    if as_json:
        corners = {one.corner: one.as_dict() for one in found}
        write_json(
            {"car": model.name, "hold": "spring", "frame": "chassis", "corners": corners}
            | {"cautions": _core.cautions()}
            | origin(*inputs)
        )
        return
    out = console()
    for one in found:
        out.print(recipe_views.recipes_view(one, cautions=one is found[-1]))
        out.print()
    print_origin(out, inputs)


def _whole_car(
    model: Car,
    inputs: list[_core.Input],
    aims: tuple[str, ...],
    keep: tuple[str, ...],
    turn: tuple[str, ...],
    as_json: bool,
    floor: Floor,
) -> None:
    amounts = named_amounts(aims, 'a value and an amount, such as "front_height=+2 mm"')
    found = model.recipe(amounts, keep or None, turn or None, **floor._asdict())
    notes = invented_notes(inputs)
    if as_json:
        write_json(
            {"car": model.name} | found.as_dict() | {"cautions": _core.cautions(), "invented": notes} | origin(*inputs)
        )
        return
    out = console()
    out.print(car_recipe_views.car_recipe_view(found))
    for note in notes:
        out.print(bullet("!", note))
    out.print()
    print_origin(out, inputs)
