"""The effect table of the whole car at rest. pandas is imported only where it is used."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any, NamedTuple

from shimwise import _core

if TYPE_CHECKING:
    import pandas as pd

    from shimwise.standing.stand import Stand

__all__ = ["RestEffects", "Row"]


class Row(NamedTuple):
    """One row of the table."""

    variable: _core.RestVariable
    adjuster: _core.Adjuster | None  # None of a pad, a ballast or the rack
    per: _core.Per
    amount: float  # mm or kg, signed
    change: dict[str, float]

    @property
    def per_words(self) -> str:
        """ "turn", "step longer", "mm", "kg": as the index of the frame has it."""
        return self.per.name if self.adjuster is None else _core.row_name(self.adjuster, self.per)


class RestEffects:
    """What every adjuster, pad, ballast and the rack do to a car at rest (or on solid struts), in the ground frame."""

    def __init__(self, stand: Stand, core: _core.RestTable, hold: str) -> None:
        self.stand = stand
        self.core = core
        self.hold = hold
        self.columns = [output.name for output in self.core.outputs]

    @cached_property
    def now(self) -> dict[str, float]:
        """Every value as the car stands."""
        return dict(zip(self.columns, self.core.state.row(self.core.outputs), strict=True))

    @property
    def on_droop_stop(self) -> list[str]:
        """Corners whose dampers stand on their droop stops; all rows but steps hold while they stay there."""
        corners = zip(_core.CornerId.__members__, self.core.state.corners, strict=True)
        return [name for name, corner in corners if corner.on_droop_stop]

    @cached_property
    def rows(self) -> list[Row]:
        """All rows: corner by corner as a corner's table has them, then pads, ballast and the rack."""
        core = self.stand.car.core
        adjusters = [core.corner(corner).adjusters for corner in _core.CornerId.__members__.values()]
        found = []
        for row in self.core.rows:
            variable = self.core.variables[row.variable]
            adjuster = adjusters[variable.corner][variable.index] if variable.adjuster else None
            change = dict(zip(self.columns, row.change, strict=True))
            found.append(Row(variable, adjuster, row.per, row.amount, change))
        return found

    def rows_of(self, corner: str | None) -> list[Row]:
        """The rows of a corner's adjusters and pad, or all."""
        if corner is None:
            return self.rows
        return [
            row for row in self.rows if row.variable.key == f"pad.{corner}" or row.variable.key.startswith(f"{corner}.")
        ]

    def frame(self) -> pd.DataFrame:
        """Return the table with the index (adjuster, per)."""
        import pandas as pd

        index = pd.MultiIndex.from_tuples(
            [(row.variable.key, row.per_words) for row in self.rows], names=["adjuster", "per"]
        )
        frame = pd.DataFrame([row.change for row in self.rows], index=index, columns=self.columns)
        frame.attrs.update({"hold": self.hold, "frame": "ground", "at": self.now} | self._about())
        return frame

    def as_dict(self, corner: str | None = None) -> dict[str, Any]:
        """Return everything as plain data, or what belongs to one corner: what `--json` prints."""
        return {
            "car": self.stand.car.name,
            "hold": "rest",
            "frame": "ground",
            "now": self.now,
            "rows": [
                {
                    "adjuster": row.variable.key,
                    "per": row.per_words,
                    "amount_kg" if row.per == _core.Per.kg else "amount_mm": row.amount,
                }
                | row.change
                for row in self.rows_of(corner)
            ],
        } | self._about()

    def __repr__(self) -> str:
        rows, columns = len(self.rows), len(self.columns)
        return f"<effects on {self.stand.car.name}, hold {self.hold}: {rows} rows, {columns} columns>"

    def _about(self) -> dict[str, Any]:
        """What has to be known beside the numbers."""
        return {
            **self.stand.stands_on,
            "chassis_is_rigid": self.stand.chassis_is_rigid,
            "on_droop_stop": self.on_droop_stop,
            "left_out": list(self.core.left_out),
        }
