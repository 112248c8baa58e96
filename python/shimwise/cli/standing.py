"""What a whole car is made to stand on: options that commands share, and what is said of them beside numbers."""

from __future__ import annotations

from functools import wraps
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from shimwise import _core

if TYPE_CHECKING:
    from collections.abc import Callable

    from shimwise.car import Car
    from shimwise.standing.stand import Stand

__all__ = ["Floor", "bars_option", "floor_options", "said_of", "with_bars"]

_AXLES = ("front", "rear")


class Floor(NamedTuple):
    """What --pads, --ballast and --rack said: arguments of the calls; None where nothing was said."""

    pads_mm: dict[str, float] | None
    ballast_kg: dict[str, float] | None
    rack_mm: float | None

    def refuse(self, why: str) -> None:
        """Refuse what was said, by its option, where a command has no use for it."""
        said = [f"--{name.partition('_')[0]}" for name, value in self._asdict().items() if value is not None]
        if said:
            raise click.UsageError(f"{', '.join(said)}: {why}")


def floor_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command --pads, --ballast and --rack. It takes them as one argument `floor`."""

    @wraps(command)
    def with_floor(*given: Any, pads: Any, ballast: Any, rack: float | None, **words: Any) -> Any:
        return command(*given, floor=Floor(pads, ballast, rack), **words)

    return _pads_option(_ballast_option(_rack_option(with_floor)))


def said_of(stand: Stand) -> dict[str, str]:
    """What the car stands on, as every row of a table for a spreadsheet has it."""
    return {
        "pads_mm": ",".join(str(mm) for mm in stand.pads_mm.values()),
        "ballast_kg": ", ".join(f"{name}={kg}" for name, kg in stand.ballast_kg.items()),
        "rack_mm": "" if stand.rack_mm is None else str(stand.rack_mm),
        "bars": _bars_said(stand.car.bars),
    }


def _bars_said(bars: dict[str, bool | str]) -> str:
    """As --bars takes it; empty of a car without bars."""
    on = [f"{axle}={how}" if isinstance(how, str) else axle for axle, how in bars.items() if how]
    return ",".join(on) or ("none" if bars else "")


def with_bars(car: Car, words: str | None) -> Car:
    """The car with the bars on that are named and any other off; as in its file where nothing is said."""
    if words is None:
        return car
    on = _bars(words)
    there = [axle for axle, bar in zip(_AXLES, car.core.bars, strict=True) if bar is not None]
    return car.with_bars(**{axle: on.get(axle, False) for axle in _AXLES if axle in on or axle in there})


def _bars(words: str) -> dict[str, bool | str]:
    """From an axle whose bar is on to True or its blade."""
    if words.strip() == "none":
        return {}
    if words.strip() == "both":
        return dict.fromkeys(_AXLES, True)
    on: dict[str, bool | str] = {}
    for one in words.split(","):
        axle, equals, blade = (part.strip() for part in one.partition("="))
        if axle not in _AXLES or axle in on or bool(equals) != bool(blade):
            raise click.BadParameter(
                f'{words!r}: needs front, rear, both or none, or blades such as "front=soft,rear"', param_hint="--bars"
            )
        on[axle] = blade or True
    return on


def _pads(_context: click.Context, _option: click.Parameter, words: tuple[str, ...]) -> dict[str, float] | None:
    """Four numbers with commas, or corner by corner."""
    if len(words) != 1 or "=" in words[0]:
        return _named("--pads", words)
    try:
        return dict(zip(_core.CornerId.__members__, map(float, words[0].split(",")), strict=True))
    except ValueError:
        raise click.BadParameter(
            f'{words[0]!r}: needs four numbers in mm with commas, front left first, or "front_left=2"',
            param_hint="--pads",
        ) from None


def _ballast(_context: click.Context, _option: click.Parameter, words: tuple[str, ...]) -> dict[str, float] | None:
    return _named("--ballast", words)


def _named(option: str, words: tuple[str, ...]) -> dict[str, float] | None:
    found: dict[str, float] = {}
    for one in words:
        name, equals, number = (part.strip() for part in one.partition("="))
        try:
            value = float(number)
        except ValueError:
            equals = ""
        if not equals or not name:
            raise click.BadParameter(f'{one!r}: needs a name and a number, such as "name=2"', param_hint=option)
        if name in found:
            raise click.BadParameter(f"{name!r} is named twice", param_hint=option)
        found[name] = value
    return found or None


_pads_option = click.option(
    "--pads",
    multiple=True,
    metavar="FL,FR,RL,RR",
    callback=_pads,
    help='Heights of the pads, mm; or one, "front_left=2", as often as needed.',
)
_ballast_option = click.option(
    "--ballast",
    multiple=True,
    metavar="NAME=KG",
    callback=_ballast,
    help="What there is of a ballast; else as in the car file.",
)
bars_option = click.option(
    "--bars", metavar="WHICH", help='Bars that are on: front, rear, both, none, or by blade "front=soft,rear".'
)
_rack_option = click.option("--rack", metavar="MM", type=float, help="Rack travel, + = to the left; else at centre.")
