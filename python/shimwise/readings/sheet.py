"""What a readings file of a car may hold: exactly the fields that its readings take."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from shimwise import _core

if TYPE_CHECKING:
    from shimwise.as_set import CarAsSet

__all__ = ["CornerSheet", "Sheet", "sheet_of"]


@dataclass
class TurnedLength:
    """A length that threads of the corner turn, as the settings have it."""

    adjusters: list[str]
    now_mm: float


@dataclass
class CornerSheet:
    """What is read at one corner."""

    flags: bool
    camber: bool
    scale: bool
    shims_mm: dict[str, list[float]] = field(default_factory=dict)  # by pack: what the settings have fitted
    lengths: dict[str, TurnedLength] = field(default_factory=dict)  # by name of the length


@dataclass
class Sheet:
    """What a readings file of a car may hold, with what is known before anything is read."""

    car: str
    ballast_kg: dict[str, float]
    steered: bool
    strings: bool
    pads: bool
    ride_heights: list[str]
    camber_gauge: bool
    corners: dict[str, CornerSheet]
    left_out: list[str]  # sentences: what this car's readings do not take, and why


def sheet_of(car: CarAsSet) -> Sheet:
    """Return the fields that `load_readings` takes for this car as it is set."""
    core, with_ = car.core, car.core.instruments
    ruler, gauge = with_.flag_ruler.resolution_mm > 0.0, with_.camber_gauge.resolution_deg > 0.0
    scale, heights = with_.scale.resolution_kg > 0.0, with_.height_gauge.resolution_mm > 0.0
    corners = {}
    for name, id_ in _core.CornerId.__members__.items():
        corner = core.corner(id_)
        read = corners[name] = CornerSheet(ruler and corner.wheel.flag_span_mm > 0.0, gauge, scale)
        for adjuster in corner.adjusters:
            if isinstance(adjuster.setting, _core.Stack):
                read.shims_mm[adjuster.name] = list(adjuster.setting.fitted_mm)
            elif (length := adjuster.length) and length != "spring_platform":
                now_mm = _core.present_length_mm(core, id_, length)
                if now_mm is not None:
                    read.lengths.setdefault(length, TurnedLength([], now_mm)).adjusters.append(adjuster.name)
    return Sheet(
        car=car.name,
        ballast_kg={ballast.name: ballast.now_kg for ballast in core.ballast},
        steered=any(core.corner(id_).steered for id_ in _core.CornerId.__members__.values()),
        strings=core.bars_apart_mm > 0.0,
        pads=with_.pad_level.resolution_mm > 0.0,
        ride_heights=[point.name for point in core.ride_heights] if heights else [],
        camber_gauge=gauge,
        corners=corners,
        left_out=_left_out(car, ruler=ruler, gauge=gauge, scale=scale, heights=heights),
    )


def _left_out(car: CarAsSet, *, ruler: bool, gauge: bool, scale: bool, heights: bool) -> list[str]:
    core = car.core
    span = all(core.corner(id_).wheel.flag_span_mm > 0.0 for id_ in _core.CornerId.__members__.values())
    wanted = (
        (ruler, "Flags", "[instruments] flag_ruler"),
        (span or not ruler, "Flags at every wheel", "setup_wheel flag_span_mm at each axle"),
        (gauge, "Camber", "[instruments] camber_gauge"),
        (scale, "Scales", "[instruments] scale"),
        (heights or not core.ride_heights, "Ride heights", "[instruments] height_gauge"),
        (bool(core.ride_heights), "Ride heights", "[ride_height_points]"),
        (core.instruments.pad_level.resolution_mm > 0.0, "Pads", "[instruments] pad_level"),
        (core.bars_apart_mm > 0.0, "Strings", "[strings] bars_apart_mm"),
    )
    return [f"{what}: the car file gives no {key}." for there, what, key in wanted if not there]
