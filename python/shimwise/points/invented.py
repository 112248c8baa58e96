"""The points of the starter car, all invented, and where they are put in a car of which some points are known."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from shimwise._core import AXIS_DIRECTION, is_pull_rod, rocker_rows

if TYPE_CHECKING:
    from collections.abc import Mapping

    Place = tuple[float, float, float]

__all__ = ["FRONT", "REAR", "placed"]

FRONT: dict[str, Place] = {
    "wheel.centre": (0.0, 600.0, 220.0),
    "upper_wishbone.front": (120.0, 260.0, 312.0),
    "upper_wishbone.rear": (-120.0, 260.0, 304.0),
    "upper_wishbone.outer": (-12.0, 535.0, 326.0),
    "lower_wishbone.front": (150.0, 200.0, 112.0),
    "lower_wishbone.rear": (-150.0, 200.0, 106.0),
    "lower_wishbone.outer": (6.0, 565.0, 102.0),
    "track_rod.inner": (85.0, 218.0, 146.0),
    "track_rod.outer": (95.0, 552.0, 142.0),
    "pushrod.outer": (0.0, 515.0, 120.0),
    "pushrod.inner": (0.0, 315.0, 400.0),
    "rocker.axis_point": (0.0, 270.0, 375.0),
    "rocker.axis_direction": (1.0, 0.0, 0.0),
    "rocker.spring": (0.0, 278.0, 435.0),
    "spring.chassis": (0.0, 80.0, 445.0),
}
REAR: dict[str, Place] = {
    "wheel.centre": (-2400.0, 590.0, 210.0),
    "upper_wishbone.front": (-2270.0, 285.0, 316.0),
    "upper_wishbone.rear": (-2500.0, 285.0, 306.0),
    "upper_wishbone.outer": (-2408.0, 528.0, 330.0),
    "lower_wishbone.front": (-2240.0, 225.0, 118.0),
    "lower_wishbone.rear": (-2530.0, 225.0, 108.0),
    "lower_wishbone.outer": (-2394.0, 556.0, 104.0),
    "track_rod.inner": (-2490.0, 240.0, 144.0),
    "track_rod.outer": (-2498.0, 545.0, 140.0),
    "pushrod.outer": (-2394.0, 508.0, 122.0),
    "pushrod.inner": (-2390.0, 325.0, 405.0),
    "rocker.axis_point": (-2390.0, 280.0, 380.0),
    "rocker.axis_direction": (1.0, 0.0, 0.0),
    "rocker.spring": (-2390.0, 288.0, 440.0),
    "spring.chassis": (-2390.0, 90.0, 450.0),
}

_STRUT = tuple(rocker_rows())  # of a pull rod they stand the other way up
_LEAST_SCALE, _MOST_SCALE = 0.4, 2.5
_LEAST_Y_MM = 10.0  # of an invented point: it stays on its side


class _Line(NamedTuple):
    """known = scale * own + shift, along one axis."""

    scale: float = 1.0
    shift: float = 0.0


def placed(front: Mapping[str, Place], rear: Mapping[str, Place]) -> tuple[dict[str, Place], dict[str, Place]]:
    """Return both left corners with the known points, and the invented ones moved and stretched to where those are.

    Along each axis the starter's points are laid onto the known ones by a straight line (least squares), so that an
    invented rocker stands where such a car might have one. An axle of which nothing is known follows the other one.
    """
    fits = {name: _fit(own, known) for name, own, known in (("front", FRONT, front), ("rear", REAR, rear)) if known}
    if not fits:
        return dict(FRONT), dict(REAR)
    return (
        _axle(FRONT, front, fits.get("front") or _beside(REAR, fits["rear"])),
        _axle(REAR, rear, fits.get("rear") or _beside(FRONT, fits["front"])),
    )


def _fit(own: Mapping[str, Place], known: Mapping[str, Place]) -> list[_Line]:
    shared = [point for point in own if point in known and point != AXIS_DIRECTION]
    if {"pushrod.outer", "pushrod.inner"} <= known.keys() and is_pull_rod(
        known["pushrod.outer"], known["pushrod.inner"]
    ):
        shared = [point for point in shared if point not in _STRUT]
    if not shared:
        return [_Line(), _Line(), _Line()]
    return [_line([own[p][axis] for p in shared], [known[p][axis] for p in shared]) for axis in range(3)]


def _line(own: list[float], known: list[float]) -> _Line:
    own_mean, known_mean = sum(own) / len(own), sum(known) / len(known)
    spread = sum((a - own_mean) ** 2 for a in own)
    together = sum((a - own_mean) * (b - known_mean) for a, b in zip(own, known, strict=True))
    scale = min(max(together / spread, _LEAST_SCALE), _MOST_SCALE) if spread > 0.0 else 1.0
    return _Line(scale, known_mean - scale * own_mean)


def _beside(other: Mapping[str, Place], fit: list[_Line]) -> list[_Line]:
    """The other axle's fit; along x only its shift, so that the wheelbase stays the starter's."""
    at = other["wheel.centre"][0]
    return [_Line(1.0, fit[0].scale * at + fit[0].shift - at), *fit[1:]]


def _axle(own: Mapping[str, Place], known: Mapping[str, Place], fit: list[_Line]) -> dict[str, Place]:
    x, y, z = fit
    result = {
        point: (
            at
            if point == AXIS_DIRECTION
            else (
                round(x.scale * at[0] + x.shift, 1) + 0.0,
                max(round(y.scale * at[1] + y.shift, 1), _LEAST_Y_MM),
                round(z.scale * at[2] + z.shift, 1) + 0.0,
            )
        )
        for point, at in own.items()
    }
    return result | dict(known)
