"""`shimwise plan`."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

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
    named_amounts,
    print_origin,
    settings_option,
    write_json,
)
from shimwise.cli.sheets import wanted_of
from shimwise.data_of import document, origin
from shimwise.readings.readings import load_readings
from shimwise.views import plan as views
from shimwise.views.pieces import bullet

if TYPE_CHECKING:
    from collections.abc import Callable

    from shimwise.car import Car
    from shimwise.choice.plan import Plan

__all__ = ["plan", "print_plan"]


def _several(name: str, metavar: str, words: str) -> Callable[[Any], Any]:
    return click.option(name, multiple=True, metavar=metavar, help=words)


@click.command()
@click.argument("car", metavar="CAR")
@click.argument("readings", metavar="READINGS")
@click.argument("targets", metavar="TARGETS")
@click.option("--choose", type=click.Choice(["closest", "least_work"]), help="The choice to write the card for.")
@_several("--keep", "VALUE", "A value that stays within its common tolerance, such as caster.")
@_several("--free", "VALUE", "A value that may go where it goes, such as rear_difference.")
@_several("--turn", "ADJUSTER", "What takes part though the plan would hold it: an adjuster, a corner or a purpose.")
@_several("--forbid", "ADJUSTER", "What nobody turns.")
@_several("--prefer", "ADJUSTER", "What is turned rather than others where the minutes are the same.")
@_several("--force", '"CORNER.ADJUSTER=+1 flat"', "What is turned by so much whatever else is done.")
@_several("--tie", '"CORNER.ADJUSTER=CORNER.ADJUSTER"', "Adjusters that turn by equal steps.")
@click.option("--within-minutes", type=float, metavar="MINUTES", help="No plan takes longer.")
@click.option("--all", "everything", is_flag=True, help="All choices side by side, why this one, and the proof.")
@file_option("--save", metavar="CARD.json", help="Write the card to a new file, for `shimwise done`.")
@settings_option
@json_option
def plan(
    car: str,
    readings: str,
    targets: str,
    choose: str | None,
    force: tuple[str, ...],
    tie: tuple[str, ...],
    everything: bool,
    save: str | None,
    settings: str | None,
    as_json: bool,
    **options: Any,
) -> None:
    """Plan the turns and shims of the whole car, and print the card with the readings to expect.

    Values are named by key ("ride_height.front_left") or by a name that many have ("toe"), adjusters likewise
    ("front_left.track rod", "track rod"), by corner ("front_left") or purpose ("camber"). Each of these options may
    stand more than once. TARGETS may be a baseline: what was accepted is wanted again. Ends with 1 where no plan was
    found that brings in all that was read, or nothing that was read answers one.
    """
    model, inputs = car_of(car, settings)
    taken = load_readings(readings, model)
    measured = taken.reduce()
    wanted = wanted_of(model, targets, measured)
    inputs += [_core.input_of(taken.core), _core.input_of(wanted)]
    found = plan_of(
        model,
        measured,
        wanted,
        force=named_amounts(force, '"corner.adjuster name=+1 flat"', "--force"),
        tie=[[name.strip() for name in one.split("=")] for one in tie],
        doubts=beside_of(model, settings),
        **options,
    )
    print_plan(found, model, inputs, choose=choose, everything=everything, save=save, as_json=as_json)


def print_plan(
    found: Plan,
    car: Car,
    inputs: list[_core.Input],
    *,
    choose: str | None = None,
    everything: bool = False,
    save: str | None = None,
    as_json: bool = False,
) -> None:
    """Print a plan with its card, save that, and end with 1 where the targets cannot be met or nothing was judged."""
    choice = choose or found.choice
    content = {"format": _core.card_format, "car": car.name} | origin(*inputs)
    if as_json or save:
        content |= found.as_dict(choice, everything=as_json)
    if save:
        _core.write_new_file(save, document(content))
    if as_json:
        write_json(content)
    else:
        out = console()
        for note in invented_notes(inputs):
            out.print(bullet("!", note))
        out.print(views.plan_view(found, choice, everything=everything))
        out.print()
        print_origin(out, inputs)
    if not found.met or ((found.unread or found.unpredicted) and not found.judged):
        sys.exit(1)
