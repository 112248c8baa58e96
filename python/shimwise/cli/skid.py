"""`shimwise skid`."""

from __future__ import annotations

import click

from shimwise import _core
from shimwise.choice.plan import plan
from shimwise.cli.plan import print_plan
from shimwise.cli.shared import (
    beside_of,
    car_of,
    console,
    file_option,
    json_option,
    print_origin,
    settings_option,
    write_json,
)
from shimwise.data_of import origin
from shimwise.readings.readings import load_readings
from shimwise.readings.skid import skid as skid_wear
from shimwise.views.skid import skid_view

__all__ = ["skid"]


@click.command()
@click.argument("file", metavar="FILE")
@click.argument("car", metavar="[CAR]", required=False)
@click.argument("readings", metavar="[READINGS]", required=False)
@click.option(
    "--next", "next_km", type=float, metavar="KM", help="Length of the next run; as the last one if not given."
)
@click.option(
    "--lasts", "lasts_km", type=float, metavar="KM", help="How far it is to last: by which ride height it does so."
)
@click.option(
    "--gauge-alone", is_flag=True, help="Of one run alone: by the gauge's uncertainty, which says too little."
)
@file_option("--save", metavar="CARD.json", help="With READINGS: write the card to a new file, for `shimwise done`.")
@settings_option
@json_option
def skid(
    file: str,
    car: str | None,
    readings: str | None,
    next_km: float | None,
    lasts_km: float | None,
    gauge_alone: bool,
    save: str | None,
    settings: str | None,
    as_json: bool,
) -> None:
    """Say how fast a skid wears, and how far it still goes.

    At each point the rate of wear, the thickness to be read after the next run, the chance that it is under the least
    thickness then, and the distance to it, with 95 % intervals. With CAR the file is checked against it, and what is
    left under the skid is told. One run alone is no rate. With READINGS of the car as it stands now, and --lasts: the
    plan that raises it by what the skid needs to last so far.
    """
    if readings is not None and lasts_km is None:
        raise click.UsageError("--lasts: READINGS are for the ride height that lasts so many km")
    if readings is None and save is not None:
        raise click.UsageError("--save: a card is made of READINGS, and there are none")
    if car is None and settings is not None:
        raise click.UsageError("--settings: the adjusters are those of CAR, and there is none")
    model, of_car = car_of(car, settings) if car is not None else (None, [])
    found = skid_wear(file, model, next_km=next_km, lasts_km=lasts_km, gauge_alone=gauge_alone)
    out = console()
    if not as_json:
        out.print(skid_view(found))
        out.print()
    if model is not None and readings is not None:
        taken = load_readings(readings, model)
        measured = taken.reduce()
        wanted = found.targets(measured, model)
        inputs = [*of_car, _core.input_of(taken.core), _core.input_of(wanted)]
        doubts = beside_of(model, settings)
        print_plan(plan(model, measured, wanted, doubts=doubts), model, inputs, save=save, as_json=as_json)
        return
    inputs = [_core.input_of(found.core), *of_car]
    if as_json:
        write_json(found.as_dict() | origin(*inputs))
    else:
        print_origin(out, inputs)
