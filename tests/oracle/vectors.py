"""Vectors by rows: products, rotations, and the frame of a wishbone's outer joint."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def unit(vector: Any) -> Array:
    array = np.asarray(vector, dtype=float)
    return array / norm(array)[..., None]


def dot(a: Array, b: Array) -> Array:
    return np.einsum("...i,...i->...", a, b)


def cross(a: Array, b: Array) -> Array:
    """a x b by rows (NumPy's own spends its time on the axes' order)."""
    result = np.empty(np.broadcast_shapes(a.shape, b.shape))
    result[..., 0] = a[..., 1] * b[..., 2] - a[..., 2] * b[..., 1]
    result[..., 1] = a[..., 2] * b[..., 0] - a[..., 0] * b[..., 2]
    result[..., 2] = a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
    return result


def norm(v: Array) -> Array:
    return np.sqrt(dot(v, v))


def skew(v: Array) -> Array:
    """The matrix of v x (.) for each vector."""
    matrix = np.zeros((*v.shape, 3))
    matrix[..., 2, 1], matrix[..., 0, 2], matrix[..., 1, 0] = v[..., 0], v[..., 1], v[..., 2]
    matrix[..., 1, 2], matrix[..., 2, 0], matrix[..., 0, 1] = -v[..., 0], -v[..., 1], -v[..., 2]
    return matrix


def rotation(w: Array) -> Array:
    """exp of a rotation vector (Rodrigues), each row of w one rotation."""
    angle = norm(w)[..., None, None]
    k = skew(w)
    half = np.sinc(angle / (2 * np.pi))
    return np.eye(3) + np.sinc(angle / np.pi) * k + 0.5 * half * half * (k @ k)


def spin_of_vector(w: Array) -> Array:
    """The matrix that turns a rate of the rotation vector into angular velocity (the left Jacobian of exp)."""
    angle = norm(w)[..., None, None]
    k = skew(w)
    half = np.sinc(angle / (2 * np.pi))
    small = angle < 0.05
    safe = np.where(small, 1.0, angle)
    third = np.where(small, 1 / 6 - angle**2 / 120 + angle**4 / 5040, (safe - np.sin(safe)) / safe**3)
    return np.eye(3) + 0.5 * half * half * k + third * (k @ k)


def joint_frame(front: Array, rear: Array, outer: Array) -> tuple[Array, Array, Array]:
    """Axes as rows (front -> rear pickup, pickup axis to joint, their cross product), origin, distance to the axis."""
    a = unit(rear - front)
    out = outer - front
    out = out - dot(out, a)[:, None] * a
    reach = norm(out)
    b = out / reach[:, None]
    axes = np.empty((*a.shape, 3))
    axes[..., 0, :], axes[..., 1, :], axes[..., 2, :] = a, b, cross(a, b)
    return axes, outer, reach


def triple(origin: Array, axis: Array, joint: Array, far: Array) -> Array:
    """axis . (arm x far) over the three lengths, both measured from the foot of the joint on the axis."""
    axis = unit(axis)
    foot = origin + dot(joint - origin, axis)[:, None] * axis
    return dot(axis, cross(unit(joint - foot), unit(far - foot)))
