"""How two sheets of a car look side by side: text at 80 columns, what changed and what explains it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from rich.console import Group
from rich.text import Text

from shimwise import _core
from shimwise.baselines.compared import Compared
from shimwise.shown import view
from shimwise.views.output_words import DIGITS
from shimwise.views.pieces import bullet, doubt_lines, plain_table, signs
from shimwise.words import figure, printable, spoken

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from numpy.typing import NDArray
    from rich.console import RenderableType
    from rich.table import Table

__all__ = ["DIGITS_OF_UNIT", "compared_view", "digits_of"]

DIGITS_OF_UNIT = {"mm": 1, "kg": 1, "percent": 2, "deg": 3}
_STATE = ("ballast", "bars", "struts")
_MOST_CAUSES = 3  # columns: more would not fit beside the rest
_NEVER = 0.001
_CERTAIN = 0.95
_LEAST = 0.3  # of the difference's uncertainty: a cause that makes less is not worth a line


def digits_of(key: str, unit: str) -> int:
    """Digits behind the point that a value is shown with."""
    return DIGITS.get(key.rpartition(".")[2], DIGITS_OF_UNIT[unit])


@view.register(Compared)
def compared_view(compared: Compared) -> RenderableType:
    """What is doubtful, every value before and now, what explains the change, what is left, the notes."""
    core = compared.core
    parts: list[RenderableType] = doubt_lines(compared.doubts)
    if parts:
        parts.append(Text())
    title = f"{printable(compared.car)}: {printable(compared.old)} -> {printable(compared.new)}"
    parts.append(Text(title, style="bold"))
    if not core.differences.values:
        return Group(*parts, Text("No value stands in both sheets."), *_notes(compared))
    parts += [Text(_headline(compared)), Text(), _values(compared), Text(_foot(compared))]
    causes = [bullet("-", one) for one in _cause_lines(compared)]
    if causes:
        parts += [Text(), Text("Between them", style="bold"), *causes, Text(), _explained(compared)]
        parts.append(Text("By the model at rest. left: what is left to be explained; u: its standard deviation."))
    parts += [Text(), Text(_verdict(compared), style="bold"), *_guesses(compared)]
    return Group(*parts, *_notes(compared))


def _guesses(compared: Compared) -> list[RenderableType]:
    """What would explain it, that no sheet says."""
    guesses = compared.core.guesses
    if not guesses:
        return []
    title = "Not said, and alone would explain most of it:" if len(guesses) == 1 else "Not said; any alone would do:"
    lines = [
        f"{printable(one.words)} (u {figure(one.uncertainty, 2, one.unit)}); chi-square is {one.chi_square:.1f} then"
        for one in guesses
    ]
    return [
        Text(title),
        *(bullet("?", f"{line}, {_p_words(one.p)}.") for line, one in zip(lines, guesses, strict=True)),
    ]


def _p_words(p: float) -> str:
    return f"p {p:.3f}" if p >= _NEVER else f"p below {_NEVER}"


def _notes(compared: Compared) -> list[RenderableType]:
    if not compared.notes:
        return []
    return [Text(), Text("Notes", style="bold"), *(bullet("-", printable(note)) for note in compared.notes)]


def _counted(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"


def _headline(compared: Compared) -> str:
    values, changed = compared.core.differences.values, len(compared.changed)
    out = sum(value.within is False for value in values)
    said = f"{changed} of {_counted(len(values), 'value')} changed by more than noise (95 %)"
    if out == 0:
        return f"{said}; every difference is inside its common tolerance."
    verb = "is" if out == 1 else "are"
    return f"{said}; {_counted(out, 'difference')} {verb} outside the common tolerance."


def _by_place(compared: Compared, shown: Callable[[int], bool]) -> Iterator[tuple[str, list[int]]]:
    """Wheel by wheel, then what is of the car: a title, and places in the list of values."""
    places = [value.key.rpartition(".")[0] for value in compared.core.differences.values]
    for corner in _core.CornerId.__members__:
        if of_corner := [i for i, place in enumerate(places) if place == corner and shown(i)]:
            yield spoken(corner), of_corner
    if of_car := [i for i, place in enumerate(places) if place not in _core.CornerId.__members__ and shown(i)]:
        yield "the car", of_car


def _name(value: _core.Difference) -> str:
    place, _, name = value.key.rpartition(".")
    return f"  {spoken(name if place in _core.CornerId.__members__ else value.key)}"


def _table(*columns: str) -> Table:
    table = plain_table("", gap=1)
    table.title = None
    for column in columns:
        table.add_column(column, justify="left" if column in ("", "said") else "right", no_wrap=True)
    return table


def _values(compared: Compared) -> Table:
    table = _table("", "was", "now", "change", "u", "", "tolerance")
    values = compared.core.differences.values
    for title, places in _by_place(compared, lambda _: True):
        table.add_row(Text(title, style="bold"))
        for i in places:
            value = values[i]
            digits = digits_of(value.key, value.unit)
            table.add_row(
                _name(value),
                figure(value.was, digits),
                figure(value.is_now, digits, value.unit),
                figure(value.by, digits, sign=True),
                figure(value.uncertainty, digits + 1),
                "CHANGED" if value.changed else "noise",
                _tolerance(value),
            )
    return table


def _tolerance(value: _core.Difference) -> str:
    if value.tolerance is None:
        return ""
    return f"{'inside' if value.within else 'OUT of'} {value.tolerance:.3g}"


def _foot(compared: Compared) -> str:
    found = compared.core.differences
    names = [name for name in ("toe", "camber", "thrust angle") if any(name in spoken(v.key) for v in found.values)]
    shared = f" Lasting errors of {_listed(found.shared)} are in both sheets and cancel." if found.shared else ""
    apart = f" Those of {_listed(found.apart)} do not." if found.apart else ""
    plus = f" {signs(names)}" if names else ""
    return "u: one standard deviation of the change. Tolerances: common practice, no source." + shared + apart + plus


def _listed(words: list[str]) -> str:
    said = [printable(word) for word in words]
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} and {said[-1]}"


def _cause_lines(compared: Compared) -> list[str]:
    lines = [printable(cause.words) for cause in compared.core.causes if cause.kind != "turns"]
    return lines + [f"{spoken(one.key)}: {one.words}" for one in compared.core.turned]


def _columns(compared: Compared) -> list[tuple[str, NDArray[np.float64]]]:
    """One for each cause; all of the state in one where they are many."""
    causes = compared.core.causes
    state = [cause for cause in causes if cause.kind in _STATE]
    rest = [(cause.name, cause.by) for cause in causes if cause.kind not in _STATE]
    if len(causes) <= _MOST_CAUSES or not state:
        return [(printable(cause.name), cause.by) for cause in state] + rest
    return [("state", np.sum([cause.by for cause in state], axis=0)), *rest]


def _explained(compared: Compared) -> Table:
    columns = _columns(compared)
    table = _table("", "change", *(name for name, _ in columns), "left", "u", "")
    values, left = compared.core.differences.values, compared.core.left

    def shown(i: int) -> bool:
        least = _LEAST * values[i].uncertainty
        return values[i].changed or left[i].unexplained or any(abs(by[i]) >= least for _, by in columns)

    for title, places in _by_place(compared, shown):
        table.add_row(Text(title, style="bold"))
        for i in places:
            digits = digits_of(values[i].key, values[i].unit)
            table.add_row(
                _name(values[i]),
                figure(values[i].by, digits, values[i].unit, sign=True),
                *(figure(by[i], digits, sign=True) if left[i].by_model else "-" for _, by in columns),
                figure(left[i].by, digits, sign=True),
                figure(left[i].uncertainty, digits + 1),
                "LEFT OVER" if left[i].unexplained else "noise",
            )
    return table


def _verdict(compared: Compared) -> str:
    core = compared.core
    if not core.degrees:
        return "How much is left altogether cannot be weighed."
    together = f"(chi-square {core.chi_square:.1f} of {_counted(core.degrees, 'value')}, {_p_words(core.p)})"
    if core.p >= 1.0 - _CERTAIN:
        return f"Taken together, what is left is no more than noise {together}."
    keys = ", ".join(spoken(key) for key in compared.unexplained) or "small amounts in many values"
    return f"More is left than noise {together}: {keys}."
