"""`shimwise level`."""

from __future__ import annotations

import sys

import click

from shimwise import _core
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
from shimwise.views.datum import datum_view

__all__ = ["level"]


@click.command()
@click.argument("car", metavar="CAR")
@click.argument("readings", metavar="READINGS")
@click.option("--tilt", type=float, metavar="MM_PER_M", help="Tilt that is allowed either way; 0.5 if not given.")
@click.option("--twist", type=float, metavar="MM", help="Twist that is allowed; 0.5 if not given.")
@file_option(
    "--as", "other", metavar="OTHER", help="Readings of another place: what the car as it stood there will show here."
)
@settings_option
@json_option
def level(
    car: str,
    readings: str,
    tilt: float | None,
    twist: float | None,
    other: str | None,
    settings: str | None,
    as_json: bool,
) -> None:
    """Say how the pads lie, and what to put under which.

    Tilt both ways and twist with their uncertainty, from heights or from steps along a straightedge; the fewest pieces
    of the packing at hand that bring them inside; and what is left does to each gauge and scale. Ends with 1 where no
    packing brings it inside.
    """
    model, inputs = car_of(car, settings)
    taken = load_readings(readings, model)
    inputs.append(_core.input_of(taken.core))
    there = load_readings(other, model) if other else None
    if there is not None:
        inputs.append(_core.input_of(there.core))
    datum = taken.level(tilt_mm_per_m=tilt, twist_mm=twist, there=there)
    datum.doubts[:0] = [doubt.text for doubt in beside_of(model, settings)]
    if as_json:
        write_json(datum.as_dict() | origin(*inputs))
    else:
        out = console()
        out.print(datum_view(datum))
        out.print()
        print_origin(out, inputs)
    if not datum.packing.within:
        sys.exit(1)
