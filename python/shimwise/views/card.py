"""How a card looks: its own lines of 80 letters, titles in bold."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.console import Group
from rich.text import Text

from shimwise.choice.card import Card
from shimwise.shown import view

if TYPE_CHECKING:
    from rich.console import RenderableType

__all__ = ["card_view"]


@view.register(Card)
def card_view(card: Card) -> RenderableType:
    """The first page, the steps, what was measured and the proof."""
    return Group(*(Text(page) for page in (card.first_page, card.steps)), Text(card.last_page.removesuffix("\n")))
