"""An empty readings sheet: for paper at 80 columns, and as a readings file to fill."""

from __future__ import annotations

import re
import textwrap
from typing import TYPE_CHECKING

from shimwise.words import printable, spoken, toml_text

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shimwise import _core

__all__ = ["sheet_text", "sheet_toml"]

_LABEL, _CELL = 22, 14
_BLANK = "_" * (_CELL - 2)


def sheet_text(sheet: _core.Sheet) -> str:
    """Return the sheet for paper, 80 columns, blanks to fill with a pen."""
    lines = [f"Readings of {printable(sheet.car)}", "", f"Place {'_' * 27}  Date, time {'_' * 20}  By {'_' * 9}", ""]
    lines += _state_lines(sheet)
    if names := _instruments(sheet):
        lines += ["", "READ WITH, where there are several", ""]
        lines += [f"{'  ' + spoken(name):<{_LABEL}}{_BLANK}" for name in names]
    if sheet.pads:
        lines += ["", *_wrapped("PADS, height, mm", _corners(sheet)), ""]
        lines += _wrapped("  from a common zero", [_BLANK for _ in sheet.corners])
    lines += ["", f"  Packing at hand, mm {'_' * 57}"]
    if sheet.strings:
        lines += ["", "STRINGS to the middle of the car, mm", ""]
        lines += [f"{f'  {end} bar':<{_LABEL}}left  {_BLANK}    right  {_BLANK}" for end in ("front", "rear")]
    if sheet.camber_gauge:
        lines += ["", "CAMBER GAUGE on one surface, deg", "", f"{'':<{_LABEL}}facing {_BLANK}   turned {_BLANK}"]
    if sheet.ride_heights:
        lines += ["", "RIDE HEIGHTS over the ground, mm; a second reading where there is time", ""]
        lines += [_pieces(f"  {printable(spoken(name))}", [_BLANK, _BLANK]) for name in sheet.ride_heights]
    if sheet.skid:
        lines += ["", f"SKID BOARD, thickness now, mm {_BLANK}"]
    lines += ["", *_corner_lines(sheet)]
    if sheet.left_out:
        lines += ["", "NOT READ", *(f"  {sentence}" for sentence in sheet.left_out)]
    lines += ["", f"Remarks {'_' * 71}"]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _corners(sheet: _core.Sheet) -> list[str]:
    return [spoken(name) for name in sheet.corners]


def _state_lines(sheet: _core.Sheet) -> list[str]:
    lines = ["STATE, mark what holds", ""]
    for name, kg in sheet.ballast_kg.items():
        lines.append(f"  {printable(name)}, kg: {_BLANK} ({kg:g} in the car file)")
    choices = [("bars", "off", "on"), ("struts", "springs", "solid")]
    if sheet.steered:
        choices.insert(1, ("rack", "locked at centre", "free"))
    if sheet.ride_heights:
        choices.append(("heights from", "pads", "plate"))
    return lines + [f"  {what + ':':<14}[ ] {one:<18}[ ] {other}" for what, one, other in choices]


def _corner_lines(sheet: _core.Sheet) -> list[str]:
    corners = list(sheet.corners.values())
    lines = _wrapped("CORNERS", _corners(sheet))
    if any(c.flags for c in corners):
        blanks = _blanks(c.flags for c in corners)
        lines += ["", "Flag to string, mm", *_wrapped("  front flag", blanks), "", *_wrapped("  rear flag", blanks)]
    if any(c.camber for c in corners):
        blanks = _blanks(c.camber for c in corners)
        lines += ["", "Camber, deg, with its sign", *_wrapped("  as always held", blanks)]
        lines += ["", *_wrapped("  turned (if read)", blanks)]
    if any(c.scale for c in corners):
        lines += ["", *_wrapped("Scale, kg", _blanks(c.scale for c in corners))]
    if packs := _names(c.shims_mm for c in corners):
        lines += ["", "Shims fitted, mm (below: as the car is set)"]
    for pack in packs:
        lines += _wrapped(f"  {printable(pack)}", _blanks(pack in c.shims_mm for c in corners))
        lines += _wrapped("", [_pack(c.shims_mm[pack]) if pack in c.shims_mm else "" for c in corners])
    if lengths := _names(c.lengths for c in corners):
        lines += ["", "Lengths eye to eye, mm (below: as the car is set)"]
    for name in lengths:
        words = _names(c.lengths[name].adjusters for c in corners if name in c.lengths)
        lines += _wrapped(f"  {printable(', '.join(words))}", _blanks(name in c.lengths for c in corners))
        lines += _wrapped("", [f"{c.lengths[name].now_mm:.2f}" if name in c.lengths else "" for c in corners])
    return lines


def _blanks(there: Iterable[bool]) -> list[str]:
    return [_BLANK if one else "" for one in there]


def _names(tables: Iterable[Iterable[str]]) -> list[str]:
    return list(dict.fromkeys(name for table in tables for name in table))


def _pack(shims_mm: list[float]) -> str:
    return " + ".join(f"{mm:g}" for mm in shims_mm) or "none"


def _wrapped(label: str, cells: list[str]) -> list[str]:
    """A row whose label and cells run over several lines where they are long."""
    columns = [textwrap.wrap(label, _LABEL - 1, subsequent_indent="  ", drop_whitespace=False) or [""]]
    columns += [textwrap.wrap(cell, _CELL - 1) or [""] for cell in cells]
    height = max(map(len, columns))
    rows = [[column[i] if i < len(column) else "" for column in columns] for i in range(height)]
    return [_pieces(row[0], row[1:]) for row in rows]


def _pieces(label: str, cells: list[str]) -> str:
    return f"{label:<{_LABEL}}" + "".join(f"{cell:<{_CELL}}" for cell in cells)


_HEAD = """\
# Readings of {car}, to fill in. Type over each ___ of a line, and take the "# " before it away.
# A line that stays as it is was not read."""


def sheet_toml(sheet: _core.Sheet) -> str:
    """Return a readings file in which every field stands as a comment: it loads, and nothing is read from it."""
    parts = [
        _HEAD.format(car=printable(sheet.car)),
        'format = "shimwise-readings/1"',
        _line("place", '"___"', ""),
        _line("at", "___", "a date, or date and time: 2026-05-02T08:10:00Z"),
        _line("remarks", '"___"', ""),
        *([_line("skid_mm", "___", "thickness of the board now")] if sheet.skid else []),
    ]
    if names := _instruments(sheet):
        note = "which of several, or left as it is"
        parts += ["\n[instruments]", *(_line(name, '"___"', note) for name in names)]
    parts.append("\n[state]")
    parts += [_line(f"ballast_kg.{_key(n)}", "___", f"{kg:g} in the car file") for n, kg in sheet.ballast_kg.items()]
    parts.append(_line("bars", '"___"', "off or on"))
    if sheet.steered:
        parts.append(_line("rack", '"___"', "locked at centre, or free"))
    parts.append(_line("struts", '"___"', "springs or solid"))
    if sheet.ride_heights:
        parts.append(_line("heights_from", '"___"', "pads or plate"))
    if sheet.strings:
        both = "{ left = ___, right = ___ }"
        parts += [
            "\n[strings]",
            _line("front_bar_mm", both, "string to the middle of the car"),
            _line("rear_bar_mm", both, ""),
        ]
    parts.append("\n[pads]")
    if sheet.pads:
        all_four = ", ".join(f"{corner} = ___" for corner in sheet.corners)
        parts.append(_line("height_mm", f"{{ {all_four} }}", "or steps_mm: a list of { from, to, up }"))
    parts.append(_line("packing_mm", "[___]", "at hand: [0.1, 0.2]"))
    if sheet.ride_heights:
        parts.append("\n[ride_heights_mm]")
        parts += [
            _line(_key(name), "___", "if read twice: [30.0, 30.5]" if i == 0 else "")
            for i, name in enumerate(sheet.ride_heights)
        ]
    if sheet.camber_gauge:
        check = "{ facing = ___, turned = ___ }"
        parts += ["\n[gauge_check]", _line("camber_gauge_deg", check, "one surface, both ways round")]
    for name, corner in sheet.corners.items():
        parts += [f"\n[{name}]", *_corner_toml(corner)]
    return "\n".join(parts) + "\n"


def _instruments(sheet: _core.Sheet) -> list[str]:
    """Those with errors that last, as far as this car's sheet is read with them."""
    read_with = {
        "strings": sheet.strings,
        "camber_gauge": sheet.camber_gauge,
        "scale": any(corner.scale for corner in sheet.corners.values()),
    }
    return [name for name, used in read_with.items() if used]


def _corner_toml(corner: _core.CornerSheet) -> list[str]:
    lines = []
    if corner.flags:
        lines.append(_line("flags_mm", "{ front = ___, rear = ___ }", "flag to string"))
    if corner.camber:
        lines.append(_line("camber_deg", "___", "if read both ways round: { facing = -2.7, turned = 2.8 }"))
    if corner.scale:
        lines.append(_line("scale_kg", "___", ""))
    for pack, shims_mm in corner.shims_mm.items():
        lines.append(_line(f"shims_mm.{_key(pack)}", "[___]", f"{_pack(shims_mm)} as the car is set"))
    for length, turned in corner.lengths.items():
        about = f"{', '.join(turned.adjusters)}: {turned.now_mm:.2f} as the car is set"
        lines.append(_line(f"lengths_mm.{_key(length)}", "___", about))
    return lines


def _line(key: str, blank: str, note: str) -> str:
    return f"{f'# {key} = {blank}':<40}  # {printable(note)}" if note else f"# {key} = {blank}"


def _key(name: str) -> str:
    return name if re.fullmatch(r"[A-Za-z0-9_-]+", name) else toml_text(name)
