"""How the effect table of a car at rest looks: text at 80 columns, corner by corner."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from rich.console import Group
from rich.text import Text

from shimwise import _core
from shimwise.views.effects import one_of, units_words
from shimwise.views.output_words import DIGITS, INFOS
from shimwise.views.pieces import bullet, plain_table, signs
from shimwise.views.rest import bars_words, stands_words
from shimwise.words import printable, spoken

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rich.console import RenderableType
    from rich.table import Table

    from shimwise.standing.effects import RestEffects, Row

__all__ = ["pads_view", "rack_view", "rest_effects_notes", "rest_effects_view"]

_SHORT = {"front_left": "FL", "front_right": "FR", "rear_left": "RL", "rear_right": "RR"}

_LABEL_WIDTH = 16


class _Column(NamedTuple):
    name: str
    heading: str
    digits: int
    width: int


def rest_effects_view(effects: RestEffects, corner: str, per: str) -> RenderableType:
    """What the adjusters of a corner do to the car: what a workshop sets with springs in."""
    columns = _car_columns(effects)
    columns += [_Column(f"{corner}.{name}_deg", f"{name}\ndeg", DIGITS[name], 6) for name in ("toe", "camber")]
    title = f"{spoken(corner)}: effect of {one_of(per)}, hold rest, ground frame, {_chassis(effects)}"
    table = _table(columns)
    still: list[str] = []
    adjusters = effects.stand.car.core.corner(_core.CornerId.__members__[corner]).adjusters
    for number, adjuster in enumerate(adjusters):
        rows = [row for row in effects.rows_of(corner) if _is(row, number, per)]
        if rows and not any(_shows(row, columns) for row in rows):
            still.append(printable(adjuster.name))
        elif rows:
            table.add_row(Text(printable(adjuster.name)))
            for row in rows:
                table.add_row(f" {_way(row, adjuster)}", *_cells(row.change, columns))
    table.add_row("now", *(_fitted(effects.now[c.name], c, sign=False) for c in columns), style="italic")
    nothing = [Text(f"Nothing here moves with: {', '.join(still)}.")] if still else []
    units = [Text(line) for line in units_words(adjusters, per)]
    return Group(Text(title, style="bold"), table, *nothing, *units)


def pads_view(effects: RestEffects, corner: str | None) -> RenderableType:
    """What the pads and the ballast do."""
    weights = [_Column(f"{name}.weight_kg", f"\n{_SHORT[name]}\nkg", 2, 6) for name in _core.CornerId.__members__]
    columns = [*weights, *(c for c in _car_columns(effects) if "difference" not in c.name)]
    table = _table(columns)
    rows = effects.rows_of(corner)
    for start, heading in (("pad.", "pad 1 mm higher"), ("ballast.", "1 kg of ballast")):
        found = [row for row in rows if row.variable.key.startswith(start)]
        if found:
            table.add_row(Text(heading))
        for row in found:
            name = row.variable.key.removeprefix(start)
            table.add_row(f" {spoken(name) if start == 'pad.' else printable(name)}", *_cells(row.change, columns))
    table.add_row("now", *(_fitted(effects.now[c.name], c, sign=False) for c in columns), style="italic")
    title = f"pads and ballast: hold rest, ground frame, {_chassis(effects)}"
    return Group(Text(title, style="bold"), table)


def rack_view(effects: RestEffects) -> RenderableType | None:
    """What the rack does, to the toe of the wheels that it steers too; None of a car without one."""
    rows = [row for row in effects.rows if row.variable.key == "rack"]
    if not rows:
        return None
    steered = [name for name, id_ in _core.CornerId.__members__.items() if effects.stand.model.car.corner(id_).steered]
    toes = [_Column(f"{name}.toe_deg", f"toe\n{_SHORT[name]}\ndeg", DIGITS["toe"], 6) for name in steered[:2]]
    columns = [*_car_columns(effects), *toes]
    table = _table(columns)
    for row in rows:
        label = "1 mm" if row.per == _core.Per.mm else f"1 turn, {row.amount:g} mm"
        table.add_row(Text(f" {label}"), *_cells(row.change, columns))
    table.add_row("now", *(_fitted(effects.now[c.name], c, sign=False) for c in columns), style="italic")
    title = f"rack to the left: hold rest, ground frame, {_chassis(effects)}"
    turn = [Text("A turn is one of the steering wheel.")] if len(rows) > 1 else []
    return Group(Text(title, style="bold"), table, *turn)


def rest_effects_notes(effects: RestEffects) -> list[RenderableType]:
    """What plus means, and what was left out."""
    points = [point.name for point in effects.stand.model.car.ride_heights]
    told = [f"Cross weight: {INFOS['cross_weight'].in_words}", f"differences: {INFOS['front_difference'].in_words}"]
    if any(name in _SHORT for name in points):
        told.append("ride: ride height")
    if "rake_mm" in effects.now:
        told.append(f"rake: {INFOS['rake'].in_words}")
    stands = stands_words(effects.stand)
    sentences = [
        f"{stands[0].upper()}{stands[1:]}.",
        f"{'; '.join(told)}; toe and camber: of the corner itself.",
        signs(("toe", "camber")),
    ]
    if others := [printable(name) for name in points if name not in _SHORT]:
        sentences.append(f"Ride heights of {', '.join(others)}: with --json or --csv.")
    if bars := bars_words(effects.stand):
        sentences.append(bars)
    return [
        Text(" ".join(sentences)),
        *(bullet("!", _on_stop(name)) for name in effects.on_droop_stop),
        *(bullet("!", f"Left out: {why}.") for why in effects.core.left_out),
    ]


def _on_stop(corner: str) -> str:
    return (
        f"{spoken(corner)}: the damper is ON ITS DROOP STOP. What a mm, a turn or a kg does holds as long as it stays "
        "there; what a step does is the true difference."
    )


def _chassis(effects: RestEffects) -> str:
    return effects.stand.chassis_words


def _car_columns(effects: RestEffects) -> list[_Column]:
    heights = [point.name for point in effects.stand.model.car.ride_heights if point.name in _SHORT]
    columns = [
        _Column("cross_weight_percent", "cross\nFR+RL\n%", 2, 5),
        _Column("front_difference_kg", "front\ndiff.\nkg", 2, 5),
        _Column("rear_difference_kg", "rear\ndiff.\nkg", 2, 5),
        *(_Column(f"ride_height.{name}_mm", f"ride\n{_SHORT[name]}\nmm", 2, 5) for name in heights),
        _Column("rake_mm", "\nrake\nmm", 2, 5),
    ]
    return [column for column in columns if column.name in effects.now]


def _table(columns: Sequence[_Column]) -> Table:
    table = plain_table("", gap=1)
    table.title = None
    table.add_column("", overflow="fold", min_width=_LABEL_WIDTH)
    for column in columns:
        table.add_column(column.heading, justify="right", no_wrap=True, min_width=column.width)
    return table


def _is(row: Row, adjuster: int, per: str) -> bool:
    return row.adjuster is not None and row.variable.index == adjuster and row.per.name.partition("_")[0] == per


def _way(row: Row, adjuster: _core.Adjuster) -> str:
    """ "longer", "0.1 mm thicker", "away from spring"."""
    way = _core.way_words(adjuster, row.amount).replace("the spring", "spring")
    return f"{abs(row.amount):.1f} mm {way}" if isinstance(adjuster.setting, _core.Stack) else way


def _shows(row: Row, columns: Sequence[_Column]) -> bool:
    return any(cell != "0" for cell in _cells(row.change, columns))


def _cells(change: dict[str, float], columns: Sequence[_Column]) -> list[str]:
    return [_fitted(change[column.name], column, sign=True) for column in columns]


def _fitted(value: float, column: _Column, *, sign: bool) -> str:
    """A number in its column: the digits that have room; "0" for a change that they do not show."""
    for digits in range(column.digits, -1, -1):
        text = f"{round(value, digits) + 0.0:{'+' if sign else ''}.{digits}f}"
        if len(text) <= column.width:
            break
    return "0" if sign and not float(text) else text
