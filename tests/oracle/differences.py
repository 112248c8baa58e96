"""Rates along the wheel's travel by central differences of solved poses, eighth order in the step."""

from __future__ import annotations

import numpy as np

from corner import Corner
from places import Parts
from vectors import Array

STEP_MM = 0.35  # below it poses round off, above it the quickest rockers of the random corners show the eighth order
OFFSETS = np.array([-4.0, -3.0, -2.0, -1.0, 1.0, 2.0, 3.0, 4.0])
WEIGHTS = np.array([1 / 280, -4 / 105, 1 / 5, -4 / 5, 4 / 5, -1 / 5, 4 / 105, -1 / 280])


def neighbours(corner: Corner, q: Array, parts: Parts, step_mm: float = STEP_MM) -> tuple[Array, Parts]:
    """Eight poses around each of the given ones, at the wheel travels OFFSETS times the step beside it."""
    height = corner.held(corner.place(q, parts), "wheel")[0]
    wanted = (height[:, None] + step_mm * OFFSETS).ravel()
    many = parts.repeated(len(OFFSETS))
    return corner.polish(np.repeat(q, len(OFFSETS), axis=0), many, "wheel", wanted), many


def per_mm(values: Array, step_mm: float = STEP_MM) -> Array:
    """Rate per mm of wheel travel of what was found at the neighbours: (8 states, ..) to (states, ..)."""
    return np.einsum("k,sk...->s...", WEIGHTS, values.reshape(-1, len(OFFSETS), *values.shape[1:])) / step_mm
