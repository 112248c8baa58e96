"""Keys, numbers and names as people read them."""

from __future__ import annotations

import json
import math

from shimwise import _core

__all__ = ["figure", "printable", "spoken", "toml_text", "unit_word"]

# The trade means either diagonal by a cross weight: what it is made of stands beside it.
_ALWAYS = {info.name: info.in_words for info in _core.car_output_list() if info.in_words_always}


def spoken(key: str) -> str:
    """A key read aloud: "front_left.toe" is "front left toe"."""
    words = key.replace("ride_height.", "ride height ").replace(".", " ").replace("_", " ")
    return f"{words} ({_ALWAYS[key]})" if key in _ALWAYS else words


def rod_spoken(key: str, *, pull_rod: bool) -> str:
    """A member, link or point read aloud; a corner's pushrod by what it is: "pull rod outer"."""
    return spoken(key.replace("pushrod", "pull_rod") if pull_rod else key)


def figure(value: float | None, digits: int, unit: str = "", *, sign: bool = False) -> str:
    """A number with its unit, never "-0.0"; nothing for None."""
    if value is None:
        return ""
    if not math.isfinite(value):
        raise _core.OutOfReach("a value comes out as no finite number: what is in the files cannot be computed")
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
