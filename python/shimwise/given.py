"""What a file holds, given as its path, as a dictionary or as text."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from numbers import Integral, Real
from os import PathLike
from typing import Any

import numpy as np
import tomli_w

from shimwise import _core
from shimwise.arguments import file_name

__all__ = ["Given", "source_of"]

Given = str | PathLike[str] | Mapping[str, Any]

_DEEPEST = 8
_LARGEST = 2**63  # of TOML's whole numbers


def source_of(path: Given | None, text: str | None) -> _core.Source:
    """Return what is to be read. A dictionary becomes the TOML text that `tomli_w` writes of it: that is digested.

    Raises:
        InputError: both are given or none, no such file, or something in the dictionary that no file could hold.
    """
    if (path is None) == (text is None):
        raise _core.InputError("needs a path or a dictionary, or text=, the contents of a file")
    if text is not None:
        if not isinstance(text, str):
            raise _core.InputError(f"text = {type(text).__name__}: needs the contents of a file as str")
        return _core.Source("text", text.encode("utf-8", "surrogatepass"))
    if isinstance(path, Mapping):
        written = tomli_w.dumps(_plain(path, ""))
        return _core.Source("dict", written.encode("utf-8", "surrogatepass"), has_lines=False)
    if not isinstance(path, str | bytes | PathLike):
        raise _core.InputError(f"path = {path!r}: needs the path of a file, or what it holds as a dictionary")
    return _core.read_source(file_name(path))


def _plain(value: Any, field: str, depth: int = 0) -> Any:
    """The value in Python's own types, as `tomllib` would give it."""
    if depth > _DEEPEST:
        raise _core.InputError(f"dict: {field}: holds tables and lists in each other deeper than any file of ours")
    if isinstance(value, np.ndarray | np.generic):
        value = value.tolist()
    if isinstance(value, Mapping):
        for key in value:
            if not isinstance(key, str):
                raise _core.InputError(f"dict: {field or 'its keys'}: {key!r} is no name, a text is needed")
        return {str(k): _plain(v, f"{field}.{k}" if field else str(k), depth + 1) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item, field, depth + 1) for item in value]
    if isinstance(value, bool | str | datetime.date | datetime.time):
        return value
    if isinstance(value, Integral) and -_LARGEST <= int(value) < _LARGEST:
        return int(value)
    if isinstance(value, Real) and not isinstance(value, Integral):
        return float(value)
    what = "a whole number beyond all that is counted" if isinstance(value, Integral) else type(value).__name__
    raise _core.InputError(f"dict: {field}: is {what}: needs what a TOML file can hold")
