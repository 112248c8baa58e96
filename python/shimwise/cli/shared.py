"""What every command shares: its options, its car, where it prints and where its output comes from."""

from __future__ import annotations

import csv
import shutil
import sys
import warnings
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
from rich.text import Text

from shimwise import _core, plots
from shimwise.arguments import file_name
from shimwise.car import Car, load_car
from shimwise.data_of import document, origin
from shimwise.plots.ending import ending_of
from shimwise.shown import Paper
from shimwise.words import printable

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from matplotlib.figure import Figure

_WIDTH = 80  # what every table fits into

__all__ = [
    "beside_of",
    "car_of",
    "console",
    "corner_option",
    "csv_option",
    "file_option",
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


def _picture(context: click.Context, option: click.Parameter, path: str | None) -> str | None:
    """What cannot be written is said before anything is worked out."""
    path = _named(context, option, path)
    if path is not None:
        ending_of(path)
        if Path(path).exists():
            raise _core.InputError(f"{path}: exists already and is not written over")
    return path


plot_option = click.option(
    "--plot", metavar="FILE", callback=_picture, help="Draw it into a new .png, .pdf or .svg file."
)
corner_option = click.option("--corner", type=click.Choice(list(_core.CornerId.__members__)), help="One corner only.")


def _named(_context: click.Context, option: click.Parameter, path: str | None) -> str | None:
    """An empty name is a name forgotten, not an option left out."""
    if path is not None and not path.strip():
        raise click.BadParameter("needs the name of a file", param=option)
    return path


def file_option(*names: str, **how: Any) -> Callable[[Any], Any]:
    """An option that takes the name of a file."""
    return click.option(*names, callback=_named, **how)


settings_option = file_option("--settings", metavar="FILE", help="The adjusters as they stand; wins over the car file.")


def car_of(path: str, settings: str | None) -> tuple[Car, list[_core.Input]]:
    """The car as it is set, and the files that it was read from."""
    car = load_car(path)
    inputs = [_core.input_of(car.core)]
    if settings is None:
        return car, inputs
    read = _core.load_settings(file_name(settings), car.core)
    return car.with_settings(read), [*inputs, _core.input_of(read)]


def beside_of(car: Car, settings: str | None) -> list[_core.Doubt]:
    """Doubts about settings that lie beside the car file and are not named."""
    return [] if settings else _core.settings_beside(car.core)


def named_amounts(words: Sequence[str], such_as: str, hint: str | None = None) -> dict[str, str]:
    """Pairs of name and amount, each name once. What stands behind the first "=" is the amount."""
    amounts: dict[str, str] = {}
    for one in words:
        name, _, amount = (part.strip() for part in one.partition("="))
        if not name or not amount:
            raise click.BadParameter(f"{one!r}: needs {such_as}", param_hint=hint)
        if name in amounts:
            raise click.BadParameter(f"{name!r} is named twice", param_hint=hint)
        amounts[name] = amount
    return amounts


def console() -> Paper:
    """Where tables are printed: a file's words as they stand there, and never narrower than a table."""
    width = max(_WIDTH, shutil.get_terminal_size().columns) if sys.stdout.isatty() else _WIDTH
    return Paper(width)


def print_origin(out: Paper, inputs: list[_core.Input]) -> None:
    out.print(Text(origin_words(inputs), style="dim"))


def origin_words(inputs: list[_core.Input]) -> str:
    """Version, inputs and their digests in a line."""
    made = origin(*inputs)
    names = ", ".join(f"{printable(name)} {digest[:8]}" for name, digest in made["inputs"].items())
    return f"shimwise {made['shimwise']}; {names}"


def write_plot(draw: Callable[[], Figure], path: str, inputs: list[_core.Input]) -> list[str]:
    """Draw into a new file, with where it comes from at its foot. It takes seconds: the tables come first.

    Returns what the drawing library warns of, a sentence each.
    """
    sys.stdout.flush()
    with warnings.catch_warnings(record=True) as found:
        warnings.simplefilter("always")
        figure = draw()
        figure.text(0.99, 0.06 / figure.get_figheight(), origin_words(inputs), ha="right", fontsize=7, parse_math=False)
        plots.save(figure, path)
    return list(dict.fromkeys(f"{path}: {printable(str(warning.message)).rstrip('.')}." for warning in found))


def write_json(content: dict[str, Any]) -> None:
    """Print a document; without letters beyond ASCII where the output cannot take them."""
    ascii_only = (sys.stdout.encoding or "ascii").lower().replace("-", "") not in ("utf8", "utf16", "utf32")
    click.echo(document(content, ascii_only=ascii_only), nl=False)


def write_csv(
    header: Sequence[str], rows: Iterable[Sequence[object]], said: Mapping[str, str], inputs: list[_core.Input]
) -> None:
    """A plain table: a header, then rows, each of which says what it holds for and where it comes from."""
    said = {**said, "origin": origin_words(inputs)}
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow([*header, *said])
    out.writerows([*row, *said.values()] for row in rows)


def invented_notes(inputs: Sequence[_core.Input]) -> list[str]:
    """One sentence for each file with lines that still say INVENTED, as a starter's do: its answers are no advice."""
    notes = []
    for read in inputs:
        count = read.invented_lines
        if count:
            lines = "1 line still says" if count == 1 else f"{count} lines still say"
            notes.append(f"{read.file}: {lines} INVENTED. Turn nothing before your own numbers stand there.")
    return notes
