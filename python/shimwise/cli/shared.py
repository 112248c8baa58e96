"""What every command shares: its options, its car, where it prints and where its output comes from."""

from __future__ import annotations

import csv
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
from rich.console import Console
from rich.text import Text

from shimwise import _core, plots
from shimwise.car import Car, load_car
from shimwise.data_of import document, origin
from shimwise.plots.ending import ending_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from matplotlib.figure import Figure

__all__ = [
    "car_of",
    "console",
    "corner_option",
    "csv_option",
    "invented_notes",
    "json_option",
    "origin_words",
    "plot_option",
    "print_origin",
    "settings_option",
    "write_csv",
    "write_json",
    "write_plot",
]


def _alone(context: click.Context, option: click.Parameter, wanted: bool) -> bool:
    other = "as_csv" if option.name == "as_json" else "as_json"
    if wanted and context.params.get(other):
        raise click.UsageError("--json and --csv: one of them")
    return wanted


json_option = click.option("--json", "as_json", is_flag=True, callback=_alone, help="Everything as JSON.")
csv_option = click.option("--csv", "as_csv", is_flag=True, callback=_alone, help="As a table for a spreadsheet.")
settings_option = click.option(
    "--settings", metavar="FILE", help="The adjusters as they stand; wins over the car file."
)


def _picture(_context: click.Context, _option: click.Parameter, path: str | None) -> str | None:
    """What cannot be written is said before anything is worked out."""
    if path is not None:
        ending_of(path)
        if Path(path).exists():
            raise _core.InputError(f"{path}: exists already and is not written over")
    return path


plot_option = click.option(
    "--plot", metavar="FILE", callback=_picture, help="Draw it into a new .png, .pdf or .svg file."
)
corner_option = click.option("--corner", type=click.Choice(list(_core.CornerId.__members__)), help="One corner only.")


def car_of(path: str, settings: str | None) -> tuple[Car, list[str]]:
    car = load_car(path)
    return (car.with_settings(settings), [path, settings]) if settings else (car, [path])


def console() -> Console:
    return Console(highlight=False, width=None if sys.stdout.isatty() else 80)


def print_origin(out: Console, inputs: list[str]) -> None:
    out.print(Text(origin_words(inputs), style="dim"))


def origin_words(inputs: list[str]) -> str:
    """Version, inputs and their digests in a line."""
    made = origin(*inputs)
    names = ", ".join(f"{name} {digest[:8]}" for name, digest in made["inputs"].items())
    return f"shimwise {made['shimwise']}; {names}"


def write_plot(draw: Callable[[], Figure], path: str, inputs: list[str]) -> None:
    """Draw into a new file, with where it comes from at its foot. It takes seconds: the tables come first."""
    sys.stdout.flush()
    figure = draw()
    figure.text(0.99, 0.06 / figure.get_figheight(), origin_words(inputs), ha="right", fontsize=7)
    plots.save(figure, path)


def write_json(content: dict[str, Any]) -> None:
    click.echo(document(content), nl=False)


def write_csv(
    header: Sequence[str], rows: Iterable[Sequence[object]], said: Mapping[str, str], inputs: list[str]
) -> None:
    """A plain table: a header, then rows, each of which says what it holds for and where it comes from."""
    said = {**said, "origin": origin_words(inputs)}
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow([*header, *said])
    out.writerows([*row, *said.values()] for row in rows)


def invented_notes(files: Sequence[str]) -> list[str]:
    """One sentence for each file with lines that still say INVENTED, as a starter's do: its answers are no advice."""
    notes = []
    for file in files:
        count = sum("INVENTED" in line for line in Path(file).read_text(encoding="utf-8").splitlines())
        if count:
            lines = "1 line still says" if count == 1 else f"{count} lines still say"
            notes.append(f"{file}: {lines} INVENTED. Turn nothing before your own numbers stand there.")
    return notes
