"""Settings and changes as people write them: "+2 flats", "1 1/2 flats longer", "2.0 + 0.5 mm", 1.25, [2.0, 0.5]."""

from __future__ import annotations

from collections.abc import Sequence
from numbers import Real

from shimwise import _core
from shimwise.arguments import number

__all__ = ["Words", "written"]

Words = float | str | Sequence[float]


def written(words: Words) -> _core.Words:
    """What the library reads amounts from; whatever is no number, list of numbers or text is none of these."""
    if isinstance(words, str):
        return _core.Words(words, repr(words))
    if isinstance(words, Real):
        return _core.Words(number("a setting", words), repr(words))
    if isinstance(words, Sequence) and all(isinstance(one, Real) for one in words):
        return _core.Words([number("a setting", one) for one in words if not isinstance(one, str)], repr(words))
    return _core.Words(None, repr(words))
