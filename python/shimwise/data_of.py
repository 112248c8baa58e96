"""What the compiled part returns, as plain dictionaries for JSON: every field by its own name."""

from __future__ import annotations

import json
import math
from typing import TYPE_CHECKING, Any

import numpy as np

from shimwise import _core

if TYPE_CHECKING:
    from collections.abc import Iterator

__all__ = ["data_of", "document", "origin"]


def data_of(value: Any) -> Any:
    """Return numbers, texts, lists and dictionaries for a value of the compiled part."""
    if value is None or isinstance(value, bool | int | float | str):
        return value
    if isinstance(value, np.ndarray):
        # an infinite limit is no limit; JSON has no word for infinity
        return (
            [data_of(v) for v in value] if value.ndim > 1 else [v if np.isfinite(v) else None for v in value.tolist()]
        )
    if isinstance(value, dict):
        return {data_of(k): data_of(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [data_of(v) for v in value]
    if hasattr(type(value), "__members__"):
        return value.name
    fields = [name for name, kind in vars(type(value)).items() if isinstance(kind, property)]
    return {name: data_of(getattr(value, name)) for name in fields}


def origin(*inputs: _core.Input) -> dict[str, Any]:
    """Return the version and the inputs with their digests and roles: where an output comes from."""
    names = _core.input_names(list(inputs))
    return {
        "shimwise": _core.__version__,
        "inputs": {name: read.digest for name, read in zip(names, inputs, strict=True)},
        "roles": {read.role: name for name, read in zip(names, inputs, strict=True)},
    }


def document(content: dict[str, Any], *, ascii_only: bool = False) -> str:
    """Return the text of a JSON document.

    Raises:
        OutOfReach: a number in it is NaN or infinite, which JSON cannot say and which is no answer.
    """
    try:
        return json.dumps(content, indent=1, allow_nan=False, ensure_ascii=ascii_only) + "\n"
    except ValueError:
        where = next(_not_finite(content, ""), "a number")
        raise _core.OutOfReach(
            f"{where} comes out as no finite number: what is in the files cannot be computed"
        ) from None


def _not_finite(content: Any, name: str) -> Iterator[str]:
    """The numbers that are NaN or infinite, by their keys."""
    if isinstance(content, float) and not math.isfinite(content):
        yield name
    items = content.items() if isinstance(content, dict) else enumerate(content) if isinstance(content, list) else ()
    for key, value in items:
        yield from _not_finite(value, f"{name}.{key}" if name else str(key))
