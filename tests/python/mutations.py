"""Seeded faults of a file's text: bytes, tokens, numbers, lines, keys, types, names. A fuzz draws from them."""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from functools import partial

__all__ = ["EXTREMES", "mutated"]

EXTREMES = [
    *(
        "0",
        "0.0",
        "-0.0",
        "1",
        "-1",
        "-1.0",
        "1e300",
        "-1e300",
        "1e-300",
        "5e-324",
        "1e12",
        "1e13",
        "1e-6",
        "nan",
        "-nan",
    ),
    *("inf", "-inf", "1e400", "9" * 400, "0." + "0" * 400 + "1", "9223372036854775807", "-9223372036854775808", "0x1F"),
    *("1_000", "0.1e", "1.", ".5", "++1", "12,5", "___", "89.999999", "90.0", "180.0", "360.0", "1000.0", "5000.0"),
]
_WORDS = [
    *('""', '"x"', "true", "false", "[]", "{}", "[[]]", "[nan]", "2026-05-02", "2026-05-02T08:10:00Z", "null", "'''"),
    *('"[red]x[/red]"', '"a]b["', '"\\u0000"', '"\\ud800"', '"é✓"', '"' + "x" * 300 + '"', '"\\t\\n"', '"{}%s"', '" "'),
    *(
        '"front_left"',
        '"rear_right"',
        '"M8x1.25"',
        '"M0x0"',
        '"1/0-24"',
        "[0.0, 0.0, 0.0]",
        "[1e300, 0.0, 0.0]",
    ),
]
_NUMBER = re.compile(r"(?<![\w.])-?\d+(?:\.\d+)?(?:[eE][+-]?\d+)?(?![\w.])")
_NAME = re.compile(r"[A-Za-z_]{3,}")
_QUOTED = re.compile(r'"[^"\n]*"')


def _in_place(pattern: re.Pattern[str], draw: random.Random, text: str, new: Callable[[str], str]) -> str:
    found = list(pattern.finditer(text))
    if not found:
        return text
    at = draw.choice(found)
    return text[: at.start()] + new(at.group()) + text[at.end() :]


def _scaled(draw: random.Random, number: str) -> str:
    factor = draw.choice([-1.0, 0.0, 0.1, 0.5, 0.99, 1.01, 2.0, 10.0, 25.4, 1e3, 1e-3, 1e6, 1e9, 1e-9])
    return repr(float(number) * factor)


def _any_of(draw: random.Random, names: list[str], _: str) -> str:
    return draw.choice(names)


def _lines(draw: random.Random, text: str) -> str:
    lines = text.split("\n")
    one, other = draw.randrange(len(lines)), draw.randrange(len(lines))
    kind = draw.randrange(4)
    if kind == 0:
        del lines[one : one + draw.choice([1, 1, 1, 5, 40])]
    elif kind == 1:
        lines.insert(other, lines[one])
    elif kind == 2:
        lines[one], lines[other] = lines[other], lines[one]
    else:
        lines = lines[:one]
    return "\n".join(lines)


def _bytes(draw: random.Random, text: str) -> str:
    at = draw.randrange(len(text) + 1)
    new: str = draw.choice(
        [*"\"'[]{}=.,#\\\n\r\t_-+/:; ", "\0", "\x1b", "\x7f", "é", "\ufeff", "\u202e", "💥", "\udcff"]
    )
    return text[:at] + new + text[at + draw.randrange(3) :]


def mutated(text: str, draw: random.Random) -> bytes:
    """Return the text with one to four faults. A lone surrogate stands for a byte that is no UTF-8."""
    for _ in range(draw.choice([1, 1, 1, 2, 4])):
        kind = draw.randrange(12)
        if kind < 4:
            text = _in_place(_NUMBER, draw, text, lambda number: _scaled(draw, number))
        elif kind < 7:
            text = _in_place(_NUMBER, draw, text, lambda _: draw.choice(EXTREMES))
        elif kind == 7:
            text = _in_place(_QUOTED, draw, text, lambda _: draw.choice(_WORDS))
        elif kind == 8:
            text = _in_place(_NUMBER, draw, text, lambda _: draw.choice(_WORDS))
        elif kind == 9:
            names: list[str] = _NAME.findall(text) or ["x"]
            text = _in_place(_NAME, draw, text, partial(_any_of, draw, names))
        elif kind == 10:
            text = _lines(draw, text)
        else:
            text = _bytes(draw, text)
    return text.encode("utf-8", "surrogateescape")
