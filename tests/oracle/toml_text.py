"""TOML of plain dictionaries; floats at full precision."""

from __future__ import annotations

import json
import re
from typing import Any

Table = dict[str, Any]


def toml_value(value: Any) -> str:
    """A value on one line."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return json.dumps(value)
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{_key(key)} = {toml_value(item)}" for key, item in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(toml_value(item) for item in value) + "]"
    return value.isoformat() if hasattr(value, "isoformat") else repr(value)


def _key(key: str) -> str:
    return key if re.fullmatch(r"[\w-]+", key) else json.dumps(key)


def toml_lines(table: Table) -> str:
    """Each key of a table on a line of its own."""
    return "".join(f"{_key(key)} = {toml_value(value)}\n" for key, value in table.items())


def toml_block(header: str, table: Table) -> str:
    """A table under its header."""
    return f"{header}\n{toml_lines(table)}"


def toml_corner(name: str, table: Table) -> str:
    """A corner and its adjusters."""
    plain = {key: value for key, value in table.items() if key != "adjuster"}
    blocks = [toml_block(f"[{name}]", plain)]
    blocks += [toml_block(f"[[{name}.adjuster]]", adjuster) for adjuster in table.get("adjuster", [])]
    return "\n".join(blocks)
