"""A table of points, as a spreadsheet writes it: corner, point, x_mm, y_mm, z_mm. Every row that does not fit is named.

The columns may come in any order, separated by commas or semicolons. Empty lines and lines that start with # are left
out. What the points make together is checked by the car that they fill, see starter.py.
"""

from __future__ import annotations

import csv
import math
from itertools import pairwise
from os import PathLike

from shimwise import _core
from shimwise.arguments import file_name
from shimwise.points.cells import DECIMAL_COMMA, number_rule, text_of
from shimwise.points.rows import PointRow, PointsTable
from shimwise.words import printable

__all__ = ["COLUMNS", "load_points"]

COLUMNS = ("corner", "point", "x_mm", "y_mm", "z_mm")

_MOST_COMMAS = 3  # told one by one; a table that a spreadsheet wrote with commas throughout is told once


def load_points(path: str | PathLike[str]) -> PointsTable:
    """Read a table of points.

    Raises:
        InputError: with every problem of the file, one sentence each: line, field, value, rule.
    """
    reader = _Reader(file_name(path))
    reader.read()
    if reader.problems:
        raise _core.input_error(sorted(reader.problems, key=lambda problem: problem.line))
    return reader.table


class _Reader:
    def __init__(self, path: str) -> None:
        self.path = path
        self.table = PointsTable(path)
        self.problems: list[_core.Problem] = []
        self.named: list[_core.PointRow] = []  # well-formed or not
        self.decimal_commas: list[_core.Problem] = []
        self.all_named = True  # otherwise what seems to be missing may be in a row that cannot be told

    def fault(self, line: int, name: str, value: str, rule: str) -> None:
        shown = f'"{printable(value)}"' if value else ""
        self.problems.append(_core.Problem(self.path, line, 0, name, shown, printable(rule)))

    def read(self) -> None:
        text, self.table.read = text_of(self.path)
        lines = [(n, s) for n, s in enumerate(text.split("\n"), start=1) if s.strip(" \t,;") and s.strip()[0] != "#"]
        if not lines:
            self.fault(0, "", "", f"is empty: needs the header {_HEADER}, and a row for each point")
            return
        (number, header), *rows = lines
        separator = ";" if header.count(";") > header.count(",") else ","
        columns = self.header(number, header, separator)
        if columns is None:
            return
        for number, line in rows:
            self.row(number, line, separator, columns)
        if not rows:
            self.fault(number, "", "", "no row follows the header: needs one for each point")
        self.whole_table()

    def cells(self, number: int, line: str, separator: str) -> list[str]:
        try:
            (found,) = csv.reader([line], delimiter=separator, skipinitialspace=True, strict=True)
        except csv.Error:
            self.fault(number, "", "", "has a quote that is not closed, or text beside one")
            self.all_named = False
            return []
        return [cell.strip() for cell in found]

    def header(self, number: int, line: str, separator: str) -> list[str] | None:
        """The columns in their order; None where the rows cannot be told without them."""
        columns = [name.lower() for name in self.cells(number, line, separator)]
        while columns and not columns[-1]:
            columns.pop()
        if not columns:
            return None
        if not set(columns) & set(COLUMNS):
            tabs = ": here tabs part the columns, needs commas or semicolons" if "\t" in line else ""
            self.fault(number, "", "", f"is not the header {_HEADER}{tabs}")
            return None
        missing = [name for name in COLUMNS if name not in columns]
        for name in dict.fromkeys(columns):
            if name not in COLUMNS:
                hint = _core.did_you_mean(name, missing) or ": take it out"
                self.fault(number, "column", name, f"is not known{hint}")
            elif columns.count(name) > 1:
                self.fault(number, "column", name, "stands twice")
        for name in missing:
            self.fault(number, "column", name, f"is missing: needs {_HEADER}")
        return None if missing or len(set(columns)) < len(columns) else columns

    def row(self, number: int, line: str, separator: str, columns: list[str]) -> None:
        cells = self.cells(number, line, separator)
        while len(cells) > len(columns) and not cells[-1]:
            cells.pop()
        if not cells:
            return
        if [cell.lower() for cell in cells] == columns:
            self.fault(number, "", "", "is the header again")
            return
        cells += ["" for name in columns[len(cells) :] if name not in COLUMNS]
        if len(cells) != len(columns):
            self.all_named = False
            digits = [cell.removeprefix("-").isdigit() for cell in cells]
            split = separator == "," and any(a and b for a, b in pairwise(digits)) and len(cells) > len(columns)
            comma = ": a number has a point, not a decimal comma" if split else ""
            self.fault(number, "", "", f"has {_counted(len(cells), 'cell')}, the header has {len(columns)}{comma}")
            return
        of = dict(zip(columns, cells, strict=True))
        corners, points = list(_core.CornerId.__members__), _core.table_point_names()
        corner, point = of["corner"], of["point"]
        if corner not in corners:
            self.fault(number, "corner", corner, f"is no corner{_core.did_you_mean(corner, corners)}")
        if point not in points:
            hint = _core.did_you_mean(point, points) or "; `shimwise new --help` lists them"
            self.fault(number, "point", point, f"is no point{hint}")
        x, y, z = (self.number(number, name, of[name]) for name in COLUMNS[2:])
        if corner not in corners or point not in points:
            self.all_named = False
            return
        place = None if any(map(math.isnan, (x, y, z))) else (x, y, z)
        self.named.append(_core.PointRow(number, _core.CornerId.__members__[corner], point, place))
        if place is not None:
            self.table.rows.setdefault(corner, {})[point] = PointRow(number, place)

    def number(self, line: int, name: str, cell: str) -> float:
        """The number of a cell; NaN where it is none, and said."""
        rule = number_rule(cell)
        if rule:
            self.fault(line, name, cell, rule)
            if rule.startswith(DECIMAL_COMMA):
                self.decimal_commas.append(self.problems[-1])
            return math.nan
        return float(cell)

    def whole_table(self) -> None:
        if len(self.decimal_commas) > _MOST_COMMAS:
            first, more = self.decimal_commas[0], len(self.decimal_commas) - 1
            self.problems = [problem for problem in self.problems if DECIMAL_COMMA not in problem.rule]
            rule = f"{DECIMAL_COMMA}, and so have {more} more numbers: save the table with points"
            self.problems.append(_core.Problem(self.path, first.line, 0, first.field, first.value, rule))
        self.problems += _core.point_table_problems(self.path, self.named, self.all_named)


_HEADER = ", ".join(COLUMNS)


def _counted(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"
