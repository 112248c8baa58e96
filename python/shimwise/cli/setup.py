"""`shimwise setup`."""

from __future__ import annotations

import click

from shimwise import _core
from shimwise.baselines.baseline import load_baseline
from shimwise.car import load_car
from shimwise.cli.shared import console, json_option, print_origin, write_json
from shimwise.data_of import origin
from shimwise.views.baseline import baseline_view

__all__ = ["setup"]


@click.command()
@click.argument("car", metavar="CAR")
@click.argument("baseline", metavar="BASELINE")
@json_option
def setup(car: str, baseline: str, as_json: bool) -> None:
    """Print all that is needed to put a car back as it was accepted, on one page.

    State and pads, every setting, pack and length eye to eye, the boxes, and each value to read with its tolerance.
    """
    model = load_car(car)
    accepted = load_baseline(baseline, model)
    inputs = [_core.input_of(model.core), _core.input_of(accepted.core)]
    if as_json:
        write_json(accepted.as_dict() | {"cautions": _core.cautions()} | origin(*inputs))
        return
    out = console()
    out.print(baseline_view(accepted))
    print_origin(out, inputs)
