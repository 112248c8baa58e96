"""`shimwise done`."""

from __future__ import annotations

import click

from shimwise import _core
from shimwise.arguments import file_name
from shimwise.car import Car
from shimwise.cli.shared import car_of, file_option, json_option, settings_option, write_json
from shimwise.data_of import data_of, origin
from shimwise.setting_words import written

__all__ = ["done"]


@click.command()
@click.argument("car", metavar="CAR")
@click.argument("card", metavar="CARD.json")
@file_option("--out", metavar="SETTINGS.toml", required=True, help="The new settings file.")
@click.option("--but", multiple=True, metavar='"corner.adjuster=+1 flat"', help="What was turned instead.")
@settings_option
@json_option
def done(car: str, card: str, out: str, but: tuple[str, ...], settings: str | None, as_json: bool) -> None:
    """Write down that a card was done: the settings that tomorrow's plan starts from.

    --but says what was turned at an adjuster instead of what the card says, counted from before the card. Car and
    settings are those that the card was made from.
    """
    model, inputs = car_of(car, settings)
    left = _core.load_card(file_name(card), model.core, inputs)
    made = origin(*inputs, _core.input_of_card(left))
    after = model.with_settings(left)
    named: set[str] = set()
    for words in but:
        key = words.partition("=")[0].strip()
        if key in named:
            raise click.BadParameter(f"{key!r} is named twice", param_hint="--but")
        named.add(key)
        after = _instead(words, before=model, after=after)
    result = after.settings
    _core.save_settings(result, out)
    if as_json:
        write_json({"settings": out} | {k: v for k, v in data_of(result).items() if k != "file"} | made)
    else:
        click.echo(f"{out}: the adjusters of {model.name} as they stand after {card}.")


def _instead(words: str, before: Car, after: Car) -> Car:
    """The car after the card, one adjuster set to what was really turned, counted from before the card."""
    key, equals, setting = words.partition("=")
    corner, _, name = key.strip().partition(".")
    if not equals:
        raise click.BadParameter(f'{words!r}: needs "corner.adjuster name=setting"', param_hint="--but")
    adjuster = before.adjuster(key.strip())
    if isinstance(adjuster.setting, _core.Thread):
        turns = adjuster.setting.now_turns + _core.thread_change(key.strip(), adjuster, written(setting))
        return after.with_settings({key.strip(): turns})
    shims = _core.pack_setting(key, written(setting))
    return Car(_core.refit(after.core, _core.CornerId.__members__[corner], name, shims))
