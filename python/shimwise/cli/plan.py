"""`shimwise plan`."""

from __future__ import annotations

import sys

import click

from shimwise import _core
from shimwise.choice.plan import plan as plan_of
from shimwise.cli.shared import (
    beside_of,
    car_of,
    console,
    file_option,
    invented_notes,
    json_option,
    print_origin,
    settings_option,
    write_json,
)
from shimwise.data_of import document, origin
from shimwise.readings.readings import load_readings, load_targets
from shimwise.views import plan as cards
from shimwise.views.pieces import bullet

__all__ = ["plan"]


@click.command()
@click.argument("car", metavar="CAR")
@click.argument("readings", metavar="READINGS")
@click.argument("targets", metavar="TARGETS")
@click.option("--choose", type=click.Choice(["closest", "least_work"]), help="The choice to write the card for.")
@file_option("--save", metavar="CARD.json", help="Write the card to a new file, for `shimwise done`.")
@settings_option
@json_option
def plan(
    car: str, readings: str, targets: str, choose: str | None, save: str | None, settings: str | None, as_json: bool
) -> None:
    """Plan the turns and shims, and print the card with the readings to expect."""
    model, inputs = car_of(car, settings)
    taken, wanted = load_readings(readings, model), load_targets(targets, model)
    inputs += [_core.input_of(taken.core), _core.input_of(wanted)]
    found = plan_of(model, taken.reduce(), wanted, doubts=beside_of(model, settings))
    choice = choose or found.choice
    content = {"format": _core.card_format, "car": model.name} | origin(*inputs)
    if as_json or save:
        content |= found.as_dict(choice)
    if save:
        _core.write_new_file(save, document(content))
    if as_json:
        write_json(content)
    else:
        out = console()
        for note in invented_notes(inputs):
            out.print(bullet("!", note))
        out.print(cards.plan_view(found, choice))
        out.print()
        print_origin(out, inputs)
    if found.core.refusals or (found.unread and not found.judged):
        sys.exit(1)
