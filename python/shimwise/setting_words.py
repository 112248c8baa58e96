"""Settings as people write them: "+2 flats", "1.25 turns", "-0.5 mm", 1.25, [2.0, 0.5]."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import TYPE_CHECKING

from shimwise import _core

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["thread_setting"]

_UNITS = {"turn": 1.0, "flat": 1.0 / 6.0, "half turn": 0.5, "quarter flat": 1.0 / 24.0, "half flat": 1.0 / 12.0}
_WORDS = re.compile(
    r"(?P<sign>[+-]?)\s*(?P<number>\d+(?:\.\d*)?|\.\d+|\d+/\d+)\s*"
    r"(?P<unit>turn|flat|half turn|quarter flat|half flat|step|mm)s?",
    re.IGNORECASE,
)


def thread_setting(key: str, thread: _core.Thread, words: float | str | Sequence[float]) -> float:
    """Return a thread's setting in turns from the drawn length.

    Args:
        key: "corner.adjuster name", for messages.
        thread: the thread as it stands.
        words: turns from drawn; or a number with a unit (turn, half turn, flat, half flat, quarter flat, step, mm).
            With a sign it is counted from the present setting, without one from the drawn length.

    Raises:
        InputError: the words are none of these.
    """
    if isinstance(words, int | float):
        return float(words)
    match = _WORDS.fullmatch(words.strip()) if isinstance(words, str) else None
    if match is None:
        raise _core.InputError(
            f"{key} = {words!r}: needs turns, or a number with turns, flats, quarter flats, half turns, steps or mm"
        )
    number = float(Fraction(match["number"]))
    unit = match["unit"].lower()
    if unit == "mm":
        turns = number / thread.lead_mm
    elif unit == "step":
        turns = number * thread.step_turns
    else:
        turns = number * _UNITS[unit]
    if match["sign"] == "":
        return turns
    return thread.now_turns + (turns if match["sign"] == "+" else -turns)
