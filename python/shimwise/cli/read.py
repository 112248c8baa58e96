"""`shimwise read`."""

from __future__ import annotations

import click

from shimwise import _core
from shimwise.cli.shared import beside_of, car_of, console, json_option, print_origin, settings_option, write_json
from shimwise.data_of import origin
from shimwise.readings.readings import load_readings
from shimwise.views.sheet_read import sheet_read_view

__all__ = ["read"]


@click.command()
@click.argument("car", metavar="CAR")
@click.argument("readings", metavar="READINGS")
@settings_option
@json_option
def read(car: str, readings: str, settings: str | None, as_json: bool) -> None:
    """Say what a sheet of readings amounts to: every value, how sure it is, and of what.

    Toe, camber, heights and weights with their uncertainty and what that is made of; how the strings ran, the gauge's
    zero, repeats; and before all of it what is doubtful.
    """
    model, inputs = car_of(car, settings)
    taken = load_readings(readings, model)
    sheet = taken.read()
    sheet.doubts[:0] = [doubt.text for doubt in beside_of(model, settings)]
    inputs.append(_core.input_of(taken.core))
    if as_json:
        write_json(sheet.as_dict() | origin(*inputs))
        return
    out = console()
    out.print(sheet_read_view(sheet))
    out.print()
    print_origin(out, inputs)
