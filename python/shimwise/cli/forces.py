"""`shimwise forces`."""

from __future__ import annotations

import click
from rich.text import Text

from shimwise.cli.shared import car_of, console, corner_option, json_option, print_origin, settings_option, write_json
from shimwise.data_of import origin
from shimwise.views import forces as force_views

__all__ = ["forces"]

_LOAD_N = "0,0,1000"


def _load(_context: click.Context, _parameter: click.Parameter, value: str) -> tuple[float, float, float]:
    try:
        x, y, z = (float(number) for number in value.split(","))
    except ValueError:
        raise click.BadParameter(f"{value!r} needs three numbers in N with commas: forward, left, up") from None
    return x, y, z


@click.command()
@click.argument("car", metavar="CAR")
@corner_option
@click.option(
    "--load",
    metavar="X,Y,Z",
    callback=_load,
    default=_LOAD_N,
    show_default=True,
    help="Force of the ground on the wheel, N: forward, left, up. A minus sign turns it: rearward, right, down.",
)
@click.option("--travel", metavar="MM", type=float, default=0.0, help="Wheel travel, + = wheel up.")
@click.option("--rack", metavar="MM", type=float, default=0.0, help="Rack travel, + = to the left.")
@settings_option
@json_option
@click.pass_context
def forces(
    context: click.Context,
    car: str,
    corner: str | None,
    load: tuple[float, float, float],
    travel: float,
    rack: float,
    settings: str | None,
    as_json: bool,
) -> None:
    """Print the forces in links, joints and pickups for a load at the wheel's contact."""
    model, inputs = car_of(car, settings)
    names = [corner] if corner else list(model.corners)
    found = {name: model.corners[name].forces(load_N=load, travel_mm=travel, rack_mm=rack) for name in names}
    if as_json:
        state = {"car": model.name, "frame": "chassis", "travel_mm": travel, "rack_mm": rack}
        write_json(state | {"corners": {name: f.as_dict() for name, f in found.items()}} | origin(*inputs))
        return
    out = console()
    for name, f in found.items():
        out.print(force_views.forces_view(f, name, pull_rod=model.corners[name].has_pull_rod))
        out.print()
    if travel or rack:
        out.print(Text(f"Travel {travel:g} mm (+ = wheel up), rack {rack:g} mm (+ = to the left)."))
    if context.get_parameter_source("load") is click.core.ParameterSource.DEFAULT:
        out.print(Text("No --load was given: 1000 N up was taken. Every force grows in proportion to the load."))
    out.print(Text(force_views.ASSUMED))
    print_origin(out, inputs)
