"""`shimwise card`."""

from __future__ import annotations

import click

from shimwise.choice.card import load_card
from shimwise.cli.shared import console, json_option, write_json
from shimwise.views.card import card_view

__all__ = ["card"]


@click.command()
@click.argument("card", metavar="CARD.json")
@json_option
def card(card: str, as_json: bool) -> None:
    """Show a saved card again: first page, steps, what was measured and the proof."""
    found = load_card(card)
    if as_json:
        write_json(found.as_dict())
    else:
        console().print(card_view(found))
