"""Keys, numbers and names as people read them."""

from __future__ import annotations

import json

__all__ = ["figure", "printable", "spoken", "toml_text", "unit_word"]


def spoken(key: str) -> str:
    """A key read aloud: "front_left.toe" is "front left toe"."""
    words = key.replace("ride_height.", "ride height ").replace(".", " ").replace("_", " ")
    return words + " (FR + RL)" if key == "cross_weight" else words


def figure(value: float | None, digits: int, unit: str = "", *, sign: bool = False) -> str:
    """A number with its unit, never "-0.0"; nothing for None."""
    if value is None:
        return ""
    unit = unit_word(unit)
    return f"{round(value, digits) + 0.0:{'+' if sign else ''}.{digits}f}{' ' + unit if unit else ''}"


def unit_word(unit: str) -> str:
    """A unit as it is read."""
    return {"percent": "%"}.get(unit, unit)


def printable(text: str) -> str:
    """A text on one line, without control characters."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def toml_text(text: str) -> str:
    """A text in quotes, as TOML writes it."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
