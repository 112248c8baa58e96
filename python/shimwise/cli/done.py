"""`shimwise done`."""

from __future__ import annotations

import click

from shimwise import _core
from shimwise.arguments import file_name
from shimwise.car import Car
from shimwise.cli.shared import car_of, console, file_option, json_option, named_amounts, settings_option, write_json
from shimwise.data_of import data_of, origin
from shimwise.setting_words import written
from shimwise.views.pieces import bullet

__all__ = ["done"]


@click.command()
@click.argument("car", metavar="CAR")
@click.argument("card", metavar="CARD.json")
@file_option("--out", metavar="SETTINGS.toml", required=True, help="The new settings file.")
@click.option(
    "--through",
    type=click.IntRange(0, _core.last_step),
    metavar="STEP",
    help="The last step of the card that was done; the rest was left.",
)
@click.option("--but", multiple=True, metavar='"corner.adjuster=+1 flat"', help="What was turned instead.")
@settings_option
@json_option
def done(
    car: str, card: str, out: str, through: int | None, but: tuple[str, ...], settings: str | None, as_json: bool
) -> None:
    """Write down that a card was done: the settings that tomorrow's plan starts from.

    --but says what was turned at an adjuster instead of what the card says: "+1 flat" or "+0.5 mm" counted from before
    the card, "=2 flats" from the drawn length, "2.0 + 0.5 mm" the pack. Car and settings are those that the card was
    made from. After --through read the car again and plan the rest from there.
    """
    model, inputs = car_of(car, settings)
    left = _core.settings_of_card(file_name(card), model.core, inputs, through)
    made = origin(*inputs, _core.input_of_card(left))
    after = model.with_settings(left)
    taken: dict[str, _core.Amount] = {}
    notes: list[str] = []
    for key, words in named_amounts(but, '"corner.adjuster name=+1 flat"', "--but").items():
        taken[key] = _core.amount(key, model.adjuster(key), written(words), _core.From.now)
        core, unsettled = _core.done_instead(model.core, after.core, key, written(words))
        after = Car(core)
        notes += unsettled
    result = after.settings
    _core.save_settings(result, out)
    if as_json:
        about = {"taken": {key: amount.taken for key, amount in taken.items()}, "notes": notes}
        write_json({"settings": out} | {k: v for k, v in data_of(result).items() if k != "file"} | about | made)
        return
    paper = console()
    after_what = card if through is None else f"step {through} of {card}"
    click.echo(f"{out}: the adjusters of {model.name} as they stand after {after_what}.")
    for key, amount in taken.items():
        if not amount.plain:
            paper.print(bullet("=", f"{key}: taken as {amount.taken}"))
    for note in notes:
        paper.print(bullet("!", note))
