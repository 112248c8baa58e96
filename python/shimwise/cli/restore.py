"""`shimwise restore`."""

from __future__ import annotations

import sys

import click

from shimwise import _core
from shimwise.baselines.baseline import load_baseline
from shimwise.baselines.restored import restore as restored
from shimwise.cli.shared import car_of, console, json_option, print_origin, settings_option, write_json
from shimwise.data_of import origin
from shimwise.views.restored import restored_view

__all__ = ["restore"]


@click.command()
@click.argument("car", metavar="CAR")
@click.argument("baseline", metavar="BASELINE")
@settings_option
@json_option
def restore(car: str, baseline: str, settings: str | None, as_json: bool) -> None:
    """Say what to turn and what to shim to put a car back as it was accepted.

    From how it is set now, adjuster by adjuster in working order, with the shims that are at hand. Ends with 1 where
    these do not make every pack.
    """
    model, inputs = car_of(car, settings)
    accepted = load_baseline(baseline, model)
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
