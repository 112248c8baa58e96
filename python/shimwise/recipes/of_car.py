"""Recipes of the whole car at rest: a height, the rake or the cross weight alone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from shimwise import _core
from shimwise.data_of import data_of
from shimwise.setting_words import written
from shimwise.shown import Shown

if TYPE_CHECKING:
    import pandas as pd

    from shimwise.standing.stand import Stand

__all__ = ["CarRecipe", "car_recipe"]


class CarRecipe(Shown):
    """A recipe of the whole car, made by `Car.recipe`; values in the ground frame, as in `Rest`."""

    def __init__(self, stand: Stand, core: _core.CarRecipe) -> None:
        self.stand = stand
        self.core = core

    @property
    def inside(self) -> bool:
        """Whether it can be done, and keeps every limit."""
        return self.core.inside

    @property
    def refusal(self) -> str:
        """Why there is none; empty where there is."""
        return self.core.refusal

    @property
    def turns(self) -> dict[str, float]:
        """Exact turns by adjuster, counted from the present setting: what `Car.expect` takes; packs are left out."""
        return {part.key: part.turns for part in self.core.parts if part.turns is not None}

    @property
    def minutes(self) -> float:
        """Of all of its parts."""
        return self.core.minutes

    def frame(self) -> pd.DataFrame:
        """Return the parts, indexed by adjuster.

        Columns: `amount_mm`, exact, + = longer or thicker; `turns`, NaN of a pack; `minutes`; `nearest_mm`, what is set
        of it where steps and shims are as they are; `nearest`, that in words, empty where it is left alone or the
        recipe breaks a limit; `inside`, whether all limits are kept.
        """
        import pandas as pd

        rows = [
            (part.key, part.amount_mm, part.turns, part.minutes, part.nearest_mm, part.nearest_words, self.inside)
            for part in self.core.parts
        ]
        columns = ["adjuster", "amount_mm", "turns", "minutes", "nearest_mm", "nearest", "inside"]
        frame = pd.DataFrame(rows, columns=columns).set_index("adjuster")
        frame["turns"] = frame["turns"].astype(float)
        return frame

    def changes(self) -> pd.DataFrame:
        """Return every value of the car at rest, indexed by its name (as in `Rest.values`).

        Columns: `now`; `exact`, what changes with the exact turns; `nearest`, with the nearest settings, NaN where
        there are none.
        """
        import pandas as pd

        names = pd.Index([output.name for output in self.core.outputs], name="value")
        done = bool(self.core.parts)
        columns = {
            "now": self.core.now,
            "exact": self.core.change if done else float("nan"),
            "nearest": self.core.nearest_change if self.inside else float("nan"),
        }
        frame = pd.DataFrame(columns, index=names)
        frame.attrs = {"hold": "rest", "frame": "ground", "chassis_is_rigid": self.stand.chassis_is_rigid}
        return frame

    def as_dict(self) -> dict[str, Any]:
        """Return everything as plain data: what `--json` prints."""
        content: dict[str, Any] = data_of(self.core)
        names = [output["name"] for output in content.pop("outputs")]
        for change in ("now", "change", "nearest_change"):
            content[change] = dict(zip(names, content[change], strict=True))
        return {
            "hold": "rest",
            "frame": "ground",
            "chassis_is_rigid": self.stand.chassis_is_rigid,
            **self.stand.stands_on,
        } | content


def car_recipe(stand: Stand, aims: object, keep: object, turn: object) -> CarRecipe:
    """Check the arguments of `Car.recipe`, then find the recipe."""
    if not isinstance(aims, Mapping):
        raise _core.InputError(f'aims = {aims!r}: needs values and amounts, such as {{"front_height": "+2 mm"}}')
    ask = _core.CarRecipeAsk(
        [_core.car_aim(stand.model, str(what), written(by)) for what, by in aims.items()],
        None if keep is None else _names("keep", keep),
        [] if turn is None else _names("turn", turn),
    )
    return CarRecipe(stand, _core.car_recipe(stand.model, ask, list(stand.pads_mm.values())))


def _names(argument: str, names: object) -> list[str]:
    if isinstance(names, str) or not isinstance(names, Iterable) or not all(isinstance(n, str) for n in names):
        raise _core.InputError(f"{argument} = {names!r}: needs a list of names")
    return list(names)
