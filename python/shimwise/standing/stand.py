"""What a car stands on and what is in it, checked."""

from __future__ import annotations

from collections.abc import Mapping
from numbers import Real
from typing import Any, NamedTuple

import numpy as np

from shimwise import _core
from shimwise.arguments import demand_yes_or_no
from shimwise.arguments import number as number_of
from shimwise.as_set import CarAsSet

__all__ = ["Stand", "numbers", "stand"]


class Stand(NamedTuple):
    """A car, what it stands on and what is in it."""

    car: CarAsSet
    model: _core.RestModel
    pads_mm: dict[str, float]  # all four
    ballast_kg: dict[str, float]  # all of the car's
    on_tyres: bool
    rack_mm: float | None  # + = to the left; None of a car without a rack

    @property
    def stands_on(self) -> dict[str, Any]:
        """What a result says that it holds for, as plain data."""
        stands_on = {name: getattr(self, name) for name in ("on_tyres", "pads_mm", "ballast_kg", "rack_mm")}
        return stands_on | {"bars": self.car.bars}

    @property
    def chassis_is_rigid(self) -> bool:
        """Whether the file gives the chassis no torsional rate."""
        return not self.model.twists

    @property
    def chassis_words(self) -> str:
        """What every table of weights says."""
        return "chassis taken as rigid" if self.chassis_is_rigid else "chassis twists"


def stand(
    car: CarAsSet,
    pads_mm: Mapping[str, float] | None,
    settings: Any,
    ballast_kg: Mapping[str, float] | None,
    on_tyres: bool,
    rack_mm: float | None,
) -> Stand:
    """Check the arguments of `Car.at_rest`, then read the car once."""
    demand_yes_or_no("on_tyres", on_tyres)
    pads = numbers("pads_mm", pads_mm, "pad", dict.fromkeys(_core.CornerId.__members__, 0.0), car.name)
    _core.check_pads(list(pads.values()))
    now_kg = {ballast.name: ballast.now_kg for ballast in car.core.ballast}
    ballast = numbers("ballast_kg", ballast_kg, "ballast", now_kg, car.name)
    if settings is not None:
        car = car.with_settings(settings)
    model = _core.with_ballast(_core.rest_model(car.core), ballast)
    if on_tyres:
        model = _core.on_tyres(model)
    if rack_mm is None:
        return Stand(car, model, pads, ballast, on_tyres, 0.0 if model.has_rack else None)
    travel_mm = _finite("rack_mm", rack_mm)
    return Stand(car, _core.with_rack(model, travel_mm), pads, ballast, on_tyres, travel_mm)


def _finite(argument: str, given: object) -> float:
    if not isinstance(given, Real) or not np.isfinite(number_of(argument, given)):
        raise _core.InputError(f"{argument} = {given!r}: needs a finite number")
    return float(given)


def numbers(argument: str, given: object, what: str, known: dict[str, float], car: str) -> dict[str, float]:
    """All that the car has, what is given in its place."""
    if given is None:
        return known
    if not isinstance(given, Mapping):
        raise _core.InputError(f"{argument} = {given!r}: needs names and numbers, such as {{{_like(known)}}}")
    for name in given:
        if name not in known:
            meant = _core.did_you_mean(str(name), list(known)) or f"; it has {', '.join(known) or 'none'}"
            raise _core.InputError(f"{argument}: {name!r}: {car} has no such {what}{meant}")
    return known | {name: _finite(f"{argument}: {name}", number) for name, number in given.items()}


def _like(known: dict[str, float]) -> str:
    return f'"{next(iter(known), "name")}": 2.0'
