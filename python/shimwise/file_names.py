"""The name of a file as the library takes it."""

from __future__ import annotations

from os import PathLike, fsdecode

from shimwise import _core

__all__ = ["file_name"]


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
