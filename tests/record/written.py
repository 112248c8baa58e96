"""Values as lines of text: a name, then what stands there; numbers by `repr`, so that every bit shows."""

from __future__ import annotations

import enum
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from typing import Any

import numpy as np
import pandas as pd
import xarray as xr

DEPTH = 12


def lines_of(value: Any, name: str = "", depth: int = 0) -> Iterator[str]:
    """The lines of a value of any kind that a public call returns."""
    if depth > DEPTH:
        raise RecursionError(name)
    if isinstance(value, pd.DataFrame | pd.Series):
        yield from _table(value, name, depth)
    elif isinstance(value, xr.Dataset):
        yield from lines_of(dict(value.attrs), f"{name}.attrs", depth + 1)
        for key, array in [*value.coords.items(), *value.data_vars.items()]:
            about = ", ".join(f"{k}: {v}" for k, v in array.attrs.items())
            yield f"{name}.{key} {array.dims} {array.shape} [{about}]"
            for row in np.atleast_2d(np.asarray(array.values).reshape(array.shape[0] if array.shape else 1, -1)):
                yield "  " + _numbers(row)
    elif isinstance(value, np.ndarray):
        yield f"{name} {value.shape}"
        for row in np.atleast_2d(value).reshape(-1, value.shape[-1] if value.ndim else 1):
            yield "  " + _numbers(row)
    elif isinstance(value, str) and "\n" in value:
        yield f"{name}:"
        yield from (f"  {line}" for line in value.splitlines())
    elif isinstance(value, Mapping):
        yield f"{name}: {len(value)} items"
        for key, item in value.items():
            yield from lines_of(item, f"{name}[{_plain(key)}]", depth + 1)
    elif isinstance(value, list | tuple) and not all(_is_plain(item) for item in value):
        for index, item in enumerate(value):
            yield from lines_of(item, f"{name}[{index}]", depth + 1)
    elif isinstance(value, list | tuple):
        yield f"{name} = {_numbers(value)}"
    elif _is_plain(value):
        yield f"{name} = {_plain(value)}"
    else:
        yield from _object(value, name, depth)


def _object(value: Any, name: str, depth: int) -> Iterator[str]:
    """The fields of a plain struct; of anything else, which has its own lines elsewhere, what it says of itself."""
    kind = type(value)
    names = [field.name for field in fields(value)] if is_dataclass(value) else _fields(kind)
    if not names or kind.__module__ == "shimwise.car":
        yield f"{name} = {value!r}"
    for key in names:
        yield from lines_of(getattr(value, key), f"{name}.{key}", depth + 1)


def _fields(kind: type) -> list[str]:
    compiled = kind.__module__.startswith("shimwise._core")
    return [key for key in dir(kind) if not key.startswith("_") and isinstance(getattr(kind, key), property)] * compiled


def _table(value: pd.DataFrame | pd.Series, name: str, depth: int) -> Iterator[str]:
    frame = value.to_frame() if isinstance(value, pd.Series) else value
    yield from lines_of(dict(value.attrs), f"{name}.attrs", depth + 1)
    yield f"{name} index {list(frame.index.names)} columns {list(frame.columns)} {[str(t) for t in frame.dtypes]}"
    for index, row in zip(frame.index, frame.itertuples(index=False, name=None), strict=True):
        yield f"  {index}: {_numbers(row)}"


def _is_plain(value: Any) -> bool:
    return value is None or isinstance(value, bool | int | float | str | np.generic) or _is_enumerator(value)


def _is_enumerator(value: Any) -> bool:
    return isinstance(value, enum.Enum) or hasattr(type(value), "__members__")


def _plain(value: Any) -> str:
    if _is_enumerator(value):
        return str(value.name)
    return repr(value.item() if isinstance(value, np.generic) else value)


def _numbers(values: Any) -> str:
    return ", ".join(_plain(value) for value in values)
