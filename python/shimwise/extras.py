"""Packages that only some of the calls need."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from shimwise import _core

__all__ = ["extra"]


@contextmanager
def extra(what: str, **packages: str) -> Iterator[None]:
    """For the import of packages, by their names with what pip calls them: say which one is missing."""
    try:
        yield
    except ModuleNotFoundError as error:
        missing = (error.name or "").partition(".")[0]
        if missing not in packages:
            raise
        raise _core.InputError(
            f'{what} {missing.capitalize()}, which is not installed: pip install "{packages[missing]}"'
        ) from None
