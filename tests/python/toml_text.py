"""TOML text of plain dictionaries, each table on one line, for files that a test changes key by key."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from documented_keys import Path


def toml_text(table: dict[str, Any]) -> str:
    """The text of a file."""
    return "".join(f"{json.dumps(key)} = {_text(value)}\n" for key, value in table.items())


def _text(value: Any) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{json.dumps(key)} = {_text(v)}" for key, v in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(_text(v) for v in value) + "]"
    if isinstance(value, bool | str):
        return json.dumps(value)
    return value.isoformat() if hasattr(value, "isoformat") else repr(value)


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
