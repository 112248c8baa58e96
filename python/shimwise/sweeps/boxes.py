"""A grid of states cut into boxes that lie side by side, each one stretch of the states however they are counted."""

from __future__ import annotations

from itertools import product
from math import prod
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterator

__all__ = ["Box", "box_sizes", "boxes_of"]


class Box(NamedTuple):
    """States that lie side by side."""

    number: int
    at: tuple[slice, ...]  # along each dimension

    @property
    def shape(self) -> tuple[int, ...]:
        """How long it is along each dimension."""
        return tuple(along.stop - along.start for along in self.at)

    @property
    def states(self) -> int:
        """How many it holds."""
        return prod(self.shape)


def box_sizes(shape: tuple[int, ...], about: int) -> tuple[int, ...]:
    """How long a box is along each dimension, with `about` states at most: the last dimensions are taken whole."""
    sizes = [1] * len(shape)
    states = 1
    for axis in reversed(range(len(shape))):
        pieces = -(-shape[axis] // (about // states))
        sizes[axis] = -(-shape[axis] // pieces)
        states *= sizes[axis]
        if sizes[axis] < shape[axis]:
            break
    return tuple(sizes)


def boxes_of(shape: tuple[int, ...], sizes: tuple[int, ...]) -> Iterator[Box]:
    """The boxes of a grid, the last dimension fastest."""
    starts = product(*(range(0, length, size) for length, size in zip(shape, sizes, strict=True)))
    for number, first in enumerate(starts):
        ends = (min(start + size, length) for start, size, length in zip(first, sizes, shape, strict=True))
        yield Box(number, tuple(map(slice, first, ends)))
