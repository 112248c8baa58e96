"""How the wear of a skid looks: text at 80 columns."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.console import Group
from rich.text import Text

from shimwise import _core
from shimwise.readings.skid import SkidWear
from shimwise.shown import view
from shimwise.views.pieces import bullet, caution_lines, plain_table
from shimwise.words import figure, printable, spoken

if TYPE_CHECKING:
    from collections.abc import Callable

    from rich.console import RenderableType
    from rich.table import Table

__all__ = ["skid_view"]

_MOST_LETTERS = 14  # of a point's name, so that its table fits into 80 columns
_NO_END_KM = 9_999_999.0


@view.register(SkidWear)
def skid_view(found: SkidWear) -> RenderableType:
    """What is worn, what is left, what ride heights do, and what the numbers mean."""
    told = [(point, point.outlook) for point in found.wear.points if point.outlook is not None]
    parts: list[RenderableType] = [Text(_title(found), style="bold"), _now(found), Text()]
    parts += [Text(f"After the next run, {found.wear.next_km:g} km", style="bold"), _next(told)]
    parts.append(Text(_foot(found)))
    by_height = [(point, by) for point, _ in told for by in point.by_height]
    if by_height:
        parts += [Text(), *_heights(by_height, found)]
    refused = [bullet("!", f"{printable(spoken(p.point))}: {p.refused}.") for p in found.wear.points if p.refused]
    notes = refused + [bullet("-", printable(note)) for note in found.wear.notes]
    if notes:
        parts += [Text(), *notes]
    if found.asked.lasts_km is not None and by_height:
        parts += [Text(), *caution_lines(_core.cautions())]
    return Group(*parts)


def _title(found: SkidWear) -> str:
    of_car = f" of {printable(found.car)}" if found.car else ""
    return f"The skid{of_car} at {found.wear.now_km:g} km"


def _table(*columns: str) -> Table:
    table = plain_table(None)
    for column in columns:
        table.add_column(column, justify="left" if column == "" else "right", no_wrap=True)
    return table


def _name(point: _core.PointWear) -> str:
    name = printable(spoken(point.point))
    return name if len(name) <= _MOST_LETTERS else name[: _MOST_LETTERS - 3] + "..."


def _now(found: SkidWear) -> Table:
    gaps = any(point.gap_mm is not None for point in found.wear.points)
    under = ("gap", f"at {found.core.least_mm:g}") if gaps else ()
    table = _table("", "read", "worn", "checks", "mm / 100 km", "95 %", *under)
    for point in found.wear.points:
        rate = point.outlook.wear_mm_per_100_km if point.outlook else None
        read = (figure(point.last_mm, 2), figure(point.worn_mm, 2)) if point.checks else ("", "")
        gap = (figure(point.gap_mm, 1), figure(point.gap_at_least_mm, 1)) if gaps else ()
        rates = (figure(rate.value, 3), _within(rate, 3)) if rate else ("", "")
        table.add_row(_name(point), *read, str(point.checks), *rates, *gap)
    return table


def _next_table() -> Table:
    return _table("", "reads", "95 %", "under", "km left", "95 %")


def _next(told: list[tuple[_core.PointWear, _core.Outlook]]) -> Table:
    table = _next_table()
    for point, seen in told:
        table.add_row(_name(point), *_next_cells(seen))
    return table


def _next_cells(seen: _core.Outlook) -> list[str]:
    reads, left = seen.after_next_mm, seen.left_km
    chance = _chance(seen.chance_under)
    return [figure(reads.value, 2), _within(reads, 2), chance, _km(left.value) or "-", _between(left, _km)]


def _within(estimate: _core.Estimate, digits: int) -> str:
    return f"{figure(estimate.low, digits)} to {figure(estimate.high, digits)}"


def _between(reached: _core.Reached, as_text: Callable[[float | None], str]) -> str:
    """An interval, either of whose ends may be open."""
    low, high = as_text(reached.low), as_text(reached.high)
    if low and high:
        return f"{low} to {high}"
    if low:
        return f"{low} or more"
    return f"{high} or less" if high else "not told"


def _km(value: float | None) -> str:
    if value is None:
        return ""
    if value <= 0.0:
        return "none"
    return figure(value, 0) if value < _NO_END_KM else "millions"


def _mm(value: float | None) -> str:
    if value is None:
        return ""
    return figure(value, 1) if value > 0.0 else "0"


def _chance(chance: float) -> str:
    if chance < 0.001:
        return "< 0.1 %"
    return "> 99.9 %" if chance > 0.999 else f"{100.0 * chance:.1f} %"


def _foot(found: SkidWear) -> str:
    core = found.core
    practice = [
        words
        for words, common in (
            (f"new {core.new_mm:g} mm", core.new_is_common_practice),
            (f"least {core.least_mm:g} mm", core.least_is_common_practice),
        )
        if common
    ]
    alone = [printable(spoken(p.point)) for p in found.wear.points if p.outlook and p.scatter.degrees == 0]
    least = f"{core.least_mm:g} mm"
    lines = [f"Thickness in mm. Under: of one reading, under {least}. Km left: until the mean is {least}."]
    if alone:
        lines.append(f"Scatter of {', '.join(alone)}: the gauge's alone, {core.gauge_uncertainty_mm:g} mm.")
    if any(point.gap_mm is not None for point in found.wear.points):
        lines.append(f"Gap: from skid to ground at the ride heights of the last check, now and with a skid of {least}.")
    if practice:
        lines.append(f"Common practice, no source: {', '.join(practice)}.")
    return " ".join(lines)


def _heights(by_height: list[tuple[_core.PointWear, _core.WearByHeight]], found: SkidWear) -> list[RenderableType]:
    lines: list[RenderableType] = []
    names = list(dict.fromkeys(by.height for _, by in by_height))
    for name in names:
        slopes, then = _table("", "at", "mm/100 km", "95 %", "mm up", "95 %"), _next_table()
        lasting: list[RenderableType] = []
        for point, by in by_height:
            if by.height != name:
                continue
            rate, less = by.outlook.wear_mm_per_100_km, by.less_mm_per_100_km
            rates = (figure(rate.value, 3), _within(rate, 3), figure(less.value, 3), _within(less, 3))
            slopes.add_row(_name(point), figure(by.now_mm, 1), *rates)
            then.add_row(_name(point), *_next_cells(by.outlook))
            if by.lasts_mm is not None:
                lasting.append(bullet("-", f"{_name(point)}: {_lasting(by, by.lasts_mm)}"))
        where = name if found.car else printable(spoken(name))
        lines += [Text(f"By ride height, {where}", style="bold"), slopes, Text(), then]
        if lasting:
            lines += [Text(f"The height that lasts {found.asked.lasts_km:g} km from now, by the mean:"), *lasting]
    words = (
        "The line over distance alone takes all runs as alike; these are at the height at which it runs from now on. "
        "Mm up: so much less in 100 km, a mm higher."
    )
    if len(names) > 1:
        words += " Each ride height is taken alone: with CAR it is the height under each point."
    return [*lines, Text(words)]


def _lasting(by: _core.WearByHeight, lasts: _core.Reached) -> str:
    value = lasts.value
    if value is None:
        return f"these runs do not tell which height does ({_between(lasts, _mm)})."
    if value <= 0.0:
        return f"any height does ({_between(lasts, _mm)} mm)."
    tried = by.lowest_mm <= value <= by.highest_mm
    beyond = "" if tried else f"; runs were at {by.lowest_mm:.1f} to {by.highest_mm:.1f}"
    return f"{figure(value, 1)} mm ({_between(lasts, _mm)}){beyond}."
