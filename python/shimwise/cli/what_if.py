"""`shimwise try`."""

from __future__ import annotations

import sys

import click

from shimwise import _core
from shimwise.cli.shared import beside_of, car_of, console, json_option, print_origin, settings_option, write_json
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

    A change is counted from how the car stands: "front_left.track rod=+2 flats", "front_left.camber shim=+0.5 mm"
    (thicker), or a pack: "front_left.camber shim=2.0 + 0.5 mm". Several at once are taken together. Ends with 1 where
    the car does not stand.
    """
    model, inputs = car_of(car, settings)
    taken = load_readings(readings, model)
    expected = model.expect(taken.reduce(), _changes(change))
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


def _changes(words: tuple[str, ...]) -> dict[str, str]:
    changes: dict[str, str] = {}
    for one in words:
        key, equals, change = (part.strip() for part in one.partition("="))
        if not equals or not change:
            raise click.BadParameter(f'{one!r}: needs "corner.adjuster name=change", such as "+2 flats"')
        if key in changes:
            raise click.BadParameter(f"{key!r} is named twice")
        changes[key] = change
    return changes
