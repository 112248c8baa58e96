"""One output of a corner alone: what moves it and leaves the others where they are."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from shimwise import _core
from shimwise.data_of import data_of
from shimwise.setting_words import written
from shimwise.shown import Shown

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["Recipes", "changes_of"]


def changes_of(corner: _core.Corner, by: object) -> dict[str, _core.ValueChange]:
    """Return by how much each output is to be moved; of nothing an empty dictionary.

    Raises:
        InputError: not a mapping from outputs to amounts.
    """
    if by is None:
        return {}
    if not isinstance(by, Mapping):
        raise _core.InputError(f'by = {by!r}: needs outputs and amounts, such as {{"camber": 0.25}}')
    for output in by:
        if not isinstance(output, str):
            raise _core.InputError(f"by: {output!r} is no output's name")
    return {output: _core.recipe_change(corner, output, written(amount)) for output, amount in by.items()}


class Recipes(Shown):
    """Recipes of one corner, made by `Corner.recipes`.

    Attributes:
        flag_span_mm: from flag to flag.
        at_flags_mm: by how much outputs are moved in mm at the flags, where it was given so.
    """

    def __init__(
        self, core: _core.Recipes, corner: str, at_flags_mm: Mapping[str, float | None], flag_span_mm: float
    ) -> None:
        self.core = core
        self.corner = corner
        self.flag_span_mm = flag_span_mm
        self.at_flags_mm = {output: mm for output, mm in at_flags_mm.items() if mm is not None}

    def __getitem__(self, output: str) -> _core.Recipe:
        found = {recipe.output.name: recipe for recipe in self.core.recipes}
        if output not in found:
            raise _core.InputError(f"output = {output!r}: there are recipes of {', '.join(found)}")
        return found[output]

    def frame(self) -> pd.DataFrame:
        """Return the parts, indexed by (output, adjuster).

        Columns: `by`, deg or mm; `amount_mm`, exact, + = longer or thicker; `turns`, NaN of a pack; `minutes`;
        `nearest_mm`, what can be set nearest to it; `nearest`, that in words, empty where it is left alone or the
        recipe breaks a limit; `inside`, whether all limits are kept.
        """
        import pandas as pd

        rows = [
            (recipe.output.name, part.key.partition(".")[2], recipe.by, part.amount_mm, part.turns, part.minutes)
            + (part.nearest_mm, part.nearest_words, recipe.inside)
            for recipe in self.core.recipes
            for part in recipe.parts
        ]
        columns = ["output", "adjuster", "by", "amount_mm", "turns", "minutes", "nearest_mm", "nearest", "inside"]
        frame = pd.DataFrame(rows, columns=columns).set_index(["output", "adjuster"])
        frame["turns"] = frame["turns"].astype(float)
        frame.attrs = {"corner": self.corner, "hold": "spring", "frame": "chassis"}
        return frame

    def changes(self) -> pd.DataFrame:
        """Return what every recipe does to all outputs, indexed by (output, set): "exact", and "nearest" settings."""
        import pandas as pd

        rows = {}
        for recipe in self.core.recipes:
            if recipe.parts:
                rows[recipe.output.name, "exact"] = recipe.change
            if recipe.inside:
                rows[recipe.output.name, "nearest"] = recipe.nearest_change
        index = pd.MultiIndex.from_tuples(rows, names=["output", "set"])
        frame = pd.DataFrame(list(rows.values()), index=index, columns=_core.column_names())
        frame.attrs = {"corner": self.corner, "hold": "spring", "frame": "chassis"}
        return frame

    def as_dict(self) -> dict[str, Any]:
        """Return everything as plain data: what `--json` prints."""
        columns = _core.column_names()
        content: dict[str, Any] = data_of(self.core)
        content["now"] = dict(zip(columns, content["now"], strict=True))
        for recipe in content["recipes"]:
            for change in ("change", "nearest_change"):
                recipe[change] = dict(zip(columns, recipe[change], strict=True))
            if recipe["output"] in self.at_flags_mm:
                recipe["by_at_flags_mm"] = self.at_flags_mm[recipe["output"]]
        return content
