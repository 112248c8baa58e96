"""`shimwise accept`."""

from __future__ import annotations

import contextlib
from pathlib import Path

import click

from shimwise import _core
from shimwise.baselines.baseline import accept as accepted
from shimwise.cli.shared import beside_of, car_of, console, file_option, print_origin, settings_option
from shimwise.readings.readings import load_readings
from shimwise.views.pieces import bullet, doubt_lines
from shimwise.words import printable

__all__ = ["accept"]


@click.command()
@click.argument("car", metavar="CAR")
@click.argument("readings", metavar="READINGS")
@click.option("--reason", required=True, metavar="TEXT", help="Why this state is accepted.")
@file_option("--out", required=True, metavar="FILE", help="The new file; one that exists is not written over.")
@file_option("--replaces", metavar="BASELINE", help="The baseline that this one takes the place of.")
@settings_option
def accept(car: str, readings: str, reason: str, out: str, replaces: str | None, settings: str | None) -> None:
    """Write what was read of a car as its baseline.

    From now on this is how it should stand: values with covariance, the sheet as it was typed, settings, packs, boxes,
    lengths, pads, state and reason, with the digests of car, sheet and the baseline that it replaces.
    """
    model, inputs = car_of(car, settings)
    taken = load_readings(readings, model)
    inputs.append(_core.input_of(taken.core))
    baseline = accepted(model, taken, reason, out, replaces=replaces)
    doubts = [*beside_of(model, settings), *_core.doubts(model.core), *_core.doubts(taken.reduce().core, model.core)]
    sentences = [doubt.text for doubt in doubts]
    if replaces is not None:
        older = _core.older_words(baseline.core, _core.baseline_alone_from(_core.read_source(replaces)))
        sentences += [f"{older}."] if older else []
    paper = console()
    for line in doubt_lines(sentences):
        paper.print(line)
    before = f", which replaces {baseline.core.replaces[:8]}" if baseline.core.replaces else ", the first of its kind"
    paper.print(f"{printable(out)}: the baseline {baseline.digest[:8]} of {printable(model.name)}{before}.")
    others = [] if replaces else _others_beside(out, model.name)
    if others:
        said = f"Beside it lies {', '.join(others)} of this car: `--replaces` says which one this follows."
        paper.print(bullet("?", printable(said)))
    print_origin(paper, inputs)


def _others_beside(out: str, car: str) -> list[str]:
    """Names of the other baselines of a car in this one's folder."""
    others = []
    for path in sorted(Path(out).parent.glob("*.toml")):
        with contextlib.suppress(_core.InputError):
            source = _core.read_source(str(path))
            is_other = path.name != Path(out).name and _core.is_baseline(source)
            if is_other and _core.baseline_alone_from(source).car == car:
                others.append(path.name)
    return others
