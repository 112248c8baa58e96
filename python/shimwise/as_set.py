"""A car and a corner as they are set: what stands in the car file, and how it is changed."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from numbers import Real
from os import PathLike
from typing import Any, Self

import numpy as np

from shimwise import _core
from shimwise.arguments import demand_mapping, file_name, number
from shimwise.setting_words import Words, written

__all__ = ["CarAsSet", "CornerAsSet"]

_AXLES = ("front", "rear")


class CarAsSet:
    """A car as it is set. Immutable: a change gives a changed copy.

    Attributes:
        notes: of the packs that it was last given: which of them no shims at hand make.
    """

    def __init__(self, core: _core.Car, notes: Sequence[str] = ()) -> None:
        self.core = core
        self.notes = list(notes)

    @property
    def name(self) -> str:
        return self.core.name

    @property
    def file(self) -> str:
        return self.core.file

    @property
    def settings(self) -> _core.Settings:
        """The adjusters as they stand."""
        return _core.settings_of(self.core)

    def adjuster(self, key: str) -> _core.Adjuster:
        """Return the adjuster "corner.adjuster name" as it stands.

        Raises:
            InputError: no such adjuster.
        """
        known = {
            f"{c}.{a.name}": a for c, id_ in _core.CornerId.__members__.items() for a in self.core.corner(id_).adjusters
        }
        if key not in known:
            meant = _core.did_you_mean(str(key), list(known)) or f"; it has {', '.join(known)}"
            raise _core.InputError(f"{key!r}: {self.name} has no such adjuster{meant}")
        return known[key]

    def with_settings(self, settings: Mapping[str, Words] | _core.Settings | str | PathLike[str]) -> Self:
        """Return the car with other settings; what is not named stays.

        Args:
            settings: a settings file, or a mapping from "corner.adjuster name" to turns from drawn (thread), fitted
                shims in mm (stack), or words: "+2 flats" and "+0.5 mm" count from the present setting, "=1.5 turns"
                from drawn, "2.0 + 0.5 mm" is a pack. A pack that no shims at hand make is taken all the same: `notes`
                of the car say so.

        Raises:
            InputError: no such adjuster, or a limit is broken.
        """
        if isinstance(settings, str | PathLike):
            settings = _core.load_settings(file_name(settings), self.core)
        if isinstance(settings, Mapping):
            return self._with_words(settings)
        return type(self)(_core.with_settings(self.core, settings))

    def with_points(self, by_mm: Mapping[str, Sequence[float]], *, moved: str) -> Self:
        """Return the car with points moved, each from where it is.

        Args:
            by_mm: from "corner.point" (such as "front_left.track_rod.inner") to (x, y, z) in mm, chassis frame.
            moved: "drawn": the design moves and rod lengths follow; "built": the part is off its drawing, in the drawn
                frame of the body that carries it, and rods keep their lengths.

        Raises:
            InputError: no such point, or a drawing that no real car could be.
        """
        if not isinstance(moved, str) or moved not in _core.Moved.__members__:
            raise _core.InputError(f"moved = {moved!r}: needs one of {', '.join(_core.Moved.__members__)}")
        demand_mapping("by_mm", by_mm, '{"front_left.track_rod.inner": (0.0, 0.0, 1.0)}')
        points = {}
        for key, by in by_mm.items():
            if not (isinstance(by, Sequence | np.ndarray) and len(by) == 3 and all(isinstance(mm, Real) for mm in by)):
                raise _core.InputError(f"{key} = {by!r}: needs 3 numbers (x, y, z in mm)")
            points[key] = (number(key, by[0]), number(key, by[1]), number(key, by[2]))
        return type(self)(_core.with_points_moved(self.core, points, _core.Moved.__members__[moved]))

    @property
    def bars(self) -> dict[str, bool | str]:
        """Whether each bar is on, by axle; of one with blades that is on, the blade in it."""
        found = zip(_AXLES, self.core.bars, strict=True)
        return {axle: bar.connected and (bar.blade or True) for axle, bar in found if bar is not None}

    def with_bars(self, *, front: bool | str | None = None, rear: bool | str | None = None) -> Self:
        """Return the car with its bars on or off; what is left out stays.

        Args:
            front, rear: True or False; of a bar with blades also the name of the blade that goes in, and it is on.

        Raises:
            InputError: no such bar, or no such blade.
        """
        core = self.core
        for axle, asked in enumerate((front, rear)):
            if asked is None:
                continue
            if not isinstance(asked, bool | str) or asked == "":
                raise _core.InputError(f"{_AXLES[axle]} = {asked!r}: needs True, False or the name of a blade")
            core = _core.with_bar(core, axle, bool(asked), asked if isinstance(asked, str) else "")
        return type(self)(core)

    def save(self, path: str | PathLike[str]) -> None:
        """Write a complete car file: read again, it is this car as it is set now, bit for bit, moved points too.

        The file that it was read from is not looked at: its comments are left out.

        Raises:
            InputError: the file exists, or the car as it is set breaks a limit.
        """
        _core.save_car(self.core, file_name(path))

    def as_toml(self) -> str:
        """Return the text that `save` writes. Raises InputError where the car as it is set breaks a limit."""
        return _core.car_text(self.core)

    def as_dict(self) -> dict[str, Any]:
        """Return the same as plain data, as `load_car` takes it."""
        return tomllib.loads(self.as_toml())

    def _amounts(
        self, words: Mapping[str, Words], numbers: _core.From
    ) -> dict[str, tuple[_core.Adjuster, _core.Amount]]:
        return {
            key: (one := self.adjuster(key), _core.amount(key, one, written(by), numbers)) for key, by in words.items()
        }

    def _trial(self, change: Mapping[str, Words]) -> tuple[_core.Trial, dict[str, _core.Amount]]:
        """What is tried, and what each of the words was taken for."""
        turns: dict[str, float] = {}
        packs: dict[str, float | list[float]] = {}
        taken = {}
        for key, (adjuster, amount) in self._amounts(change, _core.From.now).items():
            taken[key] = amount
            if isinstance(adjuster.setting, _core.Thread):
                turns[key] = _core.turns_from_now(amount, adjuster.setting)
            else:
                packs[key] = amount.size if amount.shims_mm is None else amount.shims_mm
        trial = _core.Trial()
        trial.turns, trial.packs_mm = turns, packs
        return trial, taken

    def _with_words(self, words: Mapping[str, Words]) -> Self:
        settings = _core.Settings()
        turns, shims, thicker = {}, {}, {}
        notes: list[str] = []
        for key, (adjuster, amount) in self._amounts(words, _core.From.drawn).items():
            if isinstance(adjuster.setting, _core.Thread):
                turns[key] = _core.turns_from_drawn(amount, adjuster.setting)
            elif amount.shims_mm is None:
                thicker[key] = amount.size
            else:
                shims[key] = amount.shims_mm
                notes += filter(None, [_core.not_at_hand_words(self.core, key, amount.shims_mm)])
        trial = _core.Trial()
        trial.packs_mm = thicker
        core, said = _core.tried(self.core, trial)
        settings.car, settings.turns, settings.shims_mm = self.name, turns, shims
        return type(self)(_core.with_settings(core, settings), [*notes, *said])

    def __repr__(self) -> str:
        return f"<Car {self.name} from {self.file}>"


class CornerAsSet:
    """One corner of a car as it is set."""

    def __init__(self, car: CarAsSet, name: str) -> None:
        self._car_core = car.core
        self._corner = car.core.corner(_core.CornerId.__members__[name])
        self.name = name

    @property
    def adjusters(self) -> tuple[_core.Adjuster, ...]:
        """Adjusters in the order of the car file."""
        return tuple(self._corner.adjusters)

    @property
    def has_pull_rod(self) -> bool:
        """Whether its rod, `pushrod` in the file, is drawn with the outer end above the inner one: it pulls in bump."""
        return bool(self._corner.has_pull_rod)

    @property
    def point_names(self) -> tuple[str, ...]:
        """Names of the points that this corner has."""
        return tuple(self._corner.point_names)

    @property
    def steered(self) -> bool:
        """Whether the rack moves its track rod."""
        return self._corner.steered
