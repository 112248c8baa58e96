"""The car at rest on its springs. pandas is imported only where it is used."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from numbers import Real
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from shimwise import _core, rest_views, texts

if TYPE_CHECKING:
    import pandas as pd

    from shimwise.car import Car

__all__ = ["Rest", "Stand", "stand"]

_FAR_MM = 1_000.0  # from a common zero
_LOADS = ("to_shortest_mm", "to_droop_stop_mm", "to_rubber_mm", "on_droop_stop", "stop_pull_N", "missing_N")


class Stand(NamedTuple):
    """A car, what it stands on and what is in it."""

    car: Car
    model: _core.RestModel
    pads_mm: dict[str, float]  # all four
    ballast_kg: dict[str, float]  # all of the car's
    on_tyres: bool


class Rest:
    """A car at rest on its springs, made by `Car.at_rest`; alignment in the ground frame.

    Ground: z along the normal of the best plane through the four pads, x the chassis' x laid onto it.
    """

    def __init__(self, stand: Stand) -> None:
        self.stand = stand
        self.core = _core.rest(stand.model, list(stand.pads_mm.values()))
        self.outputs = _core.rest_outputs(stand.model)

    @cached_property
    def values(self) -> dict[str, float]:
        """Every value by its name: "cross_weight_percent", "front_left.toe_deg", "ride_height.rear_left_mm"."""
        return dict(zip((o.name for o in self.outputs), self.core.row(self.outputs), strict=True))

    def value(self, name: str) -> float:
        """Return one value by its name.

        Raises:
            InputError: the car has no such value.
        """
        if name not in self.values:
            meant = _core.did_you_mean(str(name), list(self.values)) or "; Rest.values has all of them"
            raise _core.InputError(f"{name!r}: {self.stand.car.name} at rest has no such value{meant}")
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
        return not self.stand.model.twists

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
    def weights_kg(self) -> dict[str, float]:
        """What the scales show, by corner."""
        return {corner: self.values[f"{corner}.weight_kg"] for corner in _core.CornerId.__members__}

    @property
    def total_kg(self) -> float:
        """All four together."""
        return sum(self.weights_kg.values())

    @property
    def cross_weight_percent(self) -> float:
        """(front right + rear left) / total."""
        return self.values["cross_weight_percent"]

    @property
    def front_share_percent(self) -> float:
        """(front left + front right) / total."""
        return self.values["front_share_percent"]

    @property
    def left_share_percent(self) -> float:
        """(front left + rear left) / total."""
        return self.values["left_share_percent"]

    @property
    def front_difference_kg(self) -> float:
        """Front left less front right."""
        return self.values["front_difference_kg"]

    @property
    def rear_difference_kg(self) -> float:
        """Rear left less rear right."""
        return self.values["rear_difference_kg"]

    @property
    def bar_torques_Nm(self) -> dict[str, float]:
        """Rate times (left - right) turn of its arms, by axle; only bars that are connected."""
        return self._by_axle("bar_torque_Nm")

    @property
    def third_loads_N(self) -> dict[str, float]:
        """Load of the spring between the rockers, + = it carries, by axle; only axles that have one."""
        return self._by_axle("third_load_N")

    def _by_axle(self, what: str) -> dict[str, float]:
        return {axle: self.values[f"{axle}_{what}"] for axle in ("front", "rear") if f"{axle}_{what}" in self.values}

    @property
    def corners(self) -> pd.DataFrame:
        """Every output of `Corner.alignment`: corners x outputs, in the ground frame."""
        return _frame(self._outputs_by_corner(), "ground")

    @property
    def about_chassis(self) -> pd.DataFrame:
        """The same in the chassis frame, as a corner by itself has it."""
        return _frame(self._about_chassis_by_corner(), "chassis")

    @property
    def loads(self) -> pd.DataFrame:
        """How each strut stands: corners x columns.

        `spring_load_N` (through spring and helper) and `rubber_load_N`, + = it pushes; `to_shortest_mm`,
        `to_droop_stop_mm` and `to_rubber_mm` (below 0: squeezed), NaN where the file gives no such stop;
        `on_droop_stop`, with the stop's pull `stop_pull_N` and the load at the wheel that it takes away, `missing_N`.
        """
        return _frame(self._loads_by_corner(), "")

    def _outputs_by_corner(self) -> dict[str, dict[str, float]]:
        columns = _core.column_names()
        return {c: {name: self.values[f"{c}.{name}"] for name in columns} for c in _core.CornerId.__members__}

    def _about_chassis_by_corner(self) -> dict[str, dict[str, float]]:
        columns = _core.column_names()
        return {
            name: dict(zip(columns, corner.in_chassis, strict=True))
            for name, corner in zip(_core.CornerId.__members__, self.core.corners, strict=True)
        }

    def _loads_by_corner(self) -> dict[str, dict[str, Any]]:
        return {
            name: {load: self.values[f"{name}.{load}"] for load in ("spring_load_N", "rubber_load_N")}
            | {field: getattr(corner, field) for field in _LOADS}
            for name, corner in zip(_core.CornerId.__members__, self.core.corners, strict=True)
        }

    def as_dict(self) -> dict[str, Any]:
        """Return everything as plain data: what `--json` prints."""
        stand = self.stand
        return {
            "car": stand.car.name,
            "hold": "rest",
            "frame": "ground",
            "chassis_is_rigid": self.chassis_is_rigid,
            "on_tyres": stand.on_tyres,
            "pads_mm": stand.pads_mm,
            "ballast_kg": stand.ballast_kg,
            "total_kg": self.total_kg,
            "values": self.values,
            "about_chassis": self._about_chassis_by_corner(),
            "struts": self._loads_by_corner(),
        }

    def text(self, *, width: int = 80) -> str:
        """Return the tables as text."""
        return texts.text_of(rest_views.rest_view(self), width)

    def __repr__(self) -> str:
        return self.text()

    def _repr_html_(self) -> str:
        return texts.html_of(rest_views.rest_view(self))


def stand(
    car: Car,
    pads_mm: Mapping[str, float] | None,
    settings: Any,
    ballast_kg: Mapping[str, float] | None,
    on_tyres: bool,
) -> Stand:
    """Check the arguments of `Car.at_rest`, then read the car once."""
    pads = _numbers("pads_mm", pads_mm, "pad", dict.fromkeys(_core.CornerId.__members__, 0.0), car.name)
    for name, height in pads.items():
        if not abs(height) <= _FAR_MM:
            raise _core.InputError(f"pads_mm: {name} = {height:g}: goes beyond {_FAR_MM:.0f} mm")
    now_kg = {ballast.name: ballast.now_kg for ballast in car.core.ballast}
    ballast = _numbers("ballast_kg", ballast_kg, "ballast", now_kg, car.name)
    if settings is not None:
        car = car.with_settings(settings)
    model = _core.with_ballast(_core.rest_model(car.core), ballast)
    return Stand(car, _core.on_tyres(model) if on_tyres else model, pads, ballast, on_tyres)


def _numbers(argument: str, given: object, what: str, known: dict[str, float], car: str) -> dict[str, float]:
    """All that the car has, what is given in its place."""
    if given is None:
        return known
    if not isinstance(given, Mapping):
        raise _core.InputError(f"{argument} = {given!r}: needs names and numbers, such as {{{_like(known)}}}")
    for name, number in given.items():
        if name not in known:
            meant = _core.did_you_mean(str(name), list(known)) or f"; it has {', '.join(known) or 'none'}"
            raise _core.InputError(f"{argument}: {name!r}: {car} has no such {what}{meant}")
        if not isinstance(number, Real) or not np.isfinite(float(number)):
            raise _core.InputError(f"{argument}: {name} = {number!r}: needs a finite number")
    return known | {name: float(number) for name, number in given.items()}


def _like(known: dict[str, float]) -> str:
    return f'"{next(iter(known), "name")}": 2.0'


def _frame(rows: dict[str, dict[str, Any]], frame: str) -> pd.DataFrame:
    import pandas as pd

    table = pd.DataFrame.from_dict(rows, orient="index").rename_axis("corner")
    # a column without any number: no corner has such a stop
    table = table.astype({column: float for column, kind in table.dtypes.items() if kind.kind == "O"})
    table.attrs = {"frame": frame} if frame else {}
    return table
