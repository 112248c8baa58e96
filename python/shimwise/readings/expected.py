"""The readings to expect once something is turned."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from shimwise import _core
from shimwise.data_of import data_of
from shimwise.shown import Shown

if TYPE_CHECKING:
    from collections.abc import Mapping

    import pandas as pd

__all__ = ["Expected"]


class Expected(Shown):
    """What the car reads now and then, made by `Car.expect`.

    Attributes:
        notes: what could not be concluded, and what was assumed.
        doubts: what is possible and yet unlikely in the car and what was read of it, one sentence each.
        taken: what the words of each change were taken for.
        unsettled: what of it cannot be locked or stacked, and what can; among the notes, too.
    """

    def __init__(
        self, core: _core.Expected, unsettled: list[str], doubts: list[str], amounts: Mapping[str, _core.Amount]
    ) -> None:
        self.core = core
        self.doubts = doubts
        self.unsettled = unsettled
        self.notes = [*unsettled, *core.notes]
        self.taken = {key: amount.taken for key, amount in amounts.items()}
        self.to_explain = [key for key, amount in amounts.items() if not amount.plain]

    @property
    def stands(self) -> bool:
        """Whether the car stands by the model, now and then; else contacts are held, and a note says why."""
        return self.core.held != "contact"

    def __getitem__(self, corner: str) -> _core.ExpectedCorner:
        if corner not in _core.CornerId.__members__:
            raise _core.InputError(f"corner = {corner!r}: needs one of {', '.join(_core.CornerId.__members__)}")
        return self.core.corners[_core.CornerId.__members__[corner].value]

    def frame(self) -> pd.DataFrame:
        """Return every value now and then, indexed by key, in the ground frame.

        Columns: `now`, `then`, `change`; `uncertainty`, the standard deviation of the next reading about `then`, NaN
        where nothing is read; `unit`; `source`, "read" (toe, camber, what flags and gauge show, total toe, thrust
        angle, differences of camber, ride heights, weights and what follows from them) or "model" (all outputs by
        their own names, under "front_left.model.caster" and so on). `attrs` holds frame and hold.
        """
        import pandas as pd

        rows = [row for name in _core.CornerId.__members__ for row in _corner_rows(name, self[name])]
        rows += [(t.key, t.now_deg, t.then_deg, t.deviation_deg, "deg", "read") for t in self.core.totals]
        rows += [(v.key, v.now, v.then, v.deviation, v.unit, "read") for v in self.core.car_values]
        frame = pd.DataFrame(rows, columns=["key", "now", "then", "uncertainty", "unit", "source"]).set_index("key")
        frame.insert(2, "change", frame["then"] - frame["now"])
        frame.attrs = {"frame": self.core.frame, "hold": self.core.held}
        return frame

    def as_dict(self) -> dict[str, Any]:
        """Return everything as plain data: what `--json` prints."""
        columns = _core.column_names()
        said = {"doubts": self.doubts} if self.doubts else {}
        content: dict[str, Any] = said | data_of(self.core)
        content |= {"taken": self.taken, "notes": self.notes, "cautions": _core.cautions()}
        for corner in content["corners"]:
            for model in ("model_now", "model_then"):
                corner[model] = dict(zip(columns, corner[model], strict=True))
        return content


def _corner_rows(name: str, corner: _core.ExpectedCorner) -> list[tuple[str, float, float, float, str, str]]:
    now, then = corner.now, corner.then
    read = [
        ("toe", now.toe_deg, then.toe_deg, then.toe_deviation_deg, "deg"),
        ("camber", now.camber_deg, then.camber_deg, then.camber_deviation_deg, "deg"),
        ("flags", now.flag_difference_mm, then.flag_difference_mm, then.flag_deviation_mm, "mm"),
        ("gauge", now.gauge_deg, then.gauge_deg, then.camber_deviation_deg, "deg"),
    ]
    rows = [
        (f"{name}.{what}", before, after, deviation, unit, "read")
        for what, before, after, deviation, unit in read
        if before is not None and after is not None and deviation is not None
    ]
    return rows + [
        (f"{name}.model.{info.name}", before, after, float("nan"), info.unit, "model")
        for info, before, after in zip(_core.output_list(), corner.model_now, corner.model_then, strict=True)
    ]
