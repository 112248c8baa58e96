"""`shimwise recipes`."""

from __future__ import annotations

import click

from shimwise import _core, recipe_views
from shimwise.cli.shared import car_of, console, corner_option, json_option, print_origin, settings_option, write_json
from shimwise.data_of import origin

__all__ = ["recipes"]


@click.command()
@click.argument("car", metavar="CAR")
@corner_option
@click.option("--by", multiple=True, metavar="OUTPUT=AMOUNT", help="Only this output, by this many deg or mm.")
@settings_option
@json_option
def recipes(car: str, corner: str | None, by: tuple[str, ...], settings: str | None, as_json: bool) -> None:
    """Print how to move toe, camber, caster or chassis height alone.

    Each by 1 deg or 1 mm; --by camber=0.25 asks for an amount, --by chassis_height=-2 for the other way.
    """
    model, inputs = car_of(car, settings)
    amounts = _amounts(by)
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


def _amounts(words: tuple[str, ...]) -> dict[str, float]:
    amounts: dict[str, float] = {}
    for one in words:
        name, _, amount = (part.strip() for part in one.partition("="))
        try:
            amounts[name] = float(amount)
        except ValueError:
            raise click.BadParameter(f'{one!r}: needs an output and an amount, such as "camber=0.25"') from None
    return amounts
