"""What an adjuster's table in a car file says: its lead, and how far it stands from drawn."""

from __future__ import annotations

from typing import Any

Table = dict[str, Any]


def pitch_mm(thread: str) -> float:
    """Pitch of "M8x1.25" (metric) or "3/8-24" (threads per inch)."""
    if thread.startswith("M"):
        return float(thread.split("x")[1])
    return 25.4 / float(thread.split("-")[1])


def lead_mm(adjuster: Table) -> float:
    """Eye-to-eye growth of one turn: one pitch, the sum of two hands, or the difference of one hand's two threads."""
    first = adjuster["pitch_mm"] if "pitch_mm" in adjuster else pitch_mm(adjuster["thread"])
    second = pitch_mm(adjuster["second_thread"]) if "second_thread" in adjuster else None
    if adjuster["ends"] == "left_and_right":
        return first + (first if second is None else second)
    if adjuster["ends"] == "same_hand":
        return first - second
    return first


def amount_mm(adjuster: Table) -> float:
    """How far the adjuster stands from drawn: turns times lead, or the stack less what it was drawn with."""
    if "moves" in adjuster:
        return sum(adjuster.get("fitted_mm", [])) - adjuster["drawn_with_mm"]
    return adjuster.get("now_turns", 0.0) * lead_mm(adjuster)


def names(value: str | list[str]) -> list[str]:
    return [value] if isinstance(value, str) else list(value)
