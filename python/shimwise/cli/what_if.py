"""`shimwise try`."""

from __future__ import annotations

import sys

import click

from shimwise import _core
from shimwise.cli.shared import (
    beside_of,
    car_of,
    console,
    json_option,
    named_amounts,
    print_origin,
    settings_option,
    write_json,
)
from shimwise.data_of import origin
from shimwise.readings.readings import load_readings
from shimwise.views import expected as expected_views

__all__ = ["what_if"]


@click.command("try")
@click.argument("car", metavar="CAR")
@click.argument("readings", metavar="READINGS")
@click.argument("change", metavar='"CORNER.ADJUSTER=CHANGE"...', nargs=-1, required=True)
@settings_option
@json_option
def what_if(car: str, readings: str, change: tuple[str, ...], settings: str | None, as_json: bool) -> None:
    """Say what the readings will be if something is turned.

    With a sign a change is counted from how the car stands: "front_left.track rod=+2 flats", "front_left.camber
    shim=+0.5 mm" (thicker). Without one it is the setting itself: "2 flats" from the drawn length, "2.0 + 0.5 mm" the
    whole pack. Several at once are taken together. Ends with 1 where the car does not stand.
    """
    model, inputs = car_of(car, settings)
    taken = load_readings(readings, model)
    changes = named_amounts(change, '"corner.adjuster name=change", such as "+2 flats"')
    expected = model.expect(taken.reduce(), changes)
    expected.doubts[:0] = [doubt.text for doubt in beside_of(model, settings)]
    inputs.append(_core.input_of(taken.core))
    if as_json:
        write_json(expected.as_dict() | origin(*inputs))
    else:
        out = console()
        out.print(expected_views.expected_view(expected))
        out.print()
        print_origin(out, inputs)
    if not expected.stands:
        sys.exit(1)
