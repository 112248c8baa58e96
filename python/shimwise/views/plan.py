"""How plans and cards look: text at 80 columns."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.console import Group
from rich.padding import Padding
from rich.text import Text

from shimwise import _core
from shimwise.choice.plan import Plan
from shimwise.shown import view
from shimwise.views.pieces import bullet, caution_lines, doubt_lines, plain_table
from shimwise.words import figure, spoken

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.table import Table


__all__ = ["plan_view"]

CHOICES = {"nothing": "touch nothing", "closest": "closest", "least_work": "least work"}


@view.register(Plan)
def plan_view(plan: Plan, choice: str | None = None) -> RenderableType:
    """Measured against wanted, the choices side by side, why this one, and the card."""
    choice = choice or plan.choice
    parts = doubt_lines(plan.doubts)
    if plan.unread:
        names = ", ".join(spoken(key) for key in plan.unread)
        parts.append(Text(f"Not judged, as nothing that was read answers it: {names}.", style="bold"))
    if parts:
        parts.append(Text())
    parts.append(_compared(plan))
    if any(row.target and row.target.tolerance_is_common_practice for row in plan.core.compared):
        parts.append(Text("* no tolerance in the targets file: common practice, no source"))
    parts.append(Text())
    for refusal in plan.core.refusals:
        parts += [Text(f"Cannot be met: {refusal}", style="bold"), Text()]
    parts += [_choices(plan, choice), _proof(plan, choice), Text(), *_card(plan.card(choice))]
    return Group(*parts)


def _compared(plan: Plan) -> Table:
    measured = plan.core.measured
    ground = "measured ride heights" if measured.ground_from.name == "ride_heights" else "drawn contacts"
    table = plain_table(f"Measured and wanted, ground frame (plane through {ground})")
    for column in ("", "measured", "u", "wanted", "off by"):
        table.add_column(column, justify="left" if column == "" else "right", no_wrap=True)
    table.add_column("")
    for row in plan.core.compared:
        if row.target is None and row.derived:
            continue
        digits = 3 if row.unit == "deg" else 2
        table.add_row(
            spoken(row.key),
            figure(row.measured, digits, row.unit),
            figure(row.uncertainty, digits),
            _wanted_of(row.target, digits),
            figure(row.difference, digits, sign=True),
            {True: "ok", False: "OUT", None: ""}[row.within],
        )
        if row.at_flags is not None:
            table.add_row(*_at_flags(row.at_flags))
    return table


def _at_flags(at: _core.AtFlags) -> tuple[str, ...]:
    """The same toe in the mm in which it is wanted."""
    return (
        "  at the flags",
        figure(at.measured_mm, 2, "mm"),
        figure(at.uncertainty_mm, 2),
        _wanted(at.value_mm, at.tolerance_mm, at.least_mm, at.most_mm, 2),
        figure(at.difference_mm, 2, sign=True),
        "",
    )


def _wanted_of(target: _core.Target | None, digits: int) -> str:
    if target is None:
        return ""
    mark = " *" if target.tolerance_is_common_practice else ""
    return _wanted(target.value, target.tolerance, target.least, target.most, digits, mark)


def _wanted(
    value: float | None, tolerance: float, least: float | None, most: float | None, digits: int, mark: str = ""
) -> str:
    words = [] if value is None else [f"{value:.{digits}f} within {tolerance:.{digits}f}{mark}"]
    if least is not None:
        words.append(f"at least {least:g}")
    if most is not None:
        words.append(f"at most {most:g}")
    return ", ".join(words)


def _choices(plan: Plan, choice: str) -> Table:
    table = plain_table("What could be done")
    for column in ("", "chance to pass", "minutes", "in tolerance", "cost"):
        table.add_column(column, justify="left" if column == "" else "right", no_wrap=True)
    for name, chance in plan.chances.items():
        option = plan[name]
        table.add_row(
            f"{'> ' if name == choice else '  '}{CHOICES[name]}",
            f"{chance.value:.2f}" if option.next.keys else "",
            f"{option.minutes:.0f}",
            ("yes" if option.within else "no") if _asked(option) else "",
            f"{option.cost:.3g}",
        )
    return table


def _asked(option: _core.Choice) -> bool:
    """Whether a target is among what a choice is judged by."""
    return any(corner.outputs for corner in option.corners) or any(one.target for one in option.derived)


def _proof(plan: Plan, choice: str) -> Text:
    chosen = plan[choice]
    lines = [f"The card below is for: {CHOICES[choice]}. {_covered(plan, len(chosen.next.keys))}"]
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
        proven = "" if proof.proven else "; not proven: the search ended at its limit, a better one may be left"
        count = str(proof.combinations) if proof.combinations < 10**15 else "more than 10^15"
        lines.append(f"{spoken(name)}: {count} settings, {on}{second}{stock}{proven}.")
    return Text("\n".join(lines))


def _covered(plan: Plan, read: int) -> str:
    """What the verdict and its chance are of."""
    if not plan.unread:
        return "Chance and tolerance are those of toe and camber."
    if not read:
        return "There is no chance to tell: no toe or camber that is asked for was read."
    return f"Chance and tolerance are those of the {read} values of toe and camber that were read."


def _card(card: _core.Card) -> list[RenderableType]:
    parts: list[RenderableType] = [Text(f"CARD  {card.car}: {card.title}", style="bold"), Text(card.frame), Text()]
    parts += caution_lines(card.cautions)
    for step in card.steps:
        parts += [Text(), Text(f"{step.number}  {step.title}", style="bold")]
        for line in step.lines:
            parts.append(bullet("[ ]" if step.boxes else "-", line.text))
            if line.expect is not None and (told := _expected(line.expect)):
                parts.append(Padding(Text(told), (0, 0, 0, 6)))
    if card.notes:
        parts += [Text(), Text("Notes", style="bold"), *(bullet("-", note) for note in card.notes)]
    return parts


def _expected(expect: _core.Expectation) -> str:
    words = []
    if expect.flag_difference_mm is not None:
        words.append(f"flags {_core.flags_words(expect.flag_difference_mm)} (u {expect.flag_deviation_mm:.2f})")
    if expect.gauge_deg is not None:
        words.append(f"gauge {figure(expect.gauge_deg, 2, 'deg')} (u {expect.camber_deviation_deg:.2f})")
    values = []
    if expect.toe_deg is not None:
        values.append(f"toe {expect.toe_deg + 0.0:.3f}")
    if expect.camber_deg is not None:
        values.append(f"camber {expect.camber_deg + 0.0:.3f} deg")
    return "then " + ": ".join(", ".join(part) for part in (words, values) if part) if words or values else ""
