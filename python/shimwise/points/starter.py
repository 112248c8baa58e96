"""A starter car with readings and targets: commented files to type one's own numbers into.

What a table of points does not bring is invented, and said so in the file. It is written only if it passes `check`.
"""

from __future__ import annotations

import signal
import tempfile
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from shimwise import _core
from shimwise.car import load_car
from shimwise.points.draft import CarDraft, sizes_of, template, vector
from shimwise.readings.readings import load_readings, load_targets

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shimwise.car import Car
    from shimwise.points.rows import PointsTable

__all__ = ["FILES", "Starter", "make_starter", "write_starter"]

FILES = ("car.toml", "readings.toml", "targets.toml")


@dataclass
class Starter:
    """The three files, and what a table of points did not bring."""

    texts: dict[str, str]
    invented: list[str] = field(default_factory=list)  # "rear_left.pushrod.outer": points that no row gives
    to_check: list[str] = field(default_factory=list)  # sentences: what had to be guessed


def make_starter(name: str, table: PointsTable | None = None) -> Starter:
    """Return a starter car that passes `check`, with readings and targets for it.

    Args:
        name: the car's name.
        table: points that replace the invented ones; right rows give a right side of its own.

    Raises:
        InputError: the car with these points does not pass `check`; every problem is named by the table's rows.
    """
    draft = CarDraft(name, table)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / FILES[0]
        try:
            path.write_text(draft.car_text(), encoding="utf-8")
            sizes = sizes_of(load_car(path))
            path.write_text(draft.car_text(sizes), encoding="utf-8")
            car = load_car(path)
        except _core.InputError as error:
            if table is None:
                raise
            raise _core.input_error(_by_rows(error.problems, table)) from None
        if problems := _stuck(car, table):
            raise _core.input_error(problems)
        starter = Starter({FILES[0]: draft.car_text(sizes)}, draft.invented(), draft.to_check())
        for file, load in ((FILES[1], load_readings), (FILES[2], load_targets)):
            starter.texts[file] = template(file).template
            other = Path(folder) / file
            other.write_text(starter.texts[file], encoding="utf-8")
            load(other, car)
    return starter


def write_starter(starter: Starter, folder: Path) -> list[Path]:
    """Write the three files into a folder, which is made if it is not there: all of them, or none.

    Raises:
        InputError: one of the files exists already, or cannot be written.
    """
    if folder.exists() and not folder.is_dir():
        raise _core.InputError(f"{folder}: is a file, a folder is needed")
    paths = [folder / name for name in starter.texts]
    if there := [path for path in paths if path.exists()]:
        raise _core.InputError("\n".join(f"{path}: exists already and is not written over" for path in there))
    home = next(parent for parent in (folder, *folder.parents) if parent.exists())
    try:
        if home == folder:
            _write_each(starter, folder)
        else:  # written aside and moved in one piece: a folder that is new appears with all three
            with tempfile.TemporaryDirectory(prefix=".shimwise-", dir=home) as aside:
                inner = Path(aside) / folder.relative_to(home)
                inner.mkdir(parents=True)
                _write_each(starter, inner)
                (new,) = Path(aside).iterdir()
                new.rename(home / new.name)
    except OSError as error:
        raise _core.InputError(f"{folder}: cannot be written: {error.strerror}") from None
    return paths


def _write_each(starter: Starter, folder: Path) -> None:
    """Where one name was taken meanwhile, the others are given up again; an interrupt waits."""
    written: list[Path] = []
    held = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        for name, text in starter.texts.items():
            _core.write_new_file(str(folder / name), text)
            written.append(folder / name)
    except (_core.InputError, OSError):
        for path in written:
            path.unlink()
        raise
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, held)


def _stuck(car: Car, table: PointsTable | None) -> list[_core.Problem]:
    """The left corners, and the right ones with rows of their own, at which a step of an adjuster cannot be made."""
    found = []
    for name, corner in car.corners.items():
        rows = table.rows.get(name, {}) if table else {}
        if not rows and "right" in name:
            continue
        try:
            for hold in ("contact", "spring"):
                corner.effect_table(hold)
        except _core.OutOfReach as error:
            line = min((row.line for row in rows.values()), default=0)
            why = str(error).removeprefix(f"{name}: ")
            rule = f"a step of an adjuster cannot be made with these points: {why}"
            found.append(_core.Problem(table.file if table else "", line, 0, name, "", rule))
    return found


def _by_rows(problems: Iterable[_core.Problem], table: PointsTable) -> list[_core.Problem]:
    """Problems of the filled car, named by the rows that its points come from."""
    found: dict[tuple[int, str], _core.Problem] = {}
    for problem in problems:
        corner, _, part = problem.field.partition(".")
        left = corner.replace("_right", "_left")
        right_rows = table.rows.get(corner, {}) if corner != left else {}
        rows = {
            point: row
            for point, row in (table.rows.get(left, {}) | right_rows).items()
            if point == part or point.startswith(f"{part}.")
        }
        lines = sorted(row.line for row in rows.values())
        name = f"{corner if rows.keys() & right_rows.keys() else left}.{part}"
        line, value, rule = (lines or [0])[0], "", problem.rule
        if len(lines) == 1:
            value = vector(rows[part].at) if part in rows else ""
        elif lines:
            rule += f" (lines {', '.join(map(str, lines[:-1]))} and {lines[-1]})"
        else:
            rule += "; this is invented, and does not fit the points of the table"
        found.setdefault((line, part), _core.Problem(table.file, line, 0, name, value, rule))
    return sorted(found.values(), key=lambda problem: problem.line)
