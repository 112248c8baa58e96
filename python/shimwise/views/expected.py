"""How the readings to expect look: text at 80 columns, wheel by wheel."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.console import Group
from rich.text import Text

from shimwise import _core
from shimwise.readings.expected import Expected
from shimwise.shown import view
from shimwise.views.output_words import DIGITS, label
from shimwise.views.pieces import bullet, caution_lines, doubt_lines, plain_table, signs
from shimwise.words import figure, spoken

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.table import Table


__all__ = ["expected_view"]

_HELD = {
    "contact": "The car does not stand: contacts held.",
    "rest": "The whole car, at rest again on its springs.",
    "spring": "The whole car, on its solid struts.",
}
_MODEL = ("toe", "camber", "caster", "kingpin_inclination", "half_track")
Row = tuple[str, str, str, str, str]


@view.register(Expected)
def expected_view(expected: Expected) -> RenderableType:
    """What is turned, what each wheel reads then, the notes and the cautions."""
    core = expected.core
    turned = [adjuster for corner in core.corners for adjuster in corner.turned]
    parts: list[RenderableType] = doubt_lines(expected.doubts)
    if parts:
        parts.append(Text())
    parts.append(Text(f"{core.car}, if this is turned ({core.minutes:.0f} minutes)", style="bold"))
    parts += [bullet("-", f"{spoken(adjuster.key)}: {adjuster.words}") for adjuster in turned]
    if not turned:
        parts.append(bullet("-", "nothing is turned"))
    parts += [bullet("=", f"{spoken(key)}: taken as {expected.taken[key]}") for key in expected.to_explain]
    parts += [bullet("!", note) for note in expected.unsettled]
    still = [
        spoken(name) for name in _core.CornerId.__members__ if not (_rows(expected[name]) or expected[name].turned)
    ]
    parts += [Text(), _table(expected)]
    if still and expected.stands:
        parts.append(Text(f"Nothing changes at {', '.join(still)}."))
    parts.append(
        Text(
            "u: one standard deviation of the next reading. (model): by the model, not read. "
            + signs(("flags", "toe", "camber", "caster", "kingpin", "half track", "thrust angle"))
        )
    )
    parts.append(Text(f"{_HELD[core.held]} {core.frame}"))
    if core.notes:
        parts += [Text(), Text("Notes", style="bold"), *(bullet("-", note) for note in core.notes)]
    return Group(*parts, Text(), *caution_lines(_core.cautions()))


def _table(expected: Expected) -> Table:
    table = plain_table("The readings to expect")
    for column in ("", "now", "then", "change", "u"):
        table.add_column(column, justify="left" if column == "" else "right", no_wrap=True)
    for name in _core.CornerId.__members__:
        corner = expected[name]
        rows = _rows(corner)
        if rows or corner.turned:
            table.add_row(Text(spoken(name), style="bold"))
            for label, *cells in rows:
                table.add_row(f"  {label}", *cells)
            if not rows:
                table.add_row("  nothing that its gauges show" if expected.stands else "  not known: see the notes")
    for total in expected.core.totals:
        if moved := _row(spoken(total.key), total.now_deg, total.then_deg, DIGITS["toe"], "deg", total.deviation_deg):
            table.add_row(*moved)
    of_car = [row for value in expected.core.car_values if (row := _car_row(value))]
    if of_car:
        table.add_row(Text("the car", style="bold"))
        for name, *cells in of_car:
            table.add_row(f"  {name}", *cells)
    return table


_DIGITS = {"mm": 1, "kg": 1, "percent": 2, "deg": 3}


def _car_row(value: _core.CarValue) -> Row | None:
    return _row(spoken(value.key), value.now, value.then, _DIGITS[value.unit], value.unit, value.deviation)


def _rows(corner: _core.ExpectedCorner) -> list[Row]:
    """What changes at a wheel: what the gauges show, the alignment, then what only the model knows."""
    now, then = corner.now, corner.then
    read = [
        _row(
            "flags, front less rear", now.flag_difference_mm, then.flag_difference_mm, 1, "mm", then.flag_deviation_mm
        ),
        _row("gauge", now.gauge_deg, then.gauge_deg, 2, "deg", then.camber_deviation_deg),
        _row("toe", now.toe_deg, then.toe_deg, DIGITS["toe"], "deg", then.toe_deviation_deg),
        _row("camber", now.camber_deg, then.camber_deg, DIGITS["camber"], "deg", then.camber_deviation_deg),
    ]
    values = {"toe": now.toe_deg, "camber": now.camber_deg}
    model = [
        _row(f"{label(info.name)} (model)", before, after, DIGITS[info.name], info.unit, None)
        for info, before, after in zip(_core.output_list(), corner.model_now, corner.model_then, strict=True)
        if info.name in _MODEL and values.get(info.name) is None
    ]
    return [row for row in read + model if row is not None]


def _row(label: str, now: float | None, then: float | None, digits: int, unit: str, u: float | None) -> Row | None:
    """A line of the table, or None where nothing is read or nothing changes that the digits show."""
    if now is None or then is None or abs(then - now) < 0.5 * 10**-digits:
        return None
    return (
        label,
        figure(now, digits, unit),
        figure(then, digits, unit),
        figure(then - now, digits, unit, sign=True),
        figure(u, max(digits, 2)),
    )
