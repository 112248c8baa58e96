"""How effect tables look: text at 80 columns, one line per adjuster."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.console import Group
from rich.text import Text

from shimwise import _core
from shimwise.views.output_words import DIGITS
from shimwise.views.pieces import plain_table
from shimwise.words import figure, printable, spoken

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from rich.console import RenderableType

    from shimwise.car import Car

__all__ = ["check_lines", "effects_view", "one_of", "set_lines", "units_words"]

_HEADINGS = {
    "toe": "toe",
    "camber": "camber",
    "caster": "caster",
    "kingpin_inclination": "kingpin",
    "half_track": "half tr.",
    "chassis_height": "chassis",
    "spring_length": "spring",
}
_HELD = {"contact": "chassis_height", "wheel": "", "spring": "spring_length"}


def effects_view(car: Car, corner: str, hold: str, per: str) -> RenderableType:
    """One corner's effect table at 80 columns: the outputs that a workshop reads, without the one that is held."""
    infos = {info.name: info for info in _core.output_list()}
    shown = {
        infos[name].column: (heading, infos[name].unit, DIGITS[name])
        for name, heading in _HEADINGS.items()
        if name != _HELD[hold]
    }
    table = plain_table(f"{spoken(corner)}: effect of {one_of(per)}, {hold} held, chassis frame", gap=1)
    table.add_column("", no_wrap=True)
    table.add_column("", no_wrap=True)
    for heading, unit, _ in shown.values():
        table.add_column(f"{heading}\n{unit}", justify="right", no_wrap=True)
    columns = _core.column_names()
    effects = car.corners[corner].effect_table(hold)
    adjusters = car.corners[corner].adjusters
    last = None
    for row in effects.rows:
        if row.per.name.partition("_")[0] != per:
            continue
        adjuster = adjusters[row.variable]
        change = dict(zip(columns, row.change, strict=True))
        table.add_row(
            "" if adjuster.name == last else adjuster.name,
            _amount(adjuster, row),
            *(_change(change[name], digits) for name, (_, _, digits) in shown.items()),
        )
        last = adjuster.name
    now = dict(zip(columns, effects.values, strict=True))
    table.add_row(
        "", "now", *(f"{now[name] + 0.0:.{digits}f}" for name, (_, _, digits) in shown.items()), style="italic"
    )
    return Group(table, *(Text(line) for line in units_words(adjusters, per)))


def one_of(per: str) -> str:
    """What a table is per, for its title."""
    return "one flat (1/6 turn)" if per == "flat" else f"one {per}"


def units_words(adjusters: Sequence[_core.Adjuster], per: str) -> list[str]:
    """What one step of each adjuster is, and which have no row in this table."""
    threads = {a.name: a.setting for a in adjusters if isinstance(a.setting, _core.Thread)}
    packs = [a.name for a in adjusters if a.name not in threads]
    if per in ("turn", "flat"):
        return [f"Not turned: {_listed(packs)}; --per step or mm has {_it(packs)}."] if packs else []
    if per != "step":
        return []
    steps: dict[str, list[str]] = {}
    for name, thread in threads.items():
        steps.setdefault(_core.count_words(thread, thread.step_turns), []).append(name)
    told = [f"{step} of {_listed(names)}" for step, names in steps.items()]
    if packs:
        told.append(f"of {_listed(packs)} the next pack that the shims at hand make")
    return [f"One step is {'; '.join(told)}."]


def _listed(names: Iterable[str]) -> str:
    return ", ".join(printable(name) for name in names)


def _it(names: Sequence[str]) -> str:
    return "it" if len(names) == 1 else "them"


def _amount(adjuster: _core.Adjuster, row: _core.EffectRow) -> str:
    way = _core.way_words(adjuster, row.amount).replace("the spring", "spring")
    return f"{abs(row.amount):.1f} mm {way}" if isinstance(adjuster.setting, _core.Stack) else way


def _change(value: float, digits: int) -> str:
    return "0" if abs(value) < 1e-9 else f"{value:+.{digits}f}"


def set_lines(car: Car) -> list[str]:
    """How every corner stands as set: a number that no car has gives a mistyped point away."""
    lines = []
    for name, corner in car.corners.items():
        values = dict(zip(_core.column_names(), corner.effect_table().values, strict=True))
        told = ", ".join(f"{label} {figure(values[key], digits, unit)}" for key, label, digits, unit in _STANDS)
        on = car.core.corner(_core.CornerId.__members__[name]).pushrod_outer_on
        rod = f", pull rod on the {spoken(on.name)}" if corner.has_pull_rod else ""
        lines.append(f"{name}: {told}{rod}")
    return lines


_STANDS = (
    ("toe_deg", "toe", 2, "deg"),
    ("camber_deg", "camber", 2, "deg"),
    ("caster_deg", "caster", 1, "deg"),
    ("kingpin_inclination_deg", "kingpin", 1, "deg"),
    ("trail_mm", "trail", 1, "mm"),
    ("scrub_mm", "scrub", 1, "mm"),
    ("motion_ratio", "motion ratio", 2, ""),
)


def check_lines(car: Car) -> list[str]:
    """What one step of every adjuster does, so that a reversed sign is seen before it is used.

    Contact held; where nothing changes at the wheel then, spring length held.
    """
    lines = []
    for name, corner in car.corners.items():
        contact, spring = corner.effect_table("contact"), corner.effect_table("spring")
        for number, adjuster in enumerate(corner.adjusters):
            per, words = _core.Per.mm, "1 mm thicker"
            if isinstance(thread := adjuster.setting, _core.Thread):
                per = _core.Per.step_up
                one = f"one step ({_core.count_words(thread, thread.step_turns)})"
                words = _core.row_name(adjuster, per).replace("step", one)
            told = _told(contact, number, per)
            if not told and (told := _told(spring, number, per)):
                words += ", spring length held"
            lines.append(f"{name}.{adjuster.name}, {words}: {', '.join(told) or 'nothing at this corner by itself'}")
    return lines


_TOLD = {"toe": "toe", "camber": "camber", "caster": "caster", "chassis_height": "chassis over contact"}


def _told(table: _core.EffectTable, adjuster: int, per: _core.Per) -> list[str]:
    row = next(r for r in table.rows if r.variable == adjuster and r.per == per)
    changes = {info.name: (by, info.unit) for info, by in zip(_core.output_list(), row.change, strict=True)}
    return [
        f"{label} {by:+.{DIGITS[name]}f} {unit}"
        for name, label in _TOLD.items()
        for by, unit in [changes[name]]
        if abs(by) >= 0.5 * 10 ** -DIGITS[name]
    ]
