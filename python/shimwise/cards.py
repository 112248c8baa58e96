"""How plans, cards and effect tables look: text at 80 columns, HTML, plain data."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

from rich.console import Console, Group
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from shimwise import _core
from shimwise.data_of import data_of

if TYPE_CHECKING:
    from rich.console import RenderableType

    from shimwise.car import Car
    from shimwise.workshop import Plan

__all__ = ["bullet", "check_lines", "effects_view", "plan_data", "plan_html", "plan_text", "plan_view"]

CHOICES = {"nothing": "touch nothing", "closest": "closest", "least_work": "least work"}


def plan_data(plan: Plan, choice: str) -> dict[str, Any]:
    """Everything of a plan and the card of one choice, as plain data."""
    return {
        "choice": choice,
        "chance_to_pass": {name: round(p.value, 6) for name, p in plan.chances.items()},
        "card": data_of(plan.card(choice)),
        "settings_after": {k: v for k, v in data_of(plan.settings_after(choice)).items() if k != "file"},
        "plan": data_of(plan.core),
    }


def plan_text(plan: Plan, choice: str, width: int) -> str:
    """The plan and its card, as a terminal shows them."""
    out = Console(file=io.StringIO(), width=width, record=True, highlight=False)
    out.print(plan_view(plan, choice))
    return out.export_text(styles=False)


def plan_html(plan: Plan, choice: str) -> str:
    """The same for a notebook."""
    out = Console(file=io.StringIO(), width=88, record=True, highlight=False)
    out.print(plan_view(plan, choice))
    return out.export_html(inline_styles=True, code_format='<pre style="line-height:1.25">{code}</pre>')


def plan_view(plan: Plan, choice: str) -> RenderableType:
    """Measured against wanted, the choices side by side, why this one, and the card."""
    parts: list[RenderableType] = [_compared(plan)]
    if any(row.target and row.target.tolerance_is_common_practice for row in plan.core.compared):
        parts.append(Text("* no tolerance in the targets file: common practice, no source"))
    parts.append(Text())
    for refusal in plan.core.refusals:
        parts += [Text(f"Cannot be met: {refusal}", style="bold"), Text()]
    parts += [_choices(plan, choice), _proof(plan, choice), Text(), *_card(plan.card(choice))]
    return Group(*parts)


def _table(title: str, gap: int = 2) -> Table:
    return Table(
        title=title, title_justify="left", title_style="bold", box=None, pad_edge=False, padding=(0, gap, 0, 0)
    )


def _compared(plan: Plan) -> Table:
    measured = plan.core.measured
    ground = "measured ride heights" if measured.ground_from.name == "ride_heights" else "drawn contacts"
    table = _table(f"Measured and wanted, ground frame (plane through {ground})")
    for column in ("", "measured", "u", "wanted", "off by"):
        table.add_column(column, justify="left" if column == "" else "right", no_wrap=True)
    table.add_column("")
    for row in plan.core.compared:
        if row.target is None and row.derived:
            continue
        digits = 3 if row.unit == "deg" else 2
        table.add_row(
            _name(row.key),
            _number(row.measured, digits, row.unit),
            _number(row.uncertainty, digits),
            _wanted(row.target, digits),
            _number(row.difference, digits, sign=True),
            {True: "ok", False: "OUT", None: ""}[row.within],
        )
    return table


def _name(key: str) -> str:
    words = key.replace("ride_height.", "ride height ").replace(".", " ").replace("_", " ")
    return words + " (FR + RL)" if key == "cross_weight" else words


def _number(value: float | None, digits: int, unit: str = "", *, sign: bool = False) -> str:
    if value is None:
        return ""
    unit = {"percent": "%"}.get(unit, unit)
    return f"{value + 0.0:{'+' if sign else ''}.{digits}f}{' ' + unit if unit else ''}"


def _wanted(target: _core.Target | None, digits: int) -> str:
    if target is None:
        return ""
    words = []
    if target.value is not None:
        mark = " *" if target.tolerance_is_common_practice else ""
        words.append(f"{target.value:.{digits}f} within {target.tolerance:.{digits}f}{mark}")
    if target.least is not None:
        words.append(f"at least {target.least:g}")
    if target.most is not None:
        words.append(f"at most {target.most:g}")
    return ", ".join(words)


def _choices(plan: Plan, choice: str) -> Table:
    table = _table("What could be done")
    for column in ("", "chance to pass", "minutes", "in tolerance", "cost"):
        table.add_column(column, justify="left" if column == "" else "right", no_wrap=True)
    for name, chance in plan.chances.items():
        option = plan[name]
        table.add_row(
            f"{'> ' if name == choice else '  '}{CHOICES[name]}",
            f"{chance.value:.2f}",
            f"{option.minutes:.0f}",
            "yes" if option.within else "no",
            f"{option.cost:.3g}",
        )
    return table


def _proof(plan: Plan, choice: str) -> Text:
    chosen = plan[choice]
    lines = [f"The card below is for: {CHOICES[choice]}. Chance and tolerance are those of toe and camber."]
    for name, corner in zip(_core.CornerId.__members__, chosen.corners, strict=True):
        proof = corner.proof
        if choice == "nothing" or not proof.combinations:
            continue
        on = (
            "all tried on the full model"
            if proof.evaluated_on.name == "nonlinear_model"
            else "searched on the linear model"
        )
        second = (
            "" if proof.second_cost is None else f"; second best costs {proof.second_cost:.3g} to {corner.cost:.3g}"
        )
        stock = "; the shared shims did not allow its own best" if proof.stock_bound else ""
        lines.append(f"{_name(name)}: {proof.combinations} settings, {on}{second}{stock}.")
    return Text("\n".join(lines))


def _card(card: _core.Card) -> list[RenderableType]:
    parts: list[RenderableType] = [Text(f"CARD  {card.car}: {card.title}", style="bold"), Text(card.frame), Text()]
    parts += [bullet("!", caution) for caution in card.cautions]
    for step in card.steps:
        parts += [Text(), Text(f"{step.number}  {step.title}", style="bold")]
        for line in step.lines:
            parts.append(bullet("[ ]" if step.boxes else "-", line.text))
            if line.expect is not None and (told := _expected(line.expect)):
                parts.append(Padding(Text(told), (0, 0, 0, 6)))
    if card.notes:
        parts += [Text(), Text("Notes", style="bold"), *(bullet("-", note) for note in card.notes)]
    return parts


def bullet(mark: str, text: str) -> Table:
    """A line that wraps under itself, not under its mark."""
    table = Table.grid(padding=(0, 1, 0, 0))
    table.add_column(no_wrap=True)
    table.add_column()
    table.add_row(Text(f"  {mark}"), Text(text))
    return table


def _expected(expect: _core.Expectation) -> str:
    words = []
    if expect.flag_difference_mm is not None:
        words.append(f"flags {_more(expect.flag_difference_mm)} (u {expect.flag_deviation_mm:.2f})")
    if expect.gauge_deg is not None:
        words.append(f"gauge {expect.gauge_deg + 0.0:.2f} deg (u {expect.camber_deviation_deg:.2f})")
    values = []
    if expect.toe_deg is not None:
        values.append(f"toe {expect.toe_deg + 0.0:.3f}")
    if expect.camber_deg is not None:
        values.append(f"camber {expect.camber_deg + 0.0:.3f} deg")
    return "then " + ": ".join(", ".join(part) for part in (words, values) if part) if words or values else ""


def _more(difference_mm: float) -> str:
    if abs(difference_mm) < 0.05:
        return "equal"
    return f"{abs(difference_mm):.1f} mm more at the {'front' if difference_mm > 0 else 'rear'}"


_SHOWN = {
    "toe_deg": ("toe", "deg", 3),
    "camber_deg": ("camber", "deg", 3),
    "caster_deg": ("caster", "deg", 3),
    "kingpin_inclination_deg": ("kingpin", "deg", 3),
    "half_track_mm": ("half tr.", "mm", 2),
    "chassis_height_mm": ("chassis", "mm", 2),
    "spring_length_mm": ("spring", "mm", 2),
}
_HELD = {"contact": "chassis_height_mm", "wheel": "", "spring": "spring_length_mm"}


def effects_view(car: Car, corner: str, hold: str, per: str) -> Table:
    """One corner's effect table at 80 columns: the outputs that a workshop reads, without the one that is held."""
    shown = {name: about for name, about in _SHOWN.items() if name != _HELD[hold]}
    table = _table(f"{_name(corner)}: effect of one {per}, {hold} held, chassis frame", gap=1)
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
        adjuster = adjusters[row.adjuster]
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
    return table


def _amount(adjuster: _core.Adjuster, row: _core.EffectRow) -> str:
    way = _core.row_name(adjuster, _core.Per.step_down if row.per == _core.Per.step_down else _core.Per.step_up)
    way = way.removeprefix("step ").replace("the spring", "spring")
    return f"{abs(row.amount_mm):.1f} mm {way}" if isinstance(adjuster.setting, _core.Stack) else way


def _change(value: float, digits: int) -> str:
    return "0" if abs(value) < 1e-9 else f"{value:+.{digits}f}"


def check_lines(car: Car) -> list[str]:
    """What one step of every adjuster does, so that a reversed sign is seen before it is used.

    Contact held; where nothing changes at the wheel then, spring length held.
    """
    lines = []
    for name, corner in car.corners.items():
        contact, spring = corner.effect_table("contact"), corner.effect_table("spring")
        for number, adjuster in enumerate(corner.adjusters):
            stack = isinstance(adjuster.setting, _core.Stack)
            per = _core.Per.mm if stack else _core.Per.step_up
            words = "1 mm thicker" if stack else _core.row_name(adjuster, per).replace("step", "one step")
            told = _told(contact, number, per)
            if not told and (told := _told(spring, number, per)):
                words += ", spring length held"
            lines.append(f"{name}.{adjuster.name}, {words}: {', '.join(told) or 'nothing at this corner by itself'}")
    return lines


_TOLD = (
    ("toe_deg", "toe", 3, "deg"),
    ("camber_deg", "camber", 3, "deg"),
    ("caster_deg", "caster", 3, "deg"),
    ("chassis_height_mm", "chassis over contact", 2, "mm"),
)


def _told(table: _core.EffectTable, adjuster: int, per: _core.Per) -> list[str]:
    row = next(r for r in table.rows if r.adjuster == adjuster and r.per == per)
    change = dict(zip(_core.column_names(), row.change, strict=True))
    return [
        f"{label} {change[key]:+.{digits}f} {unit}"
        for key, label, digits, unit in _TOLD
        if abs(change[key]) >= 0.5 * 10**-digits
    ]
