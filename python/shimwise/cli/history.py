"""`shimwise history`."""

from __future__ import annotations

from pathlib import Path

import click

from shimwise import _core
from shimwise.baselines.history import History
from shimwise.baselines.history import history as history_of
from shimwise.cli.shared import console, csv_option, json_option, write_csv, write_json
from shimwise.views.history import history_view

__all__ = ["history"]


@click.command()
@click.argument("folder", metavar="FOLDER")
@json_option
@csv_option
def history(folder: str, as_json: bool, as_csv: bool) -> None:
    """Show the baselines of a folder, which replaced which, and whether a value drifts.

    Of each value the straight line through the chain with its uncertainty, and whether it is more than noise. Forks,
    gaps, and files that were changed are said first. Ends with 0 whatever was found.
    """
    found = history_of(folder)
    if as_json:
        write_json(found.as_dict() | {"shimwise": _core.__version__})
    elif as_csv:
        _write_csv(found)
    else:
        out = console()
        out.print(history_view(found))


def _write_csv(found: History) -> None:
    """A row for each value of each baseline."""
    header = ["file", "digest", "at", "in_chain", "key", "value", "uncertainty", "anew", "unit"]
    rows = (
        (
            Path(one.baseline.file).name,
            one.baseline.digest,
            one.baseline.at,
            one.in_chain,
            value.key,
            value.value,
            value.uncertainty,
            value.anew,
            value.unit,
        )
        for one in found.core.accepted
        for value in one.baseline.values
    )
    write_csv(header, rows, {"car": found.core.car}, [])
