"""How the lie of a place looks: text at 80 columns."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.console import Group
from rich.text import Text

from shimwise import _core
from shimwise.readings.datum import Datum
from shimwise.shown import view
from shimwise.views.pieces import bullet, caution_lines, doubt_lines, plain_table
from shimwise.words import figure, printable, spoken

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.table import Table

__all__ = ["datum_view"]

_OFF_THE_PADS = "Take the car off the pads, onto stands, before anything is put under one; then settle it anew."


@view.register(Datum)
def datum_view(datum: Datum) -> RenderableType:
    """What is doubtful, tilt and twist, what to pack, what is left does, and what is to expect of another place."""
    parts: list[RenderableType] = doubt_lines(datum.doubts)
    if parts:
        parts.append(Text())
    parts += [Text(_title(datum), style="bold"), _lie(datum), Text(_foot(datum))]
    if datum.level.closures:
        parts += [Text(), Text("Steps that are more than needed", style="bold")]
        parts += [bullet("-", _closure(closure)) for closure in datum.level.closures]
    parts += [Text(), *_to_pack(datum), Text()]
    parts += _effects("As it lies, the instruments show more than on level pads by", datum.now)
    if datum.packing.pieces and not datum.packed.why_not:
        parts += [Text(), *_effects("Packed so", datum.packed)]
    if datum.there is not None:
        title = f"To expect here of the car as it stood at {printable(datum.there_words)}"
        parts += [Text(), Text(title, style="bold"), _there(datum.there)]
        parts.append(
            Text(
                "By the model, set and loaded as it was there. u: one standard deviation of the reading here, by the "
                "same instruments."
            )
        )
    if datum.packing.pieces:
        parts += [Text(), *caution_lines([_OFF_THE_PADS, *_core.cautions()])]
    return Group(*parts)


def _table(*columns: str) -> Table:
    """Names at the left, numbers at the right; its title stands over it, as wide as the page."""
    table = plain_table("")
    table.title = None
    for column in columns:
        table.add_column(column, justify="left" if column == "" else "right", no_wrap=True)
    return table


def _title(datum: Datum) -> str:
    place = " ".join(printable(part) for part in (datum.place, datum.at) if part)
    return f"How the pads lie under {printable(datum.car)}{f', {place}' if place else ''}"


def _lie(datum: Datum) -> Table:
    table = _table("", "now", "u", "packed", "within")
    level, packing, tolerance = datum.level, datum.packing, datum.tolerance
    rows = (
        ("tilt, fore and aft", level.fore_aft_mm_per_m, packing.fore_aft_mm_per_m, tolerance.tilt_mm_per_m, "mm/m"),
        ("tilt, across", level.across_mm_per_m, packing.across_mm_per_m, tolerance.tilt_mm_per_m, "mm/m"),
        ("twist", level.twist_mm, packing.twist_mm, tolerance.twist_mm, "mm"),
    )
    for name, now, packed, within, unit in rows:
        then = figure(packed, 2, unit, sign=True) if packing.pieces else ""
        table.add_row(
            name, figure(now.value, 2, unit, sign=True), figure(now.uncertainty, 2), then, f"{within:g} {unit}"
        )
    return table


def _foot(datum: Datum) -> str:
    pads = zip(_core.CornerId.__members__, datum.level.pads_mm, strict=True)
    heights = ", ".join(f"{spoken(name)} {figure(mm, 2, sign=True)}" for name, mm in pads)
    practice = " Tolerances: common practice, no source." if datum.default_tolerance else ""
    return (
        f"Pads about their mean, mm: {heights}. u: one standard deviation. Plus is higher at the front (fore and aft), "
        f"higher at the left (across), front left and rear right high (twist: what the pads are off their best plane)."
        f"{practice}"
    )


def _closure(closure: _core.PadClosure) -> str:
    way = " - ".join(spoken(pad.name) for pad in closure.pads)
    off = closure.off_mm
    said = "closes" if closure.closes else "more than twice its uncertainty"
    return (
        f"{way} and back: {figure(off.value, 2, 'mm', sign=True)} left over, u {figure(off.uncertainty, 2, 'mm')}; "
        f"{said}."
    )


def _to_pack(datum: Datum) -> list[RenderableType]:
    packing = datum.packing
    if not packing.pieces and packing.within:
        return [Text("Inside the tolerance as it lies: nothing to pack.")]
    if not datum.packing_mm:
        return [Text("Outside the tolerance, and no packing at hand: pads.packing_mm says what there is.")]
    if not packing.pieces:
        none = "no packing at hand brings it nearer without taking tilt or twist farther out"
        return [Text(f"Outside the tolerance, and {none}."), *_unproven(packing)]
    title = (
        "Put under the pads, the fewest pieces that bring it inside"
        if packing.within
        else "No packing at hand brings it inside the tolerance. The nearest"
    )
    lines: list[RenderableType] = [Text(title + ":", style="bold")]
    for name, pieces in zip(_core.CornerId.__members__, packing.under_mm, strict=True):
        if pieces:
            lines.append(bullet("-", f"{spoken(name)}: {' + '.join(f'{mm:g}' for mm in pieces)} mm"))
    return lines + _unproven(packing)


def _unproven(packing: _core.Packing) -> list[RenderableType]:
    if packing.proven:
        return []
    return [bullet("!", f"Not proven: the best of {packing.looked_at:,} ways that were looked at.")]


def _effects(title: str, off: _core.OffLevel) -> list[RenderableType]:
    """What tilt and twist do, wheel by wheel."""
    if off.why_not:
        return [Text(f"What it does to the instruments is not known: {off.why_not}.")]
    table = _table("", "gauge, tilt", "gauge, twist", *(("scale, tilt", "scale, twist") if off.scales_tell else ()))
    for i, name in enumerate(_core.CornerId.__members__):
        cells = [figure(part.gauge_deg[i], 3, "deg", sign=True) for part in (off.tilt, off.twist)]
        if off.scales_tell:
            cells += [figure(part.scale_kg[i], 2, "kg", sign=True) for part in (off.tilt, off.twist)]
        table.add_row(spoken(name), *cells)
    lines: list[RenderableType] = [Text(title, style="bold"), table]
    return lines if off.scales_tell else [*lines, Text("The struts were solid: scales tell nothing.")]


_DIGITS = {"mm": 1, "kg": 1, "percent": 2, "deg": 3}


def _there(there: _core.OtherPlace) -> Table:
    table = _table("", "there", "here", "change", "u")

    def row(name: str, now: float, then: float, u: float, unit: str) -> None:
        digits = _DIGITS[unit]
        table.add_row(
            f"  {name}",
            figure(now, digits, unit),
            figure(then, digits, unit),
            figure(then - now, digits, unit, sign=True),
            figure(u, max(digits, 2)),
        )

    corners = list(_core.CornerId.__members__)
    for name, gauge in zip(corners, there.gauges, strict=True):
        values = [value for value in there.values if value.key.rpartition(".")[0] == name]
        if values or gauge:
            table.add_row(Text(spoken(name), style="bold"))
        if gauge:
            row("gauge", gauge.there_deg, gauge.here_deg, gauge.deviation_deg, "deg")
        for value in values:
            row(spoken(value.key.rpartition(".")[2]), value.now, value.then, value.deviation, value.unit)
    of_car = [value for value in there.values if value.key.rpartition(".")[0] not in corners]
    if of_car:
        table.add_row(Text("the car", style="bold"))
    for value in of_car:
        row(spoken(value.key), value.now, value.then, value.deviation, value.unit)
    return table
