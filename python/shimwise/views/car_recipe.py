"""How a recipe of the whole car looks: text at 80 columns."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.console import Group
from rich.table import Table
from rich.text import Text

from shimwise import _core
from shimwise.recipes.of_car import CarRecipe
from shimwise.shown import view
from shimwise.views.output_words import DIGITS, INFOS
from shimwise.views.pieces import bullet, caution_lines, plain_table, signs
from shimwise.views.rest import bars_words, stands_words
from shimwise.words import figure, spoken, unit_word

if TYPE_CHECKING:
    from rich.console import RenderableType


__all__ = ["car_recipe_view"]

_DIGITS = {"mm": 2, "deg": 3, "percent": 2, "kg": 1, "N": 0, "Nm": 1}
_ALSO = ("rake", "cross_weight", "front_difference", "rear_difference")
_WIDTH = 10
# What plus means, by the end of a value's name; of any other value its own words are said.
_PLUS = {
    "height": f"{INFOS['height'].plus} (heights)",
    "rake": f"{INFOS['rake'].plus} (rake)",
    "roll": f"{INFOS['roll'].plus} (roll)",
    "cross_weight": f"{INFOS['cross_weight'].plus} (cross weight)",
    "difference": f"{INFOS['front_difference'].plus} (differences)",
}


@view.register(CarRecipe)
def car_recipe_view(recipe: CarRecipe) -> RenderableType:
    """What is turned, what it does to the values asked for and to the rest of the car, and the cautions."""
    core = recipe.core
    parts: list[RenderableType] = [Text(_heading(recipe), style="bold"), Text(_stands(recipe)), Text()]
    if core.refusal:
        parts.append(Text(f"None: {core.refusal}."))
    else:
        parts.append(_parts(recipe))
        parts += [bullet("!", f"OVER A LIMIT, a rate only: {limit}.") for limit in core.limits]
        parts += [bullet("!", f"{spoken(part.key)}: {part.not_made}.") for part in core.parts if part.not_made]
    if core.reach < 1.0 and (core.limits or core.reach > 0.0):
        parts.append(Text(f"Inside the limits it goes {100.0 * core.reach:.1f} % of that way.", style="bold"))
    if not core.refusal:
        parts += [Text(), _values(recipe), Text(), _by_corner(recipe), Text(), Text(_words(recipe))]
    parts += [bullet("-", f"{note}.") for note in core.notes]
    if recipe.stand.chassis_is_rigid:
        parts.append(bullet("!", _core.RIGID_CHASSIS_WORDS))
    if not core.refusal:
        parts += [Text(), *caution_lines(_core.cautions())]
    return Group(*parts)


def _heading(recipe: CarRecipe) -> str:
    aims = [_aimed(v) for v in recipe.core.values if v.aim]
    kept = [_label(v) for v in recipe.core.values if not v.aim]
    words = f"{recipe.stand.car.name}: {_listed(aims)}"
    if kept:
        words += f"; {_listed(kept)} {'stays' if len(kept) == 1 else 'stay'}"
    return words if recipe.refusal else f"{words}: {recipe.minutes:.0f} minutes"


def _aimed(value: _core.CarRecipeValue) -> str:
    words = f"{_label(value)} {figure(value.by, _digits(value), value.unit, sign=True)}"
    if value.at_flags_mm is None:
        return words
    return f"{words} ({figure(value.at_flags_mm, 1, 'mm', sign=True)} at the flags)"


def _stands(recipe: CarRecipe) -> str:
    stand = recipe.stand
    return f"At rest on its springs, {stands_words(stand)}; {stand.chassis_words}. {bars_words(stand)}".rstrip()


def _parts(recipe: CarRecipe) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), title_justify="left")
    table.add_column("turn", no_wrap=True)
    table.add_column("exactly", no_wrap=True)
    table.add_column("nearest that can be set" if recipe.inside else "")
    for part in recipe.core.parts:
        nearest = part.nearest_words or "leave it" if recipe.inside else ""
        table.add_row(spoken(part.key), part.words, nearest)
    return table


def _values(recipe: CarRecipe) -> Table:
    """What was asked, then what else of the whole car it moves."""
    core = recipe.core
    table = plain_table("What changes")
    table.add_column("", no_wrap=True, min_width=20)
    for column in ("now", "wanted", "exactly", *(("as set", "weighed by") if recipe.inside else ())):
        table.add_column(column, justify="right", no_wrap=True)
    for value in core.values:
        wanted = figure(value.by, _digits(value), sign=True) if value.aim else "stays"
        row = [figure(value.now, _digits(value)), wanted, _change(value.change, _digits(value))]
        if recipe.inside:
            row += [_change(value.nearest_change, _digits(value)), f"{value.tolerance:g}"]
        table.add_row(_with_unit(value), *row)
        if value.at_flags_mm is not None:
            table.add_row("  at the flags, mm", *_at_flags(recipe, value))
    for place, output in enumerate(core.outputs):
        name = _plain(output)
        if name not in _ALSO or any(value.name == name for value in core.values):
            continue
        digits = _DIGITS[output.unit]
        row = [figure(core.now[place], digits), "", _change(core.change[place], digits)]
        if recipe.inside:
            row += [_change(core.nearest_change[place], digits), ""]
        table.add_row(f"{spoken(name)}, {unit_word(output.unit)}", *row)
    return table


def _at_flags(recipe: CarRecipe, value: _core.CarRecipeValue) -> list[str]:
    """The same toe in the mm in which it was asked for."""
    corner = recipe.stand.car.core.corner(_core.CornerId.__members__[value.name.partition(".")[0]])

    def mm(toe_deg: float) -> float:
        return _core.flag_difference_mm(toe_deg, 0.0, corner.wheel.flag_span_mm)

    row = [figure(mm(value.now), 1), figure(value.at_flags_mm, 1, sign=True), _change(mm(value.change), 1)]
    return [*row, _change(mm(value.nearest_change), 1), ""] if recipe.inside else row


def _by_corner(recipe: CarRecipe) -> Table:
    """Heights, weights, toe and camber of every corner: what changes with the exact turns, and as set."""
    core = recipe.core
    places = {output.name: place for place, output in enumerate(core.outputs)}
    table = plain_table("What changes by corner")
    table.add_column("", no_wrap=True)
    for name in _core.CornerId.__members__:
        table.add_column(spoken(name), justify="right", no_wrap=True, min_width=_WIDTH)
    ways = [("exactly", core.change), *([("as set", core.nearest_change)] if recipe.inside else [])]
    for label, key, digits in (
        ("ride height, mm", "ride_height.{}_mm", 2),
        ("scale, kg", "{}.weight_kg", 1),
        ("toe, deg", "{}.toe_deg", DIGITS["toe"]),
        ("camber, deg", "{}.camber_deg", DIGITS["camber"]),
    ):
        keys = [key.format(corner) for corner in _core.CornerId.__members__]
        if not all(one in places for one in keys):
            continue
        for way, change in ways:
            table.add_row(f"{label} {way}", *(_change(change[places[one]], digits) for one in keys))
    return table


def _words(recipe: CarRecipe) -> str:
    names = [value.name for value in recipe.core.values] + list(_ALSO)
    plus = [words for end, words in _PLUS.items() if any(_ends(name, end) for name in names)]
    words = signs(("toe", "camber")).removesuffix(".") + "".join(f", {one}" for one in plus) + "."
    for value in recipe.core.values:
        if value.sign and not any(_ends(value.name, end) for end in (*_PLUS, "toe", "camber")):
            words += f" {_label(value).capitalize()}: {value.sign}."
    if not recipe.inside:
        return words
    within = "" if recipe.core.nearest_within else " NOT ALL OF IT IS WITHIN THAT."
    return (
        f"Set like that, {recipe.core.nearest_minutes:.0f} minutes. The nearest settings are weighed by what is good "
        f"enough (common practice, no source).{within} {words}"
    )


def _ends(name: str, end: str) -> bool:
    return name.endswith(end) or (end == "height" and name.startswith("ride_height."))


def _label(value: _core.CarRecipeValue) -> str:
    return spoken(value.name).removesuffix(f" ({INFOS['cross_weight'].in_words})")


def _with_unit(value: _core.CarRecipeValue) -> str:
    unit = unit_word(value.unit)
    return f"{_label(value)}, {unit}" if unit else _label(value)


def _plain(output: _core.RestOutput) -> str:
    return output.name.removesuffix(f"_{output.unit}")


def _digits(value: _core.CarRecipeValue) -> int:
    return _DIGITS.get(value.unit, 3)


def _change(value: float, digits: int) -> str:
    shows = abs(value) >= 0.5 * 10**-digits
    return figure(value if shows else 0.0, digits, sign=shows)


def _listed(words: list[str]) -> str:
    return " and ".join(filter(None, [", ".join(words[:-1]), *words[-1:]]))
