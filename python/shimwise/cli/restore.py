"""`shimwise restore`."""

from __future__ import annotations

import sys

import click

from shimwise import _core
from shimwise.baselines.baseline import load_baseline
from shimwise.baselines.restored import restore as restored
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
from shimwise.views.restored import restored_view

__all__ = ["restore"]


@click.command()
@click.argument("car", metavar="CAR")
@click.argument("baseline", metavar="BASELINE")
@click.argument("readings", metavar="[READINGS]", required=False)
@file_option("--save", metavar="CARD.json", help="With READINGS: write the card to a new file, for `shimwise done`.")
@settings_option
@json_option
def restore(
    car: str, baseline: str, readings: str | None, save: str | None, settings: str | None, as_json: bool
) -> None:
    """Say what to turn and what to shim to put a car back as it was accepted.

    From how it is set now, adjuster by adjuster in working order, with the shims that are at hand. Ends with 1 where
    these do not make every pack. With READINGS of the car as it stands now: the plan that brings its values back to
    the accepted ones, as `shimwise plan CAR READINGS BASELINE`.
    """
    model, inputs = car_of(car, settings)
    accepted = load_baseline(baseline, model)
    if readings is not None:
        taken = load_readings(readings, model)
        measured = taken.reduce()
        inputs += [_core.input_of(taken.core), _core.input_of(accepted.targets(measured, model))]
        found = restored(model, accepted, measured, doubts=beside_of(model, settings))
        print_plan(found, model, inputs, save=save, as_json=as_json)
        return
    if save is not None:
        raise click.UsageError("--save: a card is made of READINGS, and there are none")
    inputs.append(_core.input_of(accepted.core))
    back = restored(model, accepted)
    if as_json:
        write_json(back.as_dict() | origin(*inputs))
    else:
        out = console()
        out.print(restored_view(back))
        out.print()
        print_origin(out, inputs)
    if not back.whole:
        sys.exit(1)
