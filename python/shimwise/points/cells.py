"""The text of a table that a spreadsheet wrote, and what may stand in a cell for a number of mm."""

from __future__ import annotations

import codecs
import re
from pathlib import Path

from shimwise import _core

__all__ = ["DECIMAL_COMMA", "number_rule", "text_of"]

DECIMAL_COMMA = "has a decimal comma"
_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?", re.ASCII | re.IGNORECASE)
_FARTHEST_MM = 20_000.0  # from the origin


def text_of(path: str) -> tuple[str, _core.Input]:
    """Return the text of a file, its lines ended by a line feed alone, and the file as it was read.

    Raises:
        InputError: there is no such file, or it is not UTF-8 text.
    """
    if Path(path).is_dir():
        raise _core.InputError(f"{path}: is a folder, a table of points is needed")
    try:
        raw = Path(path).read_bytes()
    except FileNotFoundError:
        raise _core.InputError(f"{path}: there is no such file") from None
    except OSError as error:
        raise _core.InputError(f"{path}: cannot be opened for reading: {error.strerror}") from None
    read = _core.Input("points", path, raw)
    if raw.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        try:
            raw = raw.decode("utf-16").encode()
        except UnicodeDecodeError:
            raise _core.InputError(f"{path}: starts as UTF-16 text and is none: save it as UTF-8") from None
    if b"\0" in raw:
        raise _core.InputError(f"{path}: is not a text file: save the table as CSV, in UTF-8")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise _core.InputError(f"{path}:{line}: is not UTF-8 text: save the table as CSV, in UTF-8") from None
    return text.replace("\r\n", "\n").replace("\r", "\n"), read


def number_rule(cell: str) -> str:
    """Return what is wrong with a cell that should hold a number; empty where nothing is."""
    if not cell:
        return "is empty: needs a number"
    if re.fullmatch(r"[+-]?(nan|inf|infinity)", cell, re.IGNORECASE):
        return "is not a finite number"
    if not _NUMBER.fullmatch(cell):
        if re.fullmatch(r"[+-]?\d+,\d+", cell):
            return f"{DECIMAL_COMMA}: write {cell.replace(',', '.')}"
        if unit := re.fullmatch(r"[+-]?[\d.]+\s*([a-z\"']+)", cell, re.IGNORECASE):
            return f"is not a number: leave {unit[1]} away"
        return "is not a number"
    if not abs(float(cell)) <= _FARTHEST_MM:
        return f"lies more than {_FARTHEST_MM / 1000:g} m from the origin: needs mm"
    return ""
