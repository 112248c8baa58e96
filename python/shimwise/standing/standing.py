"""What a standing car has, on springs or on solid struts. pandas is imported only where it is used."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any

from shimwise import _core
from shimwise.shown import Shown, view

if TYPE_CHECKING:
    import pandas as pd
    from rich.console import RenderableType

    from shimwise.standing.stand import Stand

__all__ = ["Standing", "by_corner_frame"]


class Standing(Shown):
    """A standing car: pose, heights and alignment in the ground frame.

    Ground: z along the normal of the best plane through the four pads, x the chassis' x laid onto it.
    """

    def __init__(self, stand: Stand, state: _core.RestState, outputs: list[_core.RestOutput]) -> None:
        self.stand = stand
        self.state = state
        self.outputs = outputs

    @cached_property
    def values(self) -> dict[str, float]:
        """Every value by its name: "cross_weight_percent", "front_left.toe_deg", "ride_height.rear_left_mm"."""
        return dict(zip((o.name for o in self.outputs), self.state.row(self.outputs), strict=True))

    def value(self, name: str) -> float:
        """Return one value by its name.

        Raises:
            InputError: the car has no such value.
        """
        if name not in self.values:
            meant = _core.did_you_mean(str(name), list(self.values)) or "; its `values` has all of them"
            raise _core.InputError(f"{name!r}: {self.stand.car.name} has no such value as it stands{meant}")
        return self.values[name]

    @property
    def height_mm(self) -> float:
        """Chassis origin over the ground plane."""
        return self.values["height_mm"]

    @property
    def pitch_deg(self) -> float:
        """Of the chassis over the ground plane, + = nose down."""
        return self.values["pitch_deg"]

    @property
    def roll_deg(self) -> float:
        """Of the chassis over the ground plane, + = left side up."""
        return self.values["roll_deg"]

    @property
    def twist_deg(self) -> float | None:
        """Roll of the chassis' front half less roll of its rear half; None where it is rigid."""
        return self.values.get("twist_deg")

    @property
    def chassis_is_rigid(self) -> bool:
        """Whether the file gives the chassis no torsional rate."""
        return self.stand.chassis_is_rigid

    @property
    def ride_heights_mm(self) -> dict[str, float]:
        """Ride heights by point, perpendicular to the ground plane."""
        return {p.name: self.values[f"ride_height.{p.name}_mm"] for p in self.stand.model.car.ride_heights}

    @property
    def rake_mm(self) -> float | None:
        """Ride height rear less front, each the mean of left and right; None where the file names no points for it."""
        return self.values.get("rake_mm")

    @property
    def rake_deg(self) -> float | None:
        """The same as an angle over the distance of the two mid points."""
        return self.values.get("rake_angle_deg")

    @property
    def corners(self) -> pd.DataFrame:
        """Every output of `Corner.alignment`: corners x outputs, in the ground frame."""
        return by_corner_frame(self._outputs_by_corner(), "ground")

    @property
    def about_chassis(self) -> pd.DataFrame:
        """The same in the chassis frame, as a corner by itself has it."""
        return by_corner_frame(self._about_chassis_by_corner(), "chassis")

    def _outputs_by_corner(self) -> dict[str, dict[str, float]]:
        columns = _core.column_names()
        return {c: {name: self.values[f"{c}.{name}"] for name in columns} for c in _core.CornerId.__members__}

    def _about_chassis_by_corner(self) -> dict[str, dict[str, float]]:
        columns = _core.column_names()
        return {
            name: dict(zip(columns, corner.in_chassis, strict=True))
            for name, corner in zip(_core.CornerId.__members__, self.state.corners, strict=True)
        }

    def view(self) -> RenderableType:
        """What is printed of it."""
        return view(self)


def by_corner_frame(rows: dict[str, dict[str, Any]], frame: str) -> pd.DataFrame:
    import pandas as pd

    table = pd.DataFrame.from_dict(rows, orient="index").rename_axis("corner")
    # a column without any number: no corner has such a stop
    table = table.astype({column: float for column, kind in table.dtypes.items() if kind.kind == "O"})
    table.attrs = {"frame": frame} if frame else {}
    return table
