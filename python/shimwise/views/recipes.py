"""How recipes look: text at 80 columns, one block for each output that is moved alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.console import Group
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from shimwise import _core
from shimwise.recipes.of_corner import Recipes
from shimwise.shown import view
from shimwise.views.output_words import DIGITS, INFOS, label
from shimwise.views.pieces import bullet, caution_lines, signs
from shimwise.words import figure, spoken

if TYPE_CHECKING:
    from rich.console import RenderableType


__all__ = ["recipes_view"]


@view.register(Recipes)
def recipes_view(recipes: Recipes, *, cautions: bool = True) -> RenderableType:
    """Every recipe of a corner, and once what is said wherever something is to be turned."""
    parts: list[RenderableType] = [
        Text(f"{spoken(recipes.corner)}: one output alone, spring length held, chassis frame", style="bold"),
        Text(
            "As on solid struts: chassis height is that over this corner's contact. Exact amounts, then what can be "
            "set nearest, inside the limits; the best steps for a target are found by `shimwise plan`. "
            + signs(("toe", "camber", "caster", "kingpin", "half track", "chassis height"))
        ),
    ]
    for recipe in recipes.core.recipes:
        parts += [Text(), *_recipe(recipe, recipes.at_flags_mm.get(recipe.output.name), recipes.flag_span_mm)]
    if cautions:
        parts += [Text(), *caution_lines(_core.cautions())]
    return Group(*parts)


def _recipe(recipe: _core.Recipe, at_flags_mm: float | None, flag_span_mm: float) -> list[RenderableType]:
    info = INFOS[recipe.output.name]
    unit, way = info.unit, info.plus if recipe.by > 0.0 else info.minus
    by = f"{abs(recipe.by):g} {unit}"
    if at_flags_mm is not None:
        by = f"{abs(at_flags_mm):g} mm at the flags ({abs(recipe.by):.3f} {unit})"
    heading = f"{label(recipe.output.name).capitalize()} {by} {way}"
    if recipe.refusal:
        reached = f"; inside the limits it goes {_size(recipe.reach)} {unit} that way" if recipe.reach else ""
        return [Text(heading, style="bold"), _under(f"None: {recipe.refusal}{reached}.")]
    if recipe.kept:
        stay = "stays" if len(recipe.kept) == 1 else "stay"
        heading += f"; {_listed([label(output.name) for output in recipe.kept])} {stay}"
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), show_header=False)
    for column in range(3):
        table.add_column(no_wrap=column < 2)
    for part in recipe.parts:
        nearest = part.nearest_words or "leave it" if recipe.inside else ""
        table.add_row(_name(part), part.words, nearest)
    told: list[RenderableType] = [Text(f"{heading}: {recipe.minutes:.0f} minutes", style="bold"), _under(table)]
    told += [bullet("!", f"{_name(part)}: {part.not_made}.") for part in recipe.parts if part.not_made]
    if recipe.inside:
        changes = _nearest_changes(recipe)
        if at_flags_mm is not None:
            mm = _core.flag_difference_mm(recipe.nearest_change[_index(recipe.output.name)], 0.0, flag_span_mm)
            changes += f"; at the flags {figure(mm, 1, 'mm', sign=True)} (plus: more at the front)"
        told.append(_under(f"Set like that, {recipe.nearest_minutes:.0f} minutes: {changes}."))
    else:
        told += [bullet("!", f"OVER A LIMIT, a rate only: {limit}.") for limit in recipe.limits]
        if abs(recipe.reach) < abs(recipe.by):
            told.append(_under(f"Inside the limits it goes {_size(recipe.reach)} {unit} that way alone."))
    if also := _also(recipe):
        told.append(_under(f"Done exactly, this moves too: {also}."))
    return told


def _name(part: _core.RecipePart) -> str:
    return part.key.partition(".")[2]


def _under(what: RenderableType) -> Padding:
    return Padding(what, (0, 0, 0, 2))


def _nearest_changes(recipe: _core.Recipe) -> str:
    """What the nearest settings do: the moved output first."""
    names = [recipe.output.name, *(output.name for output in recipe.kept)]
    return ", ".join(_change(name, recipe.nearest_change[_index(name)]) for name in names)


def _also(recipe: _core.Recipe) -> str:
    named = {recipe.output.name, *(output.name for output in recipe.kept)}
    moved = [
        _change(name, recipe.change[_index(name)])
        for name, digits in DIGITS.items()
        if name not in named and abs(recipe.change[_index(name)]) >= 0.5 * 10**-digits
    ]
    return ", ".join(moved)


def _change(name: str, value: float) -> str:
    shows = abs(value) >= 0.5 * 10 ** -DIGITS[name]
    return f"{label(name)} {figure(value if shows else 0.0, DIGITS[name], INFOS[name].unit, sign=shows)}"


def _size(value: float) -> str:
    return f"{abs(value):.2f}"


def _listed(words: list[str]) -> str:
    return " and ".join(filter(None, [", ".join(words[:-1]), *words[-1:]]))


def _index(name: str) -> int:
    return int(_core.Output.__members__[name].value)
