"""Values of a file by their paths, for tests that change one at a time."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from documented_keys import Path


def leaves(value: Any, path: Path = ()) -> Iterator[tuple[Path, Any]]:
    """Every value with its path; a list is one value unless tables stand in it."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from leaves(inner, (*path, key))
    elif isinstance(value, list) and value and isinstance(value[0], dict):
        for at, inner in enumerate(value):
            yield from leaves(inner, (*path, at))
    else:
        yield path, value


def with_value(table: Any, path: Path, value: Any) -> Any:
    """A copy in which one value is another."""
    if not path:
        return value
    if isinstance(table, list):
        return [with_value(v, path[1:], value) if at == path[0] else v for at, v in enumerate(table)]
    return {key: with_value(v, path[1:], value) if key == path[0] else v for key, v in table.items()}
