"""`shimwise sheet`."""

from __future__ import annotations

import click

from shimwise import _core
from shimwise.cli.shared import car_of, file_option, json_option, origin_words, settings_option, write_json
from shimwise.data_of import data_of, origin
from shimwise.views import sheet as sheet_views

__all__ = ["sheet"]


@click.command()
@click.argument("car", metavar="CAR")
@click.option("--toml", "as_toml", is_flag=True, help="A readings file to fill, every field in it as a comment.")
@file_option("--out", metavar="FILE", help="Write the sheet to a new file.")
@settings_option
@json_option
def sheet(car: str, as_toml: bool, out: str | None, settings: str | None, as_json: bool) -> None:
    """Print an empty readings sheet with the fields that this car's readings take."""
    model, inputs = car_of(car, settings)
    fields = _core.sheet(model.core)
    by = origin_words(inputs)
    text = f"# {by}\n{sheet_views.sheet_toml(fields)}" if as_toml else f"{sheet_views.sheet_text(fields)}\n{by}\n"
    if out:
        _core.write_new_file(out, text)
    if as_json:
        write_json(data_of(fields) | origin(*inputs))
    else:
        click.echo(f"{out}: an empty readings sheet of {model.name}." if out else text, nl=bool(out))
