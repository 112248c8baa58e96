"""The card: the job in working order, as a plan writes it and as it is saved."""

from __future__ import annotations

import json
from typing import Any

from shimwise import _core
from shimwise.arguments import file_name
from shimwise.shown import Shown

__all__ = ["Card", "load_card"]


class Card(Shown):
    """The job in working order, with the readings to expect after every step. Nothing in it changes.

    Attributes:
        core: all of it as the library holds it: title, chance, steps with their lines, values, proof, notes.
    """

    __slots__ = ("core",)
    core: _core.Card

    def __init__(self, core: _core.Card) -> None:
        object.__setattr__(self, "core", core)

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError(f"a card does not change: {name} cannot be set")

    def __reduce__(self) -> tuple[type[Card], tuple[_core.Card]]:
        return Card, (self.core,)

    @property
    def first_page(self) -> str:
        """All that one must know, in at most 24 lines of 80 letters: the plan and why, every corner, the cautions."""
        return _text(_core.first_page(self.core))

    @property
    def steps(self) -> str:
        """The steps in working order: what to turn, what is read then and within what, room to write."""
        return _text(_core.steps_page(self.core))

    @property
    def last_page(self) -> str:
        """What was measured and what comes of it, the proof, doubts and notes."""
        return _text(_core.last_page(self.core))

    def as_dict(self) -> dict[str, Any]:
        """Return everything as plain data: the key `card` of a saved card. Lengths in mm, angles in degrees."""
        data: dict[str, Any] = json.loads(_core.card_json(self.core))
        return data


def _text(lines: list[str]) -> str:
    return "\n".join(lines) + "\n"


def load_card(path: str) -> Card:
    """Read a saved card, to look at.

    Args:
        path: a file that `shimwise plan --save` wrote.

    Raises:
        InputError: there is no such file, or it is no card; one sentence for each fault.
    """
    return Card(_core.load_card(file_name(path)))
