"""`shimwise sweep`."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click
import numpy as np
from rich.text import Text

from shimwise import _core
from shimwise.arguments import file_name
from shimwise.cli.shared import (
    beside_of,
    car_of,
    console,
    file_option,
    invented_notes,
    origin_words,
    print_origin,
    settings_option,
)
from shimwise.sweeps.file import STORE, demand_ending, planned_by, write_sweep
from shimwise.views.pieces import bullet, plain_table
from shimwise.words import figure, printable, spoken

if TYPE_CHECKING:
    import xarray as xr
    from rich.table import Table

__all__ = ["sweep"]


@click.command()
@click.argument("car", metavar="CAR")
@click.argument("file", metavar="SWEEP.toml")
@file_option(
    "--out",
    metavar="FILE",
    required=True,
    help="What is new: .csv, a table, .nc, NetCDF, or .zarr, a folder that may be larger than memory.",
)
@click.option("--threads", type=click.IntRange(1, 1024), help="How many; left out, one for each processor.")
@settings_option
def sweep(car: str, file: str, out: str, threads: int | None, settings: str | None) -> None:
    """Work out many states of a car, over all that a sweep file names.

    States that cannot be reached are in the file too, with what stands in the way and by how much; their outputs are
    empty. How far it is stands on the screen where there is one. The same command goes on with a .zarr
    that was interrupted.
    """
    ending = demand_ending(out)
    model, inputs = car_of(car, settings)
    asked = _core.sweep_file_from(_core.read_source(file_name(file)), model.core)
    inputs.append(_core.input_of(asked))
    planned = planned_by(asked, model, threads)
    origin = {"origin": origin_words(inputs)}
    if ending == STORE:
        found = planned.stored(out, origin, sys.stderr.isatty())
    else:
        found = planned.found(sys.stderr.isatty())
        write_sweep(found, out, {name: found.attrs[name] for name in ("hold", "frame")} | origin)
    paper = console()
    sizes = " x ".join(f"{length:,} {spoken(printable(str(name)))}" for name, length in found.sizes.items())
    reached = int((found.status == 0).sum())
    states = f"{found.status.size:,} states" if found.status.size > 1 else "one state"
    paper.print(Text(f"{out}: {states} of {model.name}{sizes and f' ({sizes})'}, {reached:,} reached"))
    paper.print(Text(f"{found.attrs['frame']} frame, hold {found.attrs['hold']}\n"))
    if reached:
        paper.print(_table(found))
    for words in _not_reached(found):
        paper.print(bullet("!", words))
    for words in [*(doubt.text for doubt in beside_of(model, settings)), *invented_notes(inputs)]:
        paper.print(bullet("!", words))
    paper.print()
    print_origin(paper, inputs)


def _table(found: xr.Dataset) -> Table:
    """What each output is over the states that were reached."""
    table = plain_table(None)
    for column in ("", "least", "mean", "most", "deviation", ""):
        table.add_column(column, justify="left" if not column else "right", no_wrap=True)
    outputs = found[[name for name in found.data_vars if "sign" in found[name].attrs]]
    finite = outputs.where(np.isfinite(outputs))  # an instant axis may lie at infinity
    counts = finite.count().compute()
    finite = finite[[name for name in finite.data_vars if counts[name] > 0]]
    numbers = [of.compute() for of in (finite.min(), finite.mean(), finite.max(), finite.std())]
    for name in finite.data_vars:
        table.add_row(str(name), *(figure(float(of[name]), 4) for of in numbers), found[name].attrs["units"])
    return table


def _not_reached(found: xr.Dataset) -> list[str]:
    """What stands in the way, how often, and by how much at most."""
    said = []
    for code, meaning in enumerate(found.status.attrs["flag_meanings"].split()):
        these = found.status == code
        count = int(these.sum())
        if code == 0 or not count:
            continue
        most = {unit: float(found[f"short_by_{unit}"].where(these).max()) for unit in ("mm", "N")}
        by = " and ".join(f"{figure(amount, 3)} {unit}" for unit, amount in most.items() if amount > 0.0)
        said.append(f"{count:,} not reached: {spoken(meaning)}" + (f", by up to {by}" if by else ""))
    return said
