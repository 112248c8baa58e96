"""What a call was given, checked by its name."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from os import PathLike, fsdecode
from typing import TYPE_CHECKING, Any, SupportsFloat

import numpy as np

from shimwise import _core

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

__all__ = [
    "demand_kind",
    "demand_mapping",
    "demand_yes_or_no",
    "file_name",
    "finite",
    "in_utf8",
    "names_among",
    "number",
    "number_array",
    "shortened",
    "whole_number",
]


def file_name(path: str | PathLike[str]) -> str:
    """Return the path as text.

    Raises:
        InputError: it is empty, or no UTF-8 text: it could not be said again.
    """
    name = fsdecode(path)
    if not name.strip() or "\0" in name:
        raise _core.InputError(f"{name!r}: needs the name of a file")
    try:
        name.encode()
    except UnicodeEncodeError:
        raise _core.InputError(f"{name!a}: its name is not UTF-8 text: give the file another one") from None
    return name


def number(name: str, value: SupportsFloat) -> float:
    """Return a number as we count. Raises InputError where it is none, or beyond all that can be counted."""
    try:
        return float(value)
    except ValueError:
        raise _core.InputError(f"{name} = {shortened(value)}: needs a number") from None
    except OverflowError:
        raise _core.InputError(f"{name} = {shortened(value)}: is larger than anything here") from None


def whole_number(name: str, value: object, least: int, most: int) -> int:
    """Return a whole number between two. Raises InputError where it is none."""
    if isinstance(value, int | np.integer) and not isinstance(value, bool) and least <= value <= most:
        return int(value)
    raise _core.InputError(f"{name} = {shortened(value)}: needs a whole number from {least:,} to {most:,}")


def number_array(name: str, value: ArrayLike) -> NDArray[np.float64]:
    """Return an array of the numbers. Raises InputError where they are none."""
    try:
        array = np.asarray(value)
        if array.dtype.kind in "iufO" and not np.ma.is_masked(value):
            return np.asarray(array, dtype=np.float64)
    except (TypeError, ValueError, OverflowError):
        pass
    raise _core.InputError(f"{name} = {shortened(value)}: needs numbers")


def finite(name: str, value: ArrayLike) -> None:
    """Refuse a number that is none, by its name."""
    if not np.isfinite(number_array(name, value)).all():
        raise _core.InputError(f"{name}: holds a number that is not finite")


def demand_kind(name: str, value: object, kind: str) -> None:
    """Refuse what is no object of ours of that kind: a path in place of what is loaded from it, for instance."""
    if kind not in (one.__name__ for one in type(value).__mro__):
        raise _core.InputError(f"{name} = {shortened(value)}: needs a {kind}")


def demand_mapping(name: str, value: object, such_as: str) -> None:
    """Refuse what is no dictionary."""
    if not isinstance(value, Mapping):
        raise _core.InputError(f"{name} = {shortened(value)}: needs a dictionary, such as {such_as}")


def names_among(name: str, given: object, known: list[str]) -> list[str]:
    """Return names out of a list, each once, in the order given; one name may stand for itself.

    Raises:
        InputError: none is given, or one is not known; says which was meant.
    """
    names = [given] if isinstance(given, str) else list(given) if isinstance(given, Iterable) else []
    if not names or not all(isinstance(one, str) for one in names):
        raise _core.InputError(f"{name} = {shortened(given)}: needs a list of names, such as {known[0]}")
    for one in names:
        if one not in known:
            meant = _core.did_you_mean(in_utf8(one), known)
            raise _core.InputError(f"{name} = {shortened(one)}: is not known{meant}")
    return list(dict.fromkeys(names))


def in_utf8(text: str) -> str:
    """Return a text as the core takes it: `?` for what UTF-8 cannot say."""
    return text.encode(errors="replace").decode()


def demand_yes_or_no(name: str, value: object) -> None:
    """Refuse what is neither True nor False."""
    if not isinstance(value, bool | np.bool_):
        raise _core.InputError(f"{name} = {shortened(value)}: needs True or False")


def shortened(value: Any) -> str:
    """A value on one line, at most 60 letters long."""
    words = " ".join(repr(value).split())
    return words if len(words) <= 60 else words[:56] + " ..."
