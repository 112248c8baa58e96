"""Where the numbers of joints go, so that they cover neither each other nor the joints, and few of the lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Points = NDArray[np.float64]

__all__ = ["SIZE", "balloon_places"]

SIZE = 11.5  # of a balloon, points of 1/72 inch
_CLEAR = 1.5  # between balloons, and between a balloon and a joint
_JOINT = 3.0  # half size of a joint's marker
_DIRECTIONS = 36
_REACHES = (12.0, 15.0, 19.0, 24.0, 30.0, 38.0, 48.0, 64.0, 90.0)
_IMPOSSIBLE = 1e6


def balloon_places(joints: Points, lines: Points, size: tuple[float, float]) -> Points:
    """Return the centre of the balloon of every joint, in points from the corner of a panel.

    Each balloon takes the cheapest of many places around its joint, the crowded ones first; then all choose again
    while the others stand. The same input gives the same places.

    Args:
        joints: shape (joints, 2).
        lines: what is drawn between them, shape (lines, 2, 2).
        size: of the panel.
    """
    near = np.linalg.norm(joints[:, None] - joints[None, :], axis=2)
    order = np.argsort(-(near < 30.0).sum(axis=1), kind="stable")
    places = np.full(joints.shape, np.nan)
    choices = [_choices(joint, joints, lines, size) for joint in joints]
    for _ in range(4):
        before = places.copy()
        for i in order:
            candidates, cost = choices[i]
            stand = np.isfinite(places[:, 0]) & (np.arange(len(joints)) != i)
            places[i] = candidates[np.argmin(cost + _against(candidates, joints[i], places[stand], joints[stand]))]
        if np.array_equal(before, places):
            break
    return places


def _choices(joint: Points, joints: Points, lines: Points, size: tuple[float, float]) -> tuple[Points, Points]:
    """Places around a joint, and what each costs by itself."""
    angle = np.linspace(0.0, 2.0 * np.pi, _DIRECTIONS, endpoint=False)
    ring = np.column_stack([np.cos(angle), np.sin(angle)])
    places = (joint + np.array(_REACHES)[:, None, None] * ring).reshape(-1, 2)
    room = SIZE / 2.0 + _CLEAR
    outside = ((places < room) | (places > np.array(size) - room)).any(axis=1)
    covers = (np.linalg.norm(places - joints[:, None], axis=2) < room + _JOINT).any(axis=0)
    cost = np.repeat(_REACHES, _DIRECTIONS) + _IMPOSSIBLE * (outside | covers)
    apart = np.linalg.norm(joints - joint, axis=1)
    passed = _distance(joint, places, joints[:, None]) < np.minimum(_JOINT + 1.0, apart / 2.0)[:, None]
    cost += 60.0 * passed[apart > _JOINT].sum(axis=0)
    start, end = lines[:, None, 0], lines[:, None, 1]
    cost += 14.0 * (_distance(start, end, places) < SIZE / 2.0).sum(axis=0)
    cost += 4.0 * _cross(joint, places, start, end).sum(axis=0)
    return places, cost


def _against(places: Points, joint: Points, others: Points, joints: Points) -> Points:
    """What the balloons that stand already, with their joints, add to the cost of places for a joint."""
    near, far = joints[:, None], others[:, None]
    room = SIZE / 2.0 + 1.0
    cost = _IMPOSSIBLE * (np.linalg.norm(places - far, axis=2) < SIZE + _CLEAR)
    cost += 80.0 * (_distance(joint, places, far) < room)
    cost += 80.0 * (_distance(near, far, places) < room)
    cost += 80.0 * _cross(joint, places, near, far)
    total: Points = cost.sum(axis=0)
    return total


def _distance(start: Points, end: Points, points: Points) -> Points:
    """Distance of points from lines between two ends; the shapes are broadcast."""
    run, along = end - start, points - start
    square = np.maximum((run * run).sum(axis=-1), np.finfo(float).tiny)
    share = np.clip((along * run).sum(axis=-1) / square, 0.0, 1.0)
    distance: Points = np.linalg.norm(along - share[..., None] * run, axis=-1)
    return distance


def _cross(a: Points, b: Points, c: Points, d: Points) -> NDArray[np.bool_]:
    """Whether the line from a to b crosses the one from c to d, ends not counted."""

    def side(p: Points, q: Points, r: Points) -> Points:
        return (q[..., 0] - p[..., 0]) * (r[..., 1] - p[..., 1]) - (q[..., 1] - p[..., 1]) * (r[..., 0] - p[..., 0])

    return (side(a, b, c) * side(a, b, d) < -1e-9) & (side(c, d, a) * side(c, d, b) < -1e-9)
