"""What kind of file a picture goes into."""

from __future__ import annotations

from os import PathLike, fspath
from pathlib import Path

from shimwise import _core

__all__ = ["ending_of"]


def ending_of(path: str | PathLike[str]) -> str:
    """Return png, pdf or svg by a path's ending. Raises InputError for another."""
    ending = Path(path).suffix.lower().removeprefix(".")
    if ending not in ("png", "pdf", "svg"):
        raise _core.InputError(f"{fspath(path)}: a picture's name ends in .png, .pdf or .svg")
    return ending
