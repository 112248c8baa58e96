"""How a sheet of readings looks once it is read: text at 80 columns, value by value, then the sheet itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.console import Group
from rich.text import Text

from shimwise import _core
from shimwise.readings.repeats import Repeated
from shimwise.readings.settled import Settled
from shimwise.readings.sheet_read import SheetRead
from shimwise.shown import view
from shimwise.views.output_words import DIGITS
from shimwise.views.pieces import bullet, doubt_lines, plain_table, signs
from shimwise.words import figure, printable, spoken

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.table import Table

__all__ = ["sheet_read_view"]

_PARTS = 2  # of what a value is made of: the largest
_PART_WIDTH = 17  # "height gauge 100%"
_LEAST = 0.005
_PROVE_NONE = 3  # readings
_DIGITS_OF_UNIT = {"mm": 1, "kg": 1, "percent": 2, "deg": 3}


@view.register(SheetRead)
def sheet_read_view(sheet: SheetRead) -> RenderableType:
    """What is doubtful, every value, strings, gauge and repeats, and the notes."""
    parts: list[RenderableType] = doubt_lines(sheet.doubts)
    if parts:
        parts.append(Text())
    parts.append(Text(_title(sheet), style="bold"))
    angles = [name for name in ("toe", "camber", "thrust angle") if _follows(sheet, name)]
    if angles:
        parts.append(Text(sheet.frame))
    if not sheet.measured.keys:
        parts.append(Text("Nothing follows from this sheet: see the notes."))
    else:
        parts += [Text(), _values(sheet)]
        parts.append(
            Text(
                "u: one standard deviation. Anew: what of it comes anew at the next reading."
                + (f" {signs(angles)}" if angles else "")
            )
        )
    if lines := _sheet_lines(sheet):
        parts += [Text(), Text("The sheet itself", style="bold"), *(bullet("-", line) for line in lines)]
    if sheet.contradictions is not None:
        parts += [Text(), Text("Beside the car", style="bold"), *_fit_lines(sheet.contradictions)]
    if sheet.measured.notes:
        parts += [Text(), Text("Notes", style="bold"), *(bullet("-", note) for note in sheet.measured.notes)]
    return Group(*parts)


def _title(sheet: SheetRead) -> str:
    when = " ".join(printable(part) for part in (sheet.place, sheet.at) if part)
    return f"{printable(sheet.car)} as it was read{f', {when}' if when else ''}"


def _follows(sheet: SheetRead, name: str) -> bool:
    """Whether a value of this name, or a sum of such values, follows from the sheet."""
    return any(name in spoken(key) for key in sheet.measured.keys)


def _values(sheet: SheetRead) -> Table:
    """Wheel by wheel, then what is of the car."""
    table = plain_table("", gap=1)
    table.title = None
    table.add_column("", no_wrap=True)
    for column in ("value", "u", "anew"):
        table.add_column(column, justify="right", no_wrap=True)
    table.add_column("made of", min_width=_PART_WIDTH)
    places = [quantity.key.rpartition(".")[0] for quantity in sheet.measured.core.quantities]
    for corner in _core.CornerId.__members__:
        if corner in places:
            table.add_row(Text(spoken(corner), style="bold"))
        for i in (i for i, place in enumerate(places) if place == corner):
            table.add_row(*_value_row(sheet, i, sheet.measured.keys[i].rpartition(".")[2]))
    of_car = [i for i, place in enumerate(places) if place not in _core.CornerId.__members__]
    if of_car:
        table.add_row(Text("the car", style="bold"))
    for i in of_car:
        table.add_row(*_value_row(sheet, i, sheet.measured.keys[i]))
    return table


def _value_row(sheet: SheetRead, i: int, name: str) -> tuple[str, ...]:
    unit = sheet.measured.core.quantities[i].unit
    digits = DIGITS.get(name, _DIGITS_OF_UNIT[unit])
    return (
        f"  {spoken(name)}",
        figure(sheet.measured.values[i], digits, unit),
        figure(sheet.measured.core.uncertainties[i], digits + 1),
        figure(sheet.anew[i], digits + 1),
        ", ".join(f"{part.kind} {part.share:.0%}" for part in sheet.made_of[i][:_PARTS] if part.share >= _LEAST),
    )


def _sheet_lines(sheet: SheetRead) -> list[str]:
    """What it says of itself; what was not read, the notes say."""
    lines = _string_lines(sheet.strings) if sheet.strings else []
    if any(key.endswith(".camber") for key in sheet.measured.keys):
        zero = sheet.gauge_zero_deg
        source = _source_of_zero([check.zero_deg for check in sheet.gauge_checks])
        lines.append(
            f"Camber gauge: its zero is {figure(zero.value, 3, 'deg', sign=True)}, u {zero.uncertainty:.3f}, {source}."
        )
    sets = max((len(one.readings) for one in sheet.repeats if one.in_sets), default=0)
    if sets:
        lines.append(f"The sheet was read in {sets} sets, settled anew before each: their mean counts.")
    lines += [_settled_line(one) for one in sheet.settled]
    return lines + [_repeat_line(one) for one in sheet.repeats if not one.in_sets or one.outlier is not None]


def _source_of_zero(checks_deg: list[float]) -> str:
    if len(checks_deg) > 1:
        return f"by the mean of {len(checks_deg)} checks, {figure(max(checks_deg) - min(checks_deg), 3, 'deg')} apart"
    return "by its check" if checks_deg else "by the car file"


def _repeat_line(one: Repeated) -> str:
    digits = _DIGITS_OF_UNIT[one.unit]
    apart = figure(max(one.readings) - min(one.readings), digits, one.unit)
    often = f"in {len(one.readings)} sets" if one.in_sets else f"{len(one.readings)} times"
    line = f"{spoken(one.key)}: read {often}, {apart} apart; the mean counts"
    if one.outlier is not None:
        return (
            f"{line}, with {figure(one.outlier, digits, one.unit)} that stands out (Grubbs' test, 5 %): read it again."
        )
    return f"{line}. Three prove no outlier." if len(one.readings) == _PROVE_NONE else f"{line}."


_SETTLES = {"toe": "toe", "camber": "camber", "ride_height": "heights", "warp": "weights"}


def _settled_line(one: Settled) -> str:
    """What was seen beside what the file says, and what counts of the two."""
    digits = _DIGITS_OF_UNIT[one.unit] + 1
    low, high = one.within_95
    them = "it" if one.what in ("toe", "camber") else "them"
    by = figure(one.seen, digits, one.unit) if one.seen > 0.0 else "no more than the instruments do"
    seen = (
        f"{_SETTLES[one.what]}: settling scatters {them} by {by}, as {one.sets} sets show "
        f"(95 %: {figure(low, digits)} to {figure(high, digits)})"
    )
    if one.counts == one.of_file:
        return f"{seen}; the {figure(one.of_file, digits, one.unit)} of the car file counts."
    return f"{seen}, by {figure(one.of_file, digits)} in the car file; {figure(one.counts, digits, one.unit)} counts."


_TOLD = 3  # explanations
_WORTH_TELLING = 0.01  # of all chances
_SELDOM, _NEVER = 0.01, 0.001  # probabilities that a sound sheet fits worse


def _fit_lines(found: _core.Contradictions) -> list[RenderableType]:
    """How well all values fit together, and what would explain it, the likeliest first."""
    fits = "a good fit" if found.p >= _SELDOM else "a poor fit" if found.fits else "no fit"
    p = f"p {found.p:.3f}" if found.p >= _NEVER else f"p below {_NEVER}"
    values = "1 value" if found.degrees == 1 else f"{found.degrees} values"
    fit = f"{values} beside the car at rest: {fits} (chi-square {found.chi_square:.1f}, {p})."
    told = [slip for slip in found.slips[:_TOLD] if slip.chance >= _WORTH_TELLING]
    return [bullet("-", fit), *(bullet("-", f"{slip.words}: chance {slip.chance:.2f}.") for slip in told)]


def _string_lines(strings: _core.StringsRead) -> list[str]:
    """Whether each runs straight, what is taken off the toes beside it, and whether they lie centred."""
    lines = []
    for side, angle in zip(("left", "right"), strings.angle_deg, strict=True):
        sure = f"u {angle.uncertainty:.3f} deg"
        if round(angle.value, 3) == 0.0:
            lines.append(f"{side} string: parallel to the centre line, {sure}.")
            continue
        wider = "wider at the front" if angle.value > 0.0 else "wider at the rear"
        off = f"{side} string: {figure(abs(angle.value), 3)} deg {wider}, {sure}; taken off the toes beside it"
        lines.append(off + (", less sure than itself: set it anew." if angle.unsure else "."))
    for bar, off_mm in zip(("front", "rear"), strings.off_centre_mm, strict=True):
        lie = "centred"
        if round(off_mm.value, 1) != 0.0:
            lie = f"{figure(abs(off_mm.value), 1, 'mm')} {'left' if off_mm.value > 0.0 else 'right'} of centre"
        lines.append(f"{bar} bar: the strings lie {lie}, u {off_mm.uncertainty:.1f} mm.")
    return lines
