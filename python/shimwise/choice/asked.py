"""What a person wants of a plan otherwise: names and amounts, checked before the planner reads them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from shimwise import _core
from shimwise.arguments import demand_mapping, number, shortened
from shimwise.setting_words import Words, written

__all__ = ["Names", "doubts_of", "options_of"]

Names = str | Sequence[str]

_ADJUSTER = "front_left.track rod"


def options_of(
    keep: Names,
    free: Names,
    turn: Names,
    forbid: Names,
    force: Mapping[str, Words] | None,
    tie: Sequence[Sequence[str]],
    prefer: Names,
    within_minutes: float | None,
    model_share: float | None,
) -> _core.PlanOptions:
    """Return them for the planner, which knows the car. Raises InputError where one is of another kind."""
    options = _core.PlanOptions()
    options.keep, options.free = _names("keep", keep, "toe"), _names("free", free, "toe")
    options.turn, options.forbid = _names("turn", turn, _ADJUSTER), _names("forbid", forbid, _ADJUSTER)
    options.prefer = _names("prefer", prefer, _ADJUSTER)
    options.force = {} if force is None else _forced(force)
    options.tie = _tied(tie)
    if within_minutes is not None:
        options.within_minutes = _at_least_0("within_minutes", within_minutes, "a number of minutes, 0 or more")
    if model_share is not None:
        options.model_share = _at_least_0("model_share", model_share, "a share from 0 to 1", most=1.0)
    return options


def doubts_of(doubts: Sequence[_core.Doubt]) -> list[_core.Doubt]:
    """Return what is doubted already as a list. Raises InputError where it is something else."""
    if not isinstance(doubts, Sequence) or not all(isinstance(one, _core.Doubt) for one in doubts):
        raise _core.InputError(f"doubts = {shortened(doubts)}: needs a list of Doubt")
    return list(doubts)


def _names(option: str, given: object, such_as: str) -> list[str]:
    names = [given] if isinstance(given, str) else list(given) if isinstance(given, Sequence) else None
    if names is None or not all(isinstance(one, str) for one in names):
        raise _core.InputError(f'{option} = {shortened(given)}: needs a name or a list of names, such as "{such_as}"')
    for name in names:
        _demand_name(option, name)
    return names


def _demand_name(option: str, name: str) -> None:
    """Refuse a text that names nothing and one that cannot be said again."""
    if not name.strip():
        raise _core.InputError(f"{option} = {shortened(name)}: is an empty name")
    try:
        name.encode()
    except UnicodeEncodeError:
        raise _core.InputError(f"{option} = {name!a}: is not UTF-8 text") from None


def _forced(force: Mapping[str, Words]) -> dict[str, _core.Words]:
    demand_mapping("force", force, f'{{"{_ADJUSTER}": "+1 flat"}}')
    found = {}
    for key, words in force.items():
        if not isinstance(key, str):
            raise _core.InputError(
                f'force = {shortened(force)}: {shortened(key)} is no adjuster, such as "{_ADJUSTER}"'
            )
        _demand_name("force", key)
        if isinstance(words, str):
            _demand_name(f"force.{key}", words)
        found[key] = written(words)
    return found


def _tied(tie: object) -> list[list[str]]:
    if isinstance(tie, str) or not isinstance(tie, Sequence) or any(isinstance(one, str) for one in tie):
        pair = f'[["{_ADJUSTER}", "{_ADJUSTER.replace("left", "right")}"]]'
        raise _core.InputError(f"tie = {shortened(tie)}: needs a list of lists of adjusters, such as {pair}")
    return [_names("tie", one, _ADJUSTER) for one in tie]


def _at_least_0(option: str, value: object, needs: str, most: float = math.inf) -> float:
    if isinstance(value, int | float | np.integer | np.floating) and not isinstance(value, bool):
        size = number(option, value)
        if math.isfinite(size) and 0.0 <= size <= most:
            return size
    raise _core.InputError(f"{option} = {shortened(value)}: needs {needs}")
