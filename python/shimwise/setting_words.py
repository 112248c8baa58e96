"""Settings and changes as people write them: "+2 flats", "1 1/2 flats longer", "2.0 + 0.5 mm", 1.25, [2.0, 0.5]."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from numbers import Real
from typing import cast

from shimwise import _core

__all__ = ["Words", "pack_change", "pack_setting", "thread_change", "thread_setting"]

Words = float | str | Sequence[float]

_UNITS = {"turn": 1.0, "flat": 1.0 / 6.0, "half turn": 0.5, "quarter flat": 1.0 / 24.0, "half flat": 1.0 / 12.0}
_NUMBER = r"(?P<number>\d+\s+\d+/[1-9]\d*|\d+/[1-9]\d*|\d+(?:\.\d*)?|\.\d+)"
_TURNS = re.compile(
    r"(?P<sign>[+-]?)\s*" + _NUMBER + r"\s*"
    r"(?P<unit>half turn|turn|quarter flat|half flat|flat|step|mm)s?(?:\s+(?P<way>[a-z ]+))?",
    re.IGNORECASE,
)
_THICKER = re.compile(
    r"(?:(?P<sign>[+-])\s*" + _NUMBER + r"\s*(?:mm)?|" + _NUMBER.replace("number", "size") + r"\s*mm\s+"
    r"(?P<way>thicker|thinner))",
    re.IGNORECASE,
)


def thread_setting(key: str, adjuster: _core.Adjuster, words: Words) -> float:
    """Return a thread's setting in turns from the drawn length.

    Args:
        key: "corner.adjuster name", for messages.
        adjuster: the adjuster as it stands; it has a thread.
        words: turns from drawn; or a number with a unit (turn, half turn, flat, half flat, quarter flat, step, mm).
            With a sign, or with "longer", "shorter", "toward the spring", "away from the spring", it is counted from
            the present setting, without one from the drawn length.

    Raises:
        InputError: the words are none of these.
    """
    if isinstance(words, Real):
        return float(words)
    turns, way = _turns(key, adjuster, words)
    return turns if way is None else _thread(adjuster).now_turns + way * turns


def thread_change(key: str, adjuster: _core.Adjuster, words: Words) -> float:
    """Return by how many turns a thread is turned, + = longer or toward the spring.

    A plain number is turns. Words need a sign or a way: "2 flats" alone could be meant from the drawn length.

    Raises:
        InputError: the words are none of these.
    """
    if isinstance(words, Real):
        return float(words)
    turns, way = _turns(key, adjuster, words)
    if way is None:
        longer, shorter = _ways(adjuster)
        raise _core.InputError(
            f"{key} = {words!r}: which way? Write +{words} ({longer}) or -{words} ({shorter}), from how it stands"
        )
    return way * turns


def pack_setting(key: str, words: Words) -> list[float]:
    """Return the shims of a pack in mm: from a list, "2.0 + 0.5 mm" or "no shim".

    Raises:
        InputError: the words are none of these.
    """
    if isinstance(words, str):
        text = words.strip()
        if text.lower() == "no shim":
            return []
        pieces = [piece.strip().removesuffix("mm").strip() for piece in text.split("+")]
        if all(re.fullmatch(r"\d+(?:\.\d*)?|\.\d+", piece) for piece in pieces):
            return [float(piece) for piece in pieces]
    elif isinstance(words, Sequence) and all(isinstance(mm, Real) for mm in words):
        return [float(mm) for mm in words]
    raise _core.InputError(f"{key} = {words!r}: needs the shims fitted, such as 2.0 + 0.5 mm")


def pack_change(key: str, words: Words) -> float | list[float]:
    """Return by how many mm a pack gets thicker, or the shims of the pack that is wanted.

    A plain number, "+0.5 mm" and "0.5 mm thicker" are changes; a list, "2.0 + 0.5 mm" and "no shim" are packs.

    Raises:
        InputError: the words are none of these.
    """
    if isinstance(words, Real):
        return float(words)
    match = _THICKER.fullmatch(words.strip()) if isinstance(words, str) else None
    if match is not None:
        down = match["sign"] == "-" or (match["way"] or "").lower() == "thinner"
        return (-1.0 if down else 1.0) * _number(match["number"] or match["size"])
    try:
        return pack_setting(key, words)
    except _core.InputError:
        raise _core.InputError(
            f"{key} = {words!r}: needs a change such as +0.5 mm (thicker), or the shims fitted, such as 2.0 + 0.5 mm"
        ) from None


def _number(text: str) -> float:
    return float(sum(Fraction(part) for part in text.split()))


def _thread(adjuster: _core.Adjuster) -> _core.Thread:
    return cast("_core.Thread", adjuster.setting)


def _ways(adjuster: _core.Adjuster) -> tuple[str, str]:
    """What + and - are called: longer and shorter, or toward and away from the spring."""
    up, down = (_core.row_name(adjuster, per) for per in (_core.Per.step_up, _core.Per.step_down))
    return up.removeprefix("step "), down.removeprefix("step ")


def _turns(key: str, adjuster: _core.Adjuster, words: Words) -> tuple[float, float | None]:
    """Turns, and which way from the present setting: 1, -1, or None where nothing says so."""
    match = _TURNS.fullmatch(words.strip()) if isinstance(words, str) else None
    ways = _ways(adjuster)
    way = match["way"].strip().lower() if match and match["way"] else None
    if match is None or (way is not None and (way not in ways or match["sign"] != "")):
        raise _core.InputError(
            f"{key} = {words!r}: needs turns, or a number with turns, flats, quarter flats, half turns, steps or mm, "
            f"such as +2 flats or 2 flats {ways[0]}"
        )
    number = _number(match["number"])
    unit = match["unit"].lower()
    thread = _thread(adjuster)
    if unit == "mm":
        turns = number / thread.lead_mm
    elif unit == "step":
        turns = number * thread.step_turns
    else:
        turns = number * _UNITS[unit]
    if way is not None:
        return turns, 1.0 if way == ways[0] else -1.0
    return turns, {"": None, "+": 1.0, "-": -1.0}[match["sign"]]
