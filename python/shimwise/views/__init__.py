"""How results look: text at 80 columns. Loading this registers each view with its result, see `shown.view`."""

from shimwise.views import car_recipe, compared, datum, expected, plan, recipes, rest, sheet_read, solid, whole_numbers

__all__ = [
    "car_recipe",
    "compared",
    "datum",
    "expected",
    "plan",
    "recipes",
    "rest",
    "sheet_read",
    "solid",
    "whole_numbers",
]
