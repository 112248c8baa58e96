"""What every adjuster of a corner does to every output, as a table."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from shimwise import _core
from shimwise.arguments import finite
from shimwise.as_set import CornerAsSet

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    import pandas as pd

__all__ = ["CornerEffects", "corners_frame", "held"]


class CornerEffects(CornerAsSet):
    """What the adjusters of a corner do, something being held, in the chassis frame."""

    def effects(self, hold: str = "contact", *, travel_mm: float = 0.0, rack_mm: float = 0.0) -> pd.DataFrame:
        """Return what every adjuster does to every output, something being held, in the chassis frame.

        Args:
            hold: "contact" (height of the contact over the ground), "wheel" (height of the wheel centre) or "spring"
                (spring length), each at its present value.
            travel_mm: wheel travel of the state, mm.
            rack_mm: rack travel of the state, mm.

        Returns:
            DataFrame with the index (adjuster, per): "turn", "flat" (1/6 turn) and "mm" are derivatives, steps are true
            differences.
            Columns are outputs with their units; `attrs` holds hold, frame and the values of the state.

        Raises:
            OutOfReach: the state does not assemble.
            InputError: no such hold.
        """
        return _effects_frame(self._corner, self.effect_table(hold, travel_mm, rack_mm), hold)

    def effects_per_travel(
        self, hold: str = "contact", *, travel_mm: float = 0.0, rack_mm: float = 0.0
    ) -> pd.DataFrame:
        """Return how the effect table itself moves: the change of every entry per mm of wheel travel.

        Arguments and errors as in `effects`.

        Returns:
            DataFrame with the index (adjuster, per), "turn" (of threads) and "mm"; columns are outputs, their unit per
            turn or mm and per mm of travel.
        """
        finite("travel_mm", travel_mm)
        finite("rack_mm", rack_mm)
        slopes = _core.rates_per_travel(self._corner, held(hold), travel_mm, rack_mm)
        return _slopes_frame(self._corner, slopes, hold)

    def effect_table(self, hold: str = "contact", travel_mm: float = 0.0, rack_mm: float = 0.0) -> _core.EffectTable:
        """The same as plain numbers, without pandas."""
        finite("travel_mm", travel_mm)
        finite("rack_mm", rack_mm)
        try:
            return _core.effects(self._car_core, self._corner.id, held(hold), travel_mm, rack_mm)
        except _core.OutOfReach as why:
            raise _core.OutOfReach(f"{self.name}: {why}") from None


def held(hold: str) -> _core.Held:
    """What is held, by its name. Raises InputError for another name."""
    if not isinstance(hold, str) or hold not in _core.Held.__members__:
        raise _core.InputError(f"hold = {hold!r}: needs one of {', '.join(_core.Held.__members__)}")
    return _core.Held.__members__[hold]


def _effects_frame(corner: _core.Corner, table: _core.EffectTable, hold: str) -> pd.DataFrame:
    """The effect table with the index (adjuster, per)."""
    columns = _core.column_names()
    adjusters = corner.adjusters
    rows = {(adjusters[r.variable].name, _core.row_name(adjusters[r.variable], r.per)): r.change for r in table.rows}
    return _by_adjuster(rows, hold, at=dict(zip(columns, table.values, strict=True)))


def _slopes_frame(corner: _core.Corner, per_mm: Sequence[Sequence[float]], hold: str) -> pd.DataFrame:
    """The effect table's change per mm of travel with the index (adjuster, per): turn where it has one, mm."""
    rows = {}
    for adjuster, row in zip(corner.adjusters, per_mm, strict=True):
        if isinstance(adjuster.setting, _core.Thread):
            lead = adjuster.setting.lead_mm
            rows[adjuster.name, "turn"] = [value * lead for value in row]
        rows[adjuster.name, "mm"] = list(row)
    return _by_adjuster(rows, hold)


def corners_frame(frames: Mapping[str, pd.DataFrame]) -> pd.DataFrame:
    """The tables of several corners under each other; the index is ("corner.adjuster", per)."""
    import pandas as pd

    tuples = [(f"{corner}.{name}", per) for corner, frame in frames.items() for name, per in frame.index]
    table = pd.concat([*frames.values()]).set_axis(pd.MultiIndex.from_tuples(tuples, names=["adjuster", "per"]))
    first = next(iter(frames.values()))
    table.attrs = first.attrs | {"at": {corner: frame.attrs["at"] for corner, frame in frames.items()}}
    return table


def _by_adjuster(rows: Mapping[tuple[str, str], Sequence[float]], hold: str, **attrs: Any) -> pd.DataFrame:
    import pandas as pd

    index = pd.MultiIndex.from_tuples(rows, names=["adjuster", "per"])
    frame = pd.DataFrame(list(rows.values()), index=index, columns=_core.column_names())
    frame.attrs.update({"hold": hold, "frame": "chassis"} | attrs)
    return frame
