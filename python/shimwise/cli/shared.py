"""What every command shares: its options, its car, where it prints and where its output comes from."""

from __future__ import annotations

import sys
from typing import Any

import click
from rich.console import Console
from rich.text import Text

from shimwise import _core
from shimwise.car import Car, load_car
from shimwise.data_of import document, origin

__all__ = ["car_of", "console", "corner_option", "json_option", "print_origin", "settings_option", "write_json"]

json_option = click.option("--json", "as_json", is_flag=True, help="Everything as JSON.")
settings_option = click.option(
    "--settings", metavar="FILE", help="The adjusters as they stand; wins over the car file."
)
corner_option = click.option("--corner", type=click.Choice(list(_core.CornerId.__members__)), help="One corner only.")


def car_of(path: str, settings: str | None) -> tuple[Car, list[str]]:
    car = load_car(path)
    return (car.with_settings(settings), [path, settings]) if settings else (car, [path])


def console() -> Console:
    return Console(highlight=False, width=None if sys.stdout.isatty() else 80)


def print_origin(out: Console, inputs: list[str]) -> None:
    made = origin(*inputs)
    names = ", ".join(f"{name} {digest[:8]}" for name, digest in made["inputs"].items())
    out.print(Text(f"shimwise {made['shimwise']}; {names}", style="dim"))


def write_json(content: dict[str, Any]) -> None:
    click.echo(document(content), nl=False)
