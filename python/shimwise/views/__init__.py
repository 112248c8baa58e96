"""How results look: text at 80 columns. Loading this registers each view with its result, see `shown.view`."""

from shimwise.views import (
    baseline,
    car_recipe,
    card,
    compared,
    datum,
    expected,
    history,
    plan,
    recipes,
    rest,
    restored,
    sheet_read,
    skid,
    solid,
    whole_numbers,
)

__all__ = [
    "baseline",
    "car_recipe",
    "card",
    "compared",
    "datum",
    "expected",
    "history",
    "plan",
    "recipes",
    "rest",
    "restored",
    "sheet_read",
    "skid",
    "solid",
    "whole_numbers",
]
