"""The car at rest on its springs. pandas is imported only where it is used."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from shimwise import _core
from shimwise.corner.forces import Forces
from shimwise.standing.stand import Stand
from shimwise.standing.standing import Standing, by_corner_frame

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["Rest"]

_LOADS = ("to_shortest_mm", "to_droop_stop_mm", "to_rubber_mm", "on_droop_stop", "stop_pull_N", "missing_N")
_MOTIONS = ("single", "bump", "roll")
_RATE_PARTS = tuple(f"{part}_N_per_mm" for part in ("spring", "rubber", "load", "unsprung", "bar", "third", "total"))


class Rest(Standing):
    """A car at rest on its springs, made by `Car.at_rest`; alignment in the ground frame."""

    def __init__(self, stand: Stand) -> None:
        super().__init__(stand, _core.rest(stand.model, list(stand.pads_mm.values())), _core.rest_outputs(stand.model))

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
    def loads(self) -> pd.DataFrame:
        """How each strut stands: corners x columns.

        `spring_load_N` (through spring and helper) and `rubber_load_N`, + = it pushes; `to_shortest_mm`,
        `to_droop_stop_mm` and `to_rubber_mm` (below 0: squeezed), NaN where the file gives no such stop;
        `on_droop_stop`, with the stop's pull `stop_pull_N` and the load at the wheel that it takes away, `missing_N`.
        """
        return by_corner_frame(self._loads_by_corner(), "")

    def forces(self, corner: str) -> Forces:
        """Forces in a corner for all that acts at rest: pad, unsprung weight, drop link and third element.

        In the chassis frame of the corner's half; where a drop link or third element acts, its pull is a member too.

        Raises:
            InputError: no such corner.
            OutOfReach: the linkage is at its toggle.
        """
        if corner not in _core.CornerId.__members__:
            raise _core.InputError(f"corner = {corner!r}: needs one of {', '.join(_core.CornerId.__members__)}")
        found = _core.rest_forces(self.stand.model, self.state)
        return Forces(found.corners[_core.CornerId.__members__[corner].value].forces)

    @property
    def bar_forces_N(self) -> dict[str, pd.DataFrame]:
        """Of each connected bar, by axle: (arm left, arm right, bearing left, bearing right) x (x, y, z).

        On the bar at its arms, on the chassis at its bearings (the part across the bar's axis).
        """
        import pandas as pd

        bars = zip(("front", "rear"), _core.rest_forces(self.stand.model, self.state).bars, strict=True)
        rows = ["arm left", "arm right", "bearing left", "bearing right"]
        return {
            axle: pd.DataFrame([*bar.arm_N, *bar.bearing_N], index=rows, columns=["x", "y", "z"])
            for axle, bar in bars
            if bar is not None
        }

    @property
    def wheel_rates(self) -> pd.DataFrame:
        """Load of a wheel per mm of its contact's rise, the chassis held, N/mm: (corner, motion) x parts.

        Motions: "single" (this wheel alone), "bump" (both of the axle rise), "roll" (the other one falls as much).
        Parts: spring and rubber (rate times motion ratio squared), load (load times change of the motion ratio),
        unsprung, bar, third, and their total. A wheel on its droop stop has none: NaN.
        """
        import pandas as pd

        rows = self._wheel_rates_by_corner()
        index = pd.MultiIndex.from_tuples(rows, names=["corner", "motion"])
        return pd.DataFrame(list(rows.values()), index=index, dtype=float)

    def _wheel_rates_by_corner(self) -> dict[tuple[str, str], dict[str, float]]:
        found = _core.wheel_rates(self.stand.model, self.state)
        rows = {}
        for place, corner in enumerate(_core.CornerId.__members__):
            for motion in _MOTIONS:
                rate = getattr(found[place // 2], motion)[place % 2]
                rows[corner, motion] = {
                    part: float("nan") if rate is None else getattr(rate, part) for part in _RATE_PARTS
                }
        return rows

    def _rates_as_plain_data(self) -> dict[str, dict[str, Any]]:
        plain: dict[str, dict[str, Any]] = {corner: {} for corner in _core.CornerId.__members__}
        for (corner, motion), parts in self._wheel_rates_by_corner().items():
            plain[corner][motion] = None if parts["total_N_per_mm"] != parts["total_N_per_mm"] else parts
        return plain

    def _loads_by_corner(self) -> dict[str, dict[str, Any]]:
        return {
            name: {load: self.values[f"{name}.{load}"] for load in ("spring_load_N", "rubber_load_N")}
            | {field: getattr(corner, field) for field in _LOADS}
            for name, corner in zip(_core.CornerId.__members__, self.state.corners, strict=True)
        }

    def as_dict(self) -> dict[str, Any]:
        """Return everything as plain data: what `--json` prints."""
        stand = self.stand
        return {
            "car": stand.car.name,
            "hold": "rest",
            "frame": "ground",
            "chassis_is_rigid": self.chassis_is_rigid,
            **stand.stands_on,
            "total_kg": self.total_kg,
            "values": self.values,
            "about_chassis": self._about_chassis_by_corner(),
            "struts": self._loads_by_corner(),
            "wheel_rates": self._rates_as_plain_data(),
            "forces": {corner: self.forces(corner).as_dict() for corner in _core.CornerId.__members__},
        }

    @property
    def chassis_words(self) -> str:
        """What every table of weights says."""
        return self.stand.chassis_words
