"""How a baseline looks: the setup page, all that is needed to put the car back, on one page of 80 columns."""

from __future__ import annotations

from itertools import zip_longest
from typing import TYPE_CHECKING

from rich.console import Group
from rich.text import Text

from shimwise import _core
from shimwise.baselines.baseline import Baseline
from shimwise.shown import view
from shimwise.views.compared import digits_of
from shimwise.views.pieces import bullet, caution_lines, plain_table, signs
from shimwise.words import figure, printable, spoken, unit_word

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from rich.console import RenderableType
    from rich.table import Table

__all__ = ["baseline_view", "of_baseline", "state_words", "values_table"]

_CORNERS = tuple(_core.CornerId.__members__)


def of_baseline(baseline: Baseline) -> str:
    """Place and time, or the file where it says neither."""
    core = baseline.core
    return printable(" ".join(part for part in (core.place, core.at) if part) or core.file)


@view.register(Baseline)
def baseline_view(baseline: Baseline) -> RenderableType:
    """Why, state, settings, packs, lengths, boxes, values to read, cautions."""
    core = baseline.core
    parts: list[RenderableType] = [
        Text(f"{printable(core.car)} as it was accepted, {of_baseline(baseline)}", style="bold"),
        Text(f"Why: {printable(core.reason)}"),
        Text(state_words(core)),
        Text(),
        _settings(baseline),
        *(bullet("-", line) for line in _boxes(core)),
        Text(),
        values_table(baseline),
        Text(_foot(core)),
    ]
    if baseline.notes:
        parts += [Text("Notes", style="bold"), *(bullet("-", printable(note)) for note in baseline.notes)]
    return Group(*parts, Text(), *caution_lines(_core.cautions()))


def state_words(core: _core.Baseline) -> str:
    """Ballast, bars, rack, struts and pads."""
    said = [f"{printable(name)} {kg:.1f} kg" for name, kg in core.ballast_kg.items()]
    said += [f"bars {core.bars}"] if core.bars is not None else []
    said.append("rack locked at centre" if core.rack_locked else "rack free")
    said.append("solid struts" if core.struts_solid else "on springs")
    pads = core.pads_mm
    if pads is not None:
        heights = zip(_CORNERS, pads, strict=True)
        said.append("pads " + ", ".join(f"{spoken(name)} {figure(mm, 2, sign=True)}" for name, mm in heights) + " mm")
    return f"State: {', '.join(said)}."


def _corner_table(*first: str) -> Table:
    table = plain_table("", gap=1)
    table.title = None
    table.add_column(*first, no_wrap=True, min_width=20)
    for name in _CORNERS:
        table.add_column(spoken(name), justify="right", min_width=13)
    return table


def _settings(baseline: Baseline) -> Table:
    core = baseline.core
    table = _corner_table("")
    turns, shims = core.settings.turns, core.settings.shims_mm

    def rows(title: str, names: Iterable[str], cell: Callable[[str, str], str]) -> None:
        shown = list(dict.fromkeys(names))
        if shown:
            table.add_row(Text(title, style="bold"))
        for name in shown:
            table.add_row(f"  {_short(name)}", *(cell(corner, name) for corner in _CORNERS))

    def names_of(keys: Iterable[str]) -> list[str]:
        return [key.partition(".")[2] for key in keys]

    rows("turns from drawn", names_of(turns), lambda c, name: _turns(turns.get(f"{c}.{name}")))
    rows("packs, mm", names_of(shims), lambda c, name: _pack(shims.get(f"{c}.{name}")))
    lengths = dict(zip(_CORNERS, core.lengths_mm, strict=True))
    every = [name for corner in _CORNERS for name in lengths[corner]]
    rows("eye to eye, mm", every, lambda c, name: figure(lengths[c].get(name), 2))
    return table


def _short(name: str) -> str:
    """An adjuster or a length: a wishbone's leg without its wishbone."""
    return spoken(name.replace("_wishbone.", " "))


def _turns(turns: float | None) -> str:
    return "" if turns is None else f"{round(turns, 4) + 0.0:+g}" if turns else "0"


def _pack(shims: list[float] | None) -> str:
    return "" if shims is None else " + ".join(f"{mm:g}" for mm in shims) or "no shim"


def _boxes(core: _core.Baseline) -> list[str]:
    boxes = core.settings.box_mm
    return [f"box {printable(name)}: {', '.join(f'{mm:g}' for mm in box) or 'empty'} mm" for name, box in boxes.items()]


def values_table(baseline: Baseline) -> RenderableType:
    """Every accepted value, wheel beside wheel, then the car's, each with its tolerance."""
    table = _corner_table("to read")
    of_corners: dict[str, dict[str, _core.BaselineValue]] = {}
    of_car = []
    for value in baseline.core.values:
        place, _, name = value.key.rpartition(".")
        if place in _CORNERS:
            of_corners.setdefault(name, {})[place] = value
        elif place == "ride_height" and name in _CORNERS:
            of_corners.setdefault("ride_height", {})[name] = value
        else:
            of_car.append(value)
    for name, found in of_corners.items():
        unit = next(iter(found.values())).unit
        table.add_row(f"  {spoken(name)}, {unit}", *(_cell(baseline, found.get(corner)) for corner in _CORNERS))
    return Group(table, _of_car(baseline, of_car)) if of_corners else _of_car(baseline, of_car)


def _of_car(baseline: Baseline, values: list[_core.BaselineValue]) -> Table:
    """Two beside each other, those of long names on the left."""
    table = plain_table("", gap=2)
    table.title = None
    for column in range(4):
        table.add_column("", justify="right" if column % 2 else "left", no_wrap=True)
    table.show_header = False
    cells = [(f"  {spoken(value.key)}", _cell(baseline, value, unit=True)) for value in values]
    cells.sort(key=lambda cell: -len(cell[0]))
    half = (len(cells) + 1) // 2
    for one, other in zip_longest(cells[:half], cells[half:], fillvalue=("", "")):
        table.add_row(*one, *other)
    return table


def _cell(baseline: Baseline, value: _core.BaselineValue | None, *, unit: bool = False) -> str:
    if value is None:
        return ""
    digits = digits_of(value.key, value.unit)
    tolerance = _core.common_tolerance(value.key, baseline.car.core)
    within = "" if tolerance is None else f" ±{tolerance:.2g}"
    return f"{figure(value.value, digits)}{within}{' ' + unit_word(value.unit) if unit else ''}"


def _foot(core: _core.Baseline) -> str:
    keys = " ".join(spoken(value.key) for value in core.values)
    plus = [name for name in ("toe", "camber", "thrust angle") if name in keys]
    before = f", replaces {core.replaces[:8]}" if core.replaces else ""
    sign = f" {signs(plus)}" if plus else ""
    return (
        "Turns: + is longer, of a platform toward the spring, of ends of one hand as the lengths show. Tolerances: "
        f"common practice, no source.{sign} Baseline {core.digest[:8]}{before}."
    )
