"""`shimwise check`."""

from __future__ import annotations

import click

from shimwise import effect_views, texts
from shimwise.cli.shared import car_of, console, json_option, print_origin, settings_option, write_json
from shimwise.data_of import origin

__all__ = ["check"]


@click.command()
@click.argument("car", metavar="CAR")
@settings_option
@json_option
def check(car: str, settings: str | None, as_json: bool) -> None:
    """Check a car file, and say what one step of every adjuster does."""
    model, inputs = car_of(car, settings)
    lines = effect_views.check_lines(model)
    if as_json:
        write_json({"car": model.name, "one_step": lines} | origin(*inputs))
        return
    out = console()
    out.print(f"{model.name}: nothing wrong found. What one step does, contact held, chassis frame:")
    for line in lines:
        out.print(texts.bullet("-", line))
    print_origin(out, inputs)
