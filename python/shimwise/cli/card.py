"""`shimwise card`."""

from __future__ import annotations

import json
from pathlib import Path

import click
from rich.text import Text

from shimwise.choice.card import load_card
from shimwise.cli.shared import console, json_option, write_json
from shimwise.views.card import card_view
from shimwise.views.pieces import bullet
from shimwise.words import printable

__all__ = ["card"]


@click.command()
@click.argument("card", metavar="CARD.json")
@json_option
def card(card: str, as_json: bool) -> None:
    """Show a saved card again: what cannot be met, first page, steps, what was measured and the proof."""
    found = load_card(card)
    if as_json:
        write_json(found.as_dict())
        return
    out = console()
    refusals = _refusals(card)
    if refusals:
        out.print(Text("Cannot be met:", style="bold"))
        for refusal in refusals:
            out.print(bullet("!", printable(refusal)))
        out.print()
    out.print(card_view(found))


def _refusals(path: str) -> list[str]:
    """What the plan says beside the card. Precondition: the file is a card."""
    plan = json.loads(Path(path).read_text(encoding="utf-8")).get("plan")
    said = plan.get("refusals") if isinstance(plan, dict) else None
    return [one for one in said if isinstance(one, str)] if isinstance(said, list) else []
