"""Readings sheets: exactly the fields that a car's readings take, empty, for paper or as a file to fill."""

from __future__ import annotations

import re
import textwrap
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from shimwise import _core
from shimwise.texts import printable, spoken, toml_text

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shimwise.car import Car

__all__ = ["Sheet", "sheet_of", "sheet_text", "sheet_toml"]


@dataclass
class TurnedLength:
    """A length that threads of the corner turn, as the settings have it."""

    adjusters: list[str]
    now_mm: float


@dataclass
class CornerSheet:
    """What is read at one corner."""

    flags: bool
    camber: bool
    scale: bool
    shims_mm: dict[str, list[float]] = field(default_factory=dict)  # by pack: what the settings have fitted
    lengths: dict[str, TurnedLength] = field(default_factory=dict)  # by name of the length


@dataclass
class Sheet:
    """What a readings file of a car may hold, with what is known before anything is read."""

    car: str
    ballast_kg: dict[str, float]
    steered: bool
    strings: bool
    pads: bool
    ride_heights: list[str]
    camber_gauge: bool
    corners: dict[str, CornerSheet]
    left_out: list[str]  # sentences: what this car's readings do not take, and why


def sheet_of(car: Car) -> Sheet:
    """Return the fields that `load_readings` takes for this car as it is set."""
    core, with_ = car.core, car.core.instruments
    ruler, gauge = with_.flag_ruler.resolution_mm > 0.0, with_.camber_gauge.resolution_deg > 0.0
    scale, heights = with_.scale.resolution_kg > 0.0, with_.height_gauge.resolution_mm > 0.0
    corners = {}
    for name, id_ in _core.CornerId.__members__.items():
        corner = core.corner(id_)
        read = corners[name] = CornerSheet(ruler and corner.flag_span_mm > 0.0, gauge, scale)
        for adjuster in corner.adjusters:
            if isinstance(adjuster.setting, _core.Stack):
                read.shims_mm[adjuster.name] = list(adjuster.setting.fitted_mm)
            elif (length := adjuster.length) and length != "spring_platform":
                now_mm = _core.present_length_mm(core, id_, length)
                if now_mm is not None:
                    read.lengths.setdefault(length, TurnedLength([], now_mm)).adjusters.append(adjuster.name)
    return Sheet(
        car=car.name,
        ballast_kg={ballast.name: ballast.now_kg for ballast in core.ballast},
        steered=any(core.corner(id_).steered for id_ in _core.CornerId.__members__.values()),
        strings=core.bars_apart_mm > 0.0,
        pads=with_.pad_level.resolution_mm > 0.0,
        ride_heights=[point.name for point in core.ride_heights] if heights else [],
        camber_gauge=gauge,
        corners=corners,
        left_out=_left_out(car, ruler=ruler, gauge=gauge, scale=scale, heights=heights),
    )


def _left_out(car: Car, *, ruler: bool, gauge: bool, scale: bool, heights: bool) -> list[str]:
    core = car.core
    span = all(core.corner(id_).flag_span_mm > 0.0 for id_ in _core.CornerId.__members__.values())
    wanted = (
        (ruler, "Flags", "[instruments] flag_ruler"),
        (span or not ruler, "Flags at every wheel", "setup_wheel flag_span_mm at each axle"),
        (gauge, "Camber", "[instruments] camber_gauge"),
        (scale, "Scales", "[instruments] scale"),
        (heights or not core.ride_heights, "Ride heights", "[instruments] height_gauge"),
        (bool(core.ride_heights), "Ride heights", "[ride_height_points]"),
        (core.instruments.pad_level.resolution_mm > 0.0, "Pads", "[instruments] pad_level"),
        (core.bars_apart_mm > 0.0, "Strings", "[strings] bars_apart_mm"),
    )
    return [f"{what}: the car file gives no {key}." for there, what, key in wanted if not there]


_LABEL, _CELL = 22, 14
_BLANK = "_" * (_CELL - 2)


def sheet_text(sheet: Sheet) -> str:
    """Return the sheet for paper, 80 columns, blanks to fill with a pen."""
    lines = [f"Readings of {printable(sheet.car)}", "", f"Place {'_' * 27}  Date, time {'_' * 20}  By {'_' * 9}", ""]
    lines += _state_lines(sheet)
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
    lines += ["", *_corner_lines(sheet)]
    if sheet.left_out:
        lines += ["", "NOT READ", *(f"  {sentence}" for sentence in sheet.left_out)]
    lines += ["", f"Remarks {'_' * 71}"]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _corners(sheet: Sheet) -> list[str]:
    return [spoken(name) for name in sheet.corners]


def _state_lines(sheet: Sheet) -> list[str]:
    lines = ["STATE, mark what holds", ""]
    for name, kg in sheet.ballast_kg.items():
        lines.append(f"  {printable(name)}, kg: {_BLANK} ({kg:g} in the car file)")
    choices = [("bars", "off", "on"), ("struts", "springs", "solid")]
    if sheet.steered:
        choices.insert(1, ("rack", "locked at centre", "free"))
    if sheet.ride_heights:
        choices.append(("heights from", "pads", "plate"))
    return lines + [f"  {what + ':':<14}[ ] {one:<18}[ ] {other}" for what, one, other in choices]


def _corner_lines(sheet: Sheet) -> list[str]:
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


def sheet_toml(sheet: Sheet) -> str:
    """Return a readings file in which every field stands as a comment: it loads, and nothing is read from it."""
    parts = [
        _HEAD.format(car=printable(sheet.car)),
        'format = "shimwise-readings/1"',
        _line("place", '"___"', ""),
        _line("at", "___", "a date, or date and time: 2026-05-02T08:10:00Z"),
        _line("remarks", '"___"', ""),
        "\n[state]",
    ]
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
        parts.append(_line("height_mm", f"{{ {all_four} }}", ""))
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


def _corner_toml(corner: CornerSheet) -> list[str]:
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
