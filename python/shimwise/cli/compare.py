"""`shimwise compare`."""

from __future__ import annotations

import click

from shimwise import _core
from shimwise.baselines.compared import compare as compared
from shimwise.car import load_car
from shimwise.cli.shared import console, file_option, json_option, print_origin, write_json
from shimwise.cli.sheets import sheet_of
from shimwise.data_of import origin
from shimwise.views.compared import compared_view

__all__ = ["compare"]


@click.command()
@click.argument("car", metavar="CAR")
@click.argument("old", metavar="OLD")
@click.argument("new", metavar="NEW")
@file_option("--settings-old", metavar="FILE", help="The adjusters as they stood when OLD was read.")
@file_option("--settings-new", metavar="FILE", help="The adjusters as they stood when NEW was read.")
@json_option
def compare(car: str, old: str, new: str, settings_old: str | None, settings_new: str | None, as_json: bool) -> None:
    """Say what has changed between two sheets, and what explains it.

    Value by value: the difference with its uncertainty, change or noise, inside its tolerance or not; what ballast,
    bars, pads and turns explain of it, and what is left. Ends with 0 whatever was found.
    """
    model = load_car(car)
    was, inputs_old = sheet_of(model, old, settings_old, "old")
    now, inputs_new = sheet_of(model, new, settings_new, "new")
    inputs = [_core.input_of(model.core), *inputs_old, *inputs_new]
    found = compared(model, was, now)
    if as_json:
        write_json(found.as_dict() | origin(*inputs))
        return
    out = console()
    out.print(compared_view(found))
    out.print()
    print_origin(out, inputs)
