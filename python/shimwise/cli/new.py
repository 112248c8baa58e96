"""`shimwise new`."""

from __future__ import annotations

import shlex
from pathlib import Path

import click
from rich.text import Text

from shimwise import _core
from shimwise.cli.shared import console, file_option, json_option, print_origin, write_json
from shimwise.data_of import origin
from shimwise.points import table as points_table
from shimwise.points.rows import PointsTable
from shimwise.points.starter import Starter, make_starter, write_starter
from shimwise.views.pieces import bullet

__all__ = ["new"]


@click.command(
    epilog="POINTS, named for each corner (front_left, rear_left; right rows only where the right side differs):"
    f" {', '.join(_core.table_point_names())}. x points forward, y to the left, z up, in mm. rocker.axis_direction is"
    " no point but a direction: 1, 0, 0 for a bolt that lies along the car. docs/formats.md says what each is."
)
@click.argument("folder", metavar="DIR")
@file_option("--points", metavar="FILE.csv", help=f"Your points, with the header: {', '.join(points_table.COLUMNS)}.")
@click.option("--name", default="My car", show_default=True, help="The car's name.")
@json_option
def new(folder: str, points: str | None, name: str, as_json: bool) -> None:
    """Write a starter car with readings and targets into a folder, to type your own numbers into.

    Every number is invented and says so, but for the points that a table brings. Nothing is written over.
    """
    if not folder.strip():
        raise click.BadParameter("needs the name of a folder", param_hint="DIR")
    if not name.strip() or not name.isprintable():
        raise _core.InputError(f"--name {name!r}: needs a name in printable letters")
    table = points_table.load_points(points) if points else None
    starter = make_starter(name, table)
    paths = write_starter(starter, Path(folder))
    commands = _next_commands(paths)
    inputs = [table.read] if table and table.read else []
    if as_json:
        write_json(
            {
                "car": name,
                "files": [str(path) for path in paths],
                "invented_points": starter.invented,
                "to_check": starter.to_check,
                "next": commands,
            }
            | origin(*inputs)
        )
        return
    out = console()
    for path, about in zip(
        paths, ("the car, a comment at every line", "a morning's readings", "what the car should read"), strict=True
    ):
        out.print(Text(f"{path}: {about}"), soft_wrap=True)
    out.print()
    for line in _told(starter, table):
        out.print(bullet("-", line))
    out.print("\nNext:")
    for command in commands:
        out.print(Text(f"  {command}"), soft_wrap=True)
    if inputs:
        print_origin(out, inputs)


def _told(starter: Starter, table: PointsTable | None) -> list[str]:
    if table is None:
        return [
            "Every number is invented. Replace them line by line, and take the word INVENTED out of the line.",
            "A table of your points saves most of the typing: shimwise new --help.",
        ]
    count = sum(len(rows) for rows in table.rows.values())
    lines = [f"{count} points taken from {table.file}."]
    if starter.invented:
        left_out = _grouped(starter.invented, table)
        lines.append(f"Points that it does not bring, and that are still invented: {left_out}.")
    lines.append(
        "Invented too, as no table of points holds them: toe and camber as drawn, setup wheels, masses, springs,"
        " adjusters, shims, instruments. Their lines say INVENTED."
    )
    return lines + starter.to_check


def _grouped(points: list[str], table: PointsTable) -> str:
    """ "front_left pushrod.outer, pushrod.inner; all of rear_left" """
    corners: dict[str, list[str]] = {}
    for point in points:
        corner, _, name = point.partition(".")
        corners.setdefault(corner, []).append(name)
    return "; ".join(
        f"{corner} {', '.join(names)}" if corner in table.rows else f"all of {corner}"
        for corner, names in corners.items()
    )


def _next_commands(paths: list[Path]) -> list[str]:
    car, readings, targets = (shlex.quote(str(path)) for path in paths)
    return [
        f"shimwise check {car}",
        f"shimwise effects {car}",
        f"shimwise sheet {car}",
        f"shimwise plan {car} {readings} {targets}",
    ]
