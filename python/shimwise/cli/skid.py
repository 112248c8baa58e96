"""`shimwise skid`."""

from __future__ import annotations

import click

from shimwise import _core
from shimwise.car import load_car
from shimwise.cli.shared import console, json_option, print_origin, write_json
from shimwise.data_of import origin
from shimwise.readings.skid import skid as skid_wear
from shimwise.views.skid import skid_view

__all__ = ["skid"]


@click.command()
@click.argument("file", metavar="FILE")
@click.argument("car", metavar="[CAR]", required=False)
@click.option(
    "--next", "next_km", type=float, metavar="KM", help="Length of the next run; as the last one if not given."
)
@click.option(
    "--lasts", "lasts_km", type=float, metavar="KM", help="How far it is to last: by which ride height it does so."
)
@click.option(
    "--gauge-alone", is_flag=True, help="Of one run alone: by the gauge's uncertainty, which says too little."
)
@json_option
def skid(
    file: str, car: str | None, next_km: float | None, lasts_km: float | None, gauge_alone: bool, as_json: bool
) -> None:
    """Say how fast a skid wears, and how far it still goes.

    At each point the rate of wear, the thickness to be read after the next run, the chance that it is under the least
    thickness then, and the distance to it, with 95 % intervals. With CAR the file is checked against it, and what is
    left under the skid is told. One run alone is no rate.
    """
    model = load_car(car) if car is not None else None
    found = skid_wear(file, model, next_km=next_km, lasts_km=lasts_km, gauge_alone=gauge_alone)
    inputs = [_core.input_of(found.core)] + ([_core.input_of(model.core)] if model else [])
    if as_json:
        write_json(found.as_dict() | origin(*inputs))
        return
    out = console()
    out.print(skid_view(found))
    out.print()
    print_origin(out, inputs)
