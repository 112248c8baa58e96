"""What the compiled part returns, as plain dictionaries for JSON: every field by its own name."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

import numpy as np

from shimwise import _core

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


def origin(*paths: str | Path) -> dict[str, Any]:
    """Return the version and the inputs with their digests: where an output comes from."""
    digests = {Path(p).name: hashlib.sha256(Path(p).read_bytes()).hexdigest()[:16] for p in paths}
    return {"shimwise": _core.__version__, "inputs": digests}


def document(content: dict[str, Any]) -> str:
    """Return the text of a JSON document. Never NaN or infinity."""
    return json.dumps(content, indent=1, allow_nan=False, ensure_ascii=False) + "\n"
