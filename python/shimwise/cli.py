"""The command line. Exit codes: 0 answered; 1 what was asked cannot be reached; 2 bad input; 130 interrupted."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
from rich.console import Console
from rich.text import Text

from shimwise import _core, cards
from shimwise.car import Car, load_car
from shimwise.data_of import data_of, document, origin
from shimwise.setting_words import thread_setting
from shimwise.workshop import load_readings, load_targets
from shimwise.workshop import plan as plan_of

if TYPE_CHECKING:
    from collections.abc import Callable

__all__ = ["main"]

CARD_FORMAT = "shimwise-card/1"

_json = click.option("--json", "as_json", is_flag=True, help="Everything as JSON.")
_settings = click.option("--settings", metavar="FILE", help="The adjusters as they stand; wins over the car file.")


def main() -> None:
    """Run the command line with its exit codes."""
    code: int | None
    try:
        code = commands.main(prog_name="shimwise", standalone_mode=False)
    except click.ClickException as error:
        error.show()
        code = 2
    except _core.InputError as error:
        click.echo(error, err=True)
        code = 2
    except _core.OutOfReach as error:
        click.echo(f"cannot be reached: {error}", err=True)
        code = 1
    except BrokenPipeError:
        code = 0  # who read this has seen enough
    except OSError as error:
        click.echo(f"{error.filename}: {error.strerror}", err=True)
        code = 2
    except (KeyboardInterrupt, click.Abort):
        code = 130
    sys.exit(code or 0)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(_core.__version__, prog_name="shimwise")
def commands() -> None:
    """From a race mechanic's readings to the best reachable turns and shims.

    The results are advice about safety-critical fasteners: the qualified person in charge decides.
    """


@commands.command()
@click.argument("car", metavar="CAR")
@_settings
@_json
def check(car: str, settings: str | None, as_json: bool) -> None:
    """Check a car file, and say what one step of every adjuster does."""
    model, inputs = _car(car, settings)
    lines = cards.check_lines(model)
    if as_json:
        _write({"car": model.name, "one_step": lines} | origin(*inputs))
        return
    out = _console()
    out.print(f"{model.name}: nothing wrong found. What one step does, contact held, chassis frame:")
    for line in lines:
        out.print(cards.bullet("-", line))
    _origin(out, inputs)


@commands.command()
@click.argument("car", metavar="CAR")
@click.option("--corner", type=click.Choice(list(_core.CornerId.__members__)), help="One corner only.")
@click.option("--hold", type=click.Choice(list(_core.Held.__members__)), default="contact", show_default=True)
@click.option("--per", type=click.Choice(["step", "turn", "mm"]), default="step", show_default=True)
@_settings
@_json
def effects(car: str, corner: str | None, hold: str, per: str, settings: str | None, as_json: bool) -> None:
    """Print what every adjuster does to every output."""
    model, inputs = _car(car, settings)
    names = [corner] if corner else list(model.corners)
    if as_json:
        _write(
            {"car": model.name, "hold": hold, "frame": "chassis"} | _effects_data(model, names, hold) | origin(*inputs)
        )
        return
    out = _console()
    for name in names:
        out.print(cards.effects_view(model, name, hold, per))
        out.print()
    _origin(out, inputs)


@commands.command()
@click.argument("car", metavar="CAR")
@click.argument("readings", metavar="READINGS")
@click.argument("targets", metavar="TARGETS")
@click.option("--choose", type=click.Choice(["closest", "least_work"]), help="The choice to write the card for.")
@click.option("--save", metavar="CARD.json", help="Write the card to a new file, for `shimwise done`.")
@_settings
@_json
def plan(
    car: str, readings: str, targets: str, choose: str | None, save: str | None, settings: str | None, as_json: bool
) -> None:
    """Plan the turns and shims, and print the card with the readings to expect."""
    model, inputs = _car(car, settings)
    inputs += [readings, targets]
    found = plan_of(model, load_readings(readings, model).reduce(), load_targets(targets, model))
    choice = choose or found.choice
    content = {"format": CARD_FORMAT, "car": model.name} | origin(*inputs)
    if as_json or save:
        content |= found.as_dict(choice)
    if save:
        _core.write_new_file(save, document(content))
    if as_json:
        _write(content)
    else:
        out = _console()
        out.print(cards.plan_view(found, choice))
        out.print()
        _origin(out, inputs)
    if found.core.refusals:
        sys.exit(1)


@commands.command()
@click.argument("car", metavar="CAR")
@click.argument("card", metavar="CARD.json")
@click.option("--out", metavar="SETTINGS.toml", required=True, help="The new settings file.")
@click.option("--but", multiple=True, metavar='"corner.adjuster=+1 flat"', help="What was turned instead.")
@_settings
@_json
def done(car: str, card: str, out: str, but: tuple[str, ...], settings: str | None, as_json: bool) -> None:
    """Write down that a card was done: the settings that tomorrow's plan starts from.

    --but says what was turned at an adjuster instead of what the card says, counted from before the card.
    """
    model, inputs = _car(car, settings)
    planned = _settings_of_card(card, model)
    after = model.with_settings(planned)
    for words in but:
        after = _instead(words, before=model, after=after)
    result = after.settings
    _core.save_settings(result, out)
    if as_json:
        _write({"settings": out} | {k: v for k, v in data_of(result).items() if k != "file"} | origin(*inputs, card))
    else:
        click.echo(f"{out}: the adjusters of {model.name} as they stand after {card}.")


def _settings_of_card(path: str, model: Car) -> _core.Settings:
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
    settings = _core.Settings()
    settings.file, settings.car = path, model.name
    settings.turns, settings.shims_mm, settings.box_mm = found["turns"], found["shims_mm"], found["box_mm"]
    return settings


def _is_table(value: object, right: Callable[[object], bool]) -> bool:
    return isinstance(value, dict) and all(right(v) for v in value.values())


def _is_numbers(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(v, int | float) for v in value)


def _instead(words: str, before: Car, after: Car) -> Car:
    """The car after the card, one adjuster set to what was really turned, counted from before the card."""
    key, equals, setting = words.partition("=")
    corner, _, name = key.strip().partition(".")
    found = {a.name: a.setting for a in before.corners[corner].adjusters} if corner in before.corners else {}
    if not equals or name not in found:
        raise click.BadParameter(f'{words!r}: needs "corner.adjuster name=setting"', param_hint="--but")
    thread = found[name]
    if isinstance(thread, _core.Thread):
        return after.with_settings({key.strip(): thread_setting(key, thread, setting)})
    try:
        shims = [float(mm) for mm in setting.replace("+", " ").replace("mm", " ").split()]
    except ValueError:
        raise click.BadParameter(
            f"{words!r}: needs the shims fitted, such as 2.0 + 0.5 mm", param_hint="--but"
        ) from None
    return Car(_core.refit(after.core, _core.CornerId.__members__[corner], name, shims))


def _car(path: str, settings: str | None) -> tuple[Car, list[str]]:
    car = load_car(path)
    return (car.with_settings(settings), [path, settings]) if settings else (car, [path])


def _effects_data(car: Car, names: list[str], hold: str) -> dict[str, Any]:
    columns = _core.column_names()
    corners = {}
    for name in names:
        corner = car.corners[name]
        table = corner.effect_table(hold)
        rows = [
            {
                "adjuster": corner.adjusters[r.adjuster].name,
                "per": _core.row_name(corner.adjusters[r.adjuster], r.per),
                "amount_mm": r.amount_mm,
            }
            | dict(zip(columns, r.change, strict=True))
            for r in table.rows
        ]
        corners[name] = {"now": dict(zip(columns, table.values, strict=True)), "rows": rows}
    return {"corners": corners}


def _console() -> Console:
    return Console(highlight=False, width=None if sys.stdout.isatty() else 80)


def _origin(out: Console, inputs: list[str]) -> None:
    made = origin(*inputs)
    names = ", ".join(f"{name} {digest[:8]}" for name, digest in made["inputs"].items())
    out.print(Text(f"shimwise {made['shimwise']}; {names}", style="dim"))


def _write(content: dict[str, Any]) -> None:
    click.echo(document(content), nl=False)


if __name__ == "__main__":
    main()
