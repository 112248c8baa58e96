"""`shimwise done`."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from shimwise import _core
from shimwise.car import Car
from shimwise.cli.plan import CARD_FORMAT
from shimwise.cli.shared import car_of, json_option, settings_option, write_json
from shimwise.data_of import data_of, origin
from shimwise.setting_words import written

if TYPE_CHECKING:
    from collections.abc import Callable

__all__ = ["done"]


@click.command()
@click.argument("car", metavar="CAR")
@click.argument("card", metavar="CARD.json")
@click.option("--out", metavar="SETTINGS.toml", required=True, help="The new settings file.")
@click.option("--but", multiple=True, metavar='"corner.adjuster=+1 flat"', help="What was turned instead.")
@settings_option
@json_option
def done(car: str, card: str, out: str, but: tuple[str, ...], settings: str | None, as_json: bool) -> None:
    """Write down that a card was done: the settings that tomorrow's plan starts from.

    --but says what was turned at an adjuster instead of what the card says, counted from before the card. Car and
    settings are those that the card was made from.
    """
    model, inputs = car_of(car, settings)
    planned = _settings_of_card(card, model, inputs)
    after = model.with_settings(planned)
    for words in but:
        after = _instead(words, before=model, after=after)
    result = after.settings
    _core.save_settings(result, out)
    if as_json:
        write_json(
            {"settings": out} | {k: v for k, v in data_of(result).items() if k != "file"} | origin(*inputs, card)
        )
    else:
        click.echo(f"{out}: the adjusters of {model.name} as they stand after {card}.")


def _settings_of_card(path: str, model: Car, inputs: list[str]) -> _core.Settings:
    try:
        card = json.loads(Path(path).read_text(encoding="utf-8"))
    except json.JSONDecodeError as error:
        raise _core.InputError(f"{path}:{error.lineno}:{error.colno}: is not JSON: {error.msg}") from None
    except UnicodeDecodeError:
        raise _core.InputError(f"{path}: is not a text file") from None
    if not isinstance(card, dict) or card.get("format") != CARD_FORMAT:
        found = card.get("format") if isinstance(card, dict) else None
        raise _core.InputError(
            f'{path}: format = {found!r}: needs "{CARD_FORMAT}", a card saved by `shimwise plan --save`'
        )
    if card.get("car") != model.name:
        raise _core.InputError(f"{path}: car = {card.get('car')!r}: the car file is of {model.name!r}")
    found = card.get("settings_after")
    if not (
        isinstance(found, dict)
        and _is_table(found.get("turns"), lambda v: isinstance(v, int | float))
        and _is_table(found.get("shims_mm"), _is_numbers)
        and _is_table(found.get("box_mm"), _is_numbers)
    ):
        raise _core.InputError(f"{path}: settings_after: needs turns, shims_mm and box_mm with numbers")
    _demand_same_inputs(path, card, inputs)
    settings = _core.Settings()
    settings.file, settings.car = path, model.name
    settings.turns, settings.shims_mm, settings.box_mm = found["turns"], found["shims_mm"], found["box_mm"]
    return settings


_READINGS_AND_TARGETS = 2


def _demand_same_inputs(path: str, card: dict[str, Any], inputs: list[str]) -> None:
    """What was turned counts from the car as the card took it, so files and settings must be those."""
    made_from = card.get("inputs")
    if not isinstance(made_from, dict):
        raise _core.InputError(f"{path}: inputs: needs the digests of the files that the card was made from")
    for file in inputs:
        (digest,) = origin(file)["inputs"].values()
        if digest not in made_from.values():
            raise _core.InputError(f"{file}: is not what the card was made from, or has changed since: {path}")
    if len(made_from) > len(inputs) + _READINGS_AND_TARGETS:
        raise _core.InputError(f"{path}: was made with a settings file: give the same one with --settings")


def _is_table(value: object, right: Callable[[object], bool]) -> bool:
    return isinstance(value, dict) and all(right(v) for v in value.values())


def _is_numbers(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(v, int | float) for v in value)


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
