"""A car and its four corners. Immutable: a change gives a changed copy."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from importlib.resources import files
from numbers import Real
from os import PathLike, fspath
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from shimwise import _core
from shimwise.curves import tables
from shimwise.setting_words import Words, pack_change, pack_setting, thread_change, thread_setting
from shimwise.standing.forces import Forces, forces_of

if TYPE_CHECKING:
    import pandas as pd
    import xarray as xr
    from numpy.typing import NDArray

    from shimwise.readings.expected import Expected
    from shimwise.readings.readings import Measured
    from shimwise.recipes.of_car import CarRecipe
    from shimwise.recipes.of_corner import Recipes
    from shimwise.standing.effects import RestEffects
    from shimwise.standing.rest import Rest
    from shimwise.standing.solid import Solid

__all__ = ["Car", "Corner", "DemoFiles", "demo_car", "demo_files", "load_car"]


def _held(hold: str) -> _core.Held:
    if hold not in _core.Held.__members__:
        raise _core.InputError(f"hold = {hold!r}: needs one of {', '.join(_core.Held.__members__)}")
    return _core.Held.__members__[hold]


class Corner:
    """One corner of a car as it is set."""

    def __init__(self, car: Car, name: str) -> None:
        self._car = car
        self._corner = car.core.corner(_core.CornerId.__members__[name])
        self.name = name

    @property
    def adjusters(self) -> tuple[_core.Adjuster, ...]:
        """Adjusters in the order of the car file."""
        return tuple(self._corner.adjusters)

    @property
    def point_names(self) -> tuple[str, ...]:
        """Names of the points that this corner has."""
        return tuple(self._corner.point_names)

    @property
    def car(self) -> Car:
        """The car that it belongs to."""
        return self._car

    @property
    def steered(self) -> bool:
        """Whether the rack moves its track rod."""
        return self._corner.steered

    def alignment(self, *, travel_mm: tables.Numbers = 0.0, rack_mm: tables.Numbers = 0.0) -> xr.Dataset:
        """Return every output over wheel travel and rack travel, in the chassis frame.

        Args:
            travel_mm: wheel centre above its drawn height, mm; any shape.
            rack_mm: rack travel, mm, + along `rack.direction`; without effect where the inner joint is fixed.
                Each array is a dimension of its own, named like the argument; DataArrays keep theirs, and those that
                share a dimension go together.

        Returns:
            Dataset with one variable per output, unit and sign as attributes.

        Raises:
            OutOfReach: a state does not assemble; says which loop and by how much.
        """
        return tables.over_states(
            {"rack_mm": rack_mm, "travel_mm": travel_mm},
            _core.output_list(),
            lambda rack, travel: _core.alignment(self._corner, travel, rack),
        )

    def curves(self, *, travel_mm: tables.Numbers = 0.0, rack_mm: tables.Numbers = 0.0) -> xr.Dataset:
        """Return every output and more over wheel travel and rack travel; arguments and errors as in `alignment`.

        Returns:
            The Dataset of `alignment`, and: contact path (`contact_x_mm`; `half_track_mm` and `chassis_height_mm` are
            its y and -z), wheelbase change, roll-centre height from the contact's path, motion ratio gain, the
            upright's instant axis, loads of spring and bump rubber, and what each adds to the wheel rate; trail, scrub
            and roll centre also as it runs, on the tyre. What needs something that the file does not give (a tyre, the
            load of a spring that `rests_as_drawn`) is left out, and `attrs["left_out"]` says why, by column.
        """
        rows = self._curve_rows()
        found = tables.over_states(
            {"rack_mm": rack_mm, "travel_mm": travel_mm},
            list(rows.values()),
            lambda rack, travel: _core.curves(self._corner, travel, rack)[list(rows)],
        )
        if self.left_out:
            found.attrs["left_out"] = self.left_out
        return found

    def curve_columns(self, travel_mm: NDArray[np.float64], rack_mm: NDArray[np.float64]) -> dict[str, Any]:
        """The same as plain arrays by name, without xarray, for as many travels as rack travels."""
        block = _core.curves(self._corner, travel_mm, rack_mm)
        return {info.column: block[row] for row, info in self._curve_rows().items()}

    @property
    def left_out(self) -> dict[str, str]:
        """What `curves` cannot give for this corner, and why, by column."""
        why = {info.column: _core.missing_for(self._corner, i) for i, info in enumerate(_core.curve_list())}
        return {column: reason for column, reason in why.items() if reason}

    def _curve_rows(self) -> dict[int, _core.OutputInfo]:
        """What is given, by its row in a block of curves."""
        rows = enumerate([*_core.output_list(), *_core.curve_list()])
        left_out = self.left_out
        return {row: info for row, info in rows if info.column not in left_out}

    def joints(self, *, travel_mm: tables.Numbers = 0.0, rack_mm: tables.Numbers = 0.0) -> xr.Dataset:
        """Return the place of every joint, mm, chassis frame; arguments and errors as in `alignment`.

        Returns:
            Dataset with one variable per point and a last dimension `axis` (x, y, z).
        """
        return tables.joints_over_states(
            {"rack_mm": rack_mm, "travel_mm": travel_mm},
            lambda rack, travel: _core.joints(self._corner, travel, rack),
            self._corner.point_names,
        )

    def effects(self, hold: str = "contact", *, travel_mm: float = 0.0, rack_mm: float = 0.0) -> pd.DataFrame:
        """Return what every adjuster does to every output, something being held, in the chassis frame.

        Args:
            hold: "contact" (height of the contact over the ground), "wheel" (height of the wheel centre) or "spring"
                (spring length), each at its present value.
            travel_mm: wheel travel of the state, mm.
            rack_mm: rack travel of the state, mm.

        Returns:
            DataFrame with the index (adjuster, per): "turn" and "mm" are derivatives, steps are true differences.
            Columns are outputs with their units; `attrs` holds hold, frame and the values of the state.

        Raises:
            OutOfReach: the state does not assemble.
            InputError: no such hold.
        """
        return tables.effects_frame(self._corner, self.effect_table(hold, travel_mm, rack_mm), hold)

    def effects_per_travel(
        self, hold: str = "contact", *, travel_mm: float = 0.0, rack_mm: float = 0.0
    ) -> pd.DataFrame:
        """Return how the effect table itself moves: the change of every entry per mm of wheel travel.

        Arguments and errors as in `effects`.

        Returns:
            DataFrame with the index (adjuster, per), "turn" (of threads) and "mm"; columns are outputs, their unit per
            turn or mm and per mm of travel.
        """
        tables.finite("travel_mm", travel_mm)
        tables.finite("rack_mm", rack_mm)
        slopes = _core.rates_per_travel(self._corner, _held(hold), travel_mm, rack_mm)
        return tables.slopes_frame(self._corner, slopes, hold)

    def effect_table(self, hold: str = "contact", travel_mm: float = 0.0, rack_mm: float = 0.0) -> _core.EffectTable:
        """The same as plain numbers, without pandas."""
        tables.finite("travel_mm", travel_mm)
        tables.finite("rack_mm", rack_mm)
        return _core.effects(self._car.core, self._corner.id, _held(hold), travel_mm, rack_mm)

    def forces(self, *, load_N: Sequence[float], travel_mm: float = 0.0, rack_mm: float = 0.0) -> Forces:
        """Return the forces in members, joints, pickups and rocker for a load at the contact, in the chassis frame.

        Args:
            load_N: force of the ground on the wheel (x forward, y left, z up), N. The upright takes it as one body:
                what brakes sits at the wheel.
            travel_mm: wheel travel of the state, mm.
            rack_mm: rack travel of the state, mm.

        Raises:
            OutOfReach: the state does not assemble, or the linkage is at its toggle.
            InputError: the load is not three finite numbers.
        """
        return forces_of(self._corner, load_N, travel_mm, rack_mm)

    def recipes(self, by: Mapping[str, float] | None = None) -> Recipes:
        """Return how to move toe, camber, caster or chassis height alone, spring length held, in the chassis frame.

        Each recipe is the least work that moves its output and leaves the others where they are, exact on the
        nonlinear model.

        Args:
            by: from "toe", "camber", "caster", "chassis_height" to the amount, deg or mm: only these recipes. Left
                out: all four, each by 1 deg or 1 mm.

        Raises:
            InputError: no such recipe, or an amount that is 0 or no finite number.
            OutOfReach: the corner as it stands does not assemble.
        """
        from shimwise.recipes.of_corner import Recipes, amounts

        return Recipes(_core.recipes(self._car.core, self._corner.id, amounts(by)), self.name)

    def __repr__(self) -> str:
        return f"<{self.name} of {self._car.name}: {', '.join(a.name for a in self.adjusters)}>"


class Car:
    """A car, read by `load_car`."""

    def __init__(self, core: _core.Car) -> None:
        self.core = core

    @property
    def name(self) -> str:
        return self.core.name

    @property
    def file(self) -> str:
        return self.core.file

    @property
    def front_left(self) -> Corner:
        return Corner(self, "front_left")

    @property
    def front_right(self) -> Corner:
        return Corner(self, "front_right")

    @property
    def rear_left(self) -> Corner:
        return Corner(self, "rear_left")

    @property
    def rear_right(self) -> Corner:
        return Corner(self, "rear_right")

    @property
    def corners(self) -> dict[str, Corner]:
        """The four corners by name."""
        return {name: Corner(self, name) for name in _core.CornerId.__members__}

    def corner(self, name: str) -> Corner:
        """Return a corner by its name. Raises InputError for another name."""
        if name not in _core.CornerId.__members__:
            raise _core.InputError(f"corner = {name!r}: needs one of {', '.join(_core.CornerId.__members__)}")
        return Corner(self, name)

    @property
    def settings(self) -> _core.Settings:
        """The adjusters as they stand."""
        return _core.settings_of(self.core)

    def with_settings(self, settings: Mapping[str, Words] | _core.Settings | str | PathLike[str]) -> Car:
        """Return the car with other settings; what is not named stays.

        Args:
            settings: a settings file, or a mapping from "corner.adjuster name" to turns from drawn (thread), fitted
                shims in mm (stack), or words: "+2 flats" counts from the present setting, "1.5 turns" from drawn,
                "2.0 + 0.5 mm" is a pack.

        Raises:
            InputError: no such adjuster, or a limit is broken.
        """
        if isinstance(settings, str | PathLike):
            settings = _core.load_settings(fspath(settings), self.core)
        if isinstance(settings, Mapping):
            settings = self._settings_from(settings)
        return Car(_core.with_settings(self.core, settings))

    def with_points(self, by_mm: Mapping[str, Sequence[float]], *, moved: str) -> Car:
        """Return the car with points moved, each from where it is.

        Args:
            by_mm: from "corner.point" (such as "front_left.track_rod.inner") to (x, y, z) in mm, chassis frame.
            moved: "drawn": the design moves and rod lengths follow; "built": the part is off its drawing, in the drawn
                frame of the body that carries it, and rods keep their lengths.

        Raises:
            InputError: no such point, or a drawing that no real car could be.
        """
        if moved not in _core.Moved.__members__:
            raise _core.InputError(f"moved = {moved!r}: needs one of {', '.join(_core.Moved.__members__)}")
        points = {}
        for key, by in by_mm.items():
            if not (isinstance(by, Sequence | np.ndarray) and len(by) == 3 and all(isinstance(mm, Real) for mm in by)):
                raise _core.InputError(f"{key} = {by!r}: needs 3 numbers (x, y, z in mm)")
            points[key] = (float(by[0]), float(by[1]), float(by[2]))
        return Car(_core.with_points_moved(self.core, points, _core.Moved.__members__[moved]))

    def steering(self, *, rack_mm: tables.Numbers, travel_mm: tables.Numbers = 0.0) -> xr.Dataset:
        """Return the steer of the front wheels over rack travel, and where Ackermann's rule would have the outer one.

        Args:
            rack_mm, travel_mm: as in `Corner.alignment`; both front wheels are at the same travel.

        Returns:
            Dataset with `left_deg`, `right_deg` (counted from rack centred, + = to the left), the sizes `inner_deg` and
            `outer_deg`, `ideal_outer_deg` (cot(outer) - cot(inner) = track/wheelbase, between the contacts at rack and
            travel 0) and `ackermann_error_deg` (outer less ideal outer). Chassis frame.

        Raises:
            OutOfReach: a state does not assemble.
        """
        return tables.over_states(
            {"rack_mm": rack_mm, "travel_mm": travel_mm},
            _core.steer_list(),
            lambda rack, travel: _core.steering(self.core, rack, travel),
        )

    def steering_columns(self, rack_mm: NDArray[np.float64], travel_mm: NDArray[np.float64]) -> dict[str, Any]:
        """The same as plain arrays by name, without xarray, for as many rack travels as travels."""
        block = _core.steering(self.core, rack_mm, travel_mm)
        return {info.column: row for info, row in zip(_core.steer_list(), block, strict=True)}

    def expect(self, measured: Measured, change: Mapping[str, Words]) -> Expected:
        """Return the readings to expect once something is turned: measured + (model after - model before).

        Contacts are held on the measured ground, values are in the ground frame. Ride heights and corner weights are
        not predicted.

        Args:
            measured: what was read of this car as it stands; lengths and shims of the readings win over its settings.
            change: from "corner.adjuster name" to what is turned, counted from the present setting: turns, or words
                such as "+2 flats" or "1/2 turn shorter"; of a pack mm, "+0.5 mm", or the shims wanted: [2.0, 0.5] or
                "2.0 + 0.5 mm".

        Raises:
            InputError: nothing is to be turned, no such adjuster, or a limit is broken.
            OutOfReach: the car cannot stand on the ground with these settings.
        """
        from shimwise.readings.expected import Expected

        if not isinstance(change, Mapping):
            raise _core.InputError(
                f'change = {change!r}: needs adjusters, such as {{"front_left.track rod": "+2 flats"}}'
            )
        if not change:
            raise _core.InputError("change: names no adjuster")
        before = Car(_core.as_read(self.core, measured.core))
        after, notes = _core.tried(before.core, before._trial(change))
        return Expected(_core.expect(measured.core, before.core, after), notes)

    def at_rest(
        self,
        *,
        pads_mm: Mapping[str, float] | None = None,
        settings: Mapping[str, Words] | _core.Settings | str | PathLike[str] | None = None,
        ballast_kg: Mapping[str, float] | None = None,
        on_tyres: bool = False,
    ) -> Rest:
        """Return the car at rest on its springs: heights, corner weights, alignment in the ground frame.

        Args:
            pads_mm: from a corner to the height of its pad over a common zero, mm; a pad that is not named is at 0.
            settings: as in `with_settings`.
            ballast_kg: from the name of a ballast to what there is of it, kg; left out: as in the car file.
            on_tyres: on the tyres of the car file, with their vertical rate, and not on rigid setup wheels.

        Raises:
            InputError: no such corner, ballast or adjuster, no finite number, or a tyre without a rate.
            OutOfReach: the car cannot rest like that; names what cannot be, and the amount. A damper on its droop stop
                is a state and no error.
        """
        from shimwise.standing.rest import Rest
        from shimwise.standing.standing import stand

        return Rest(stand(self, pads_mm, settings, ballast_kg, on_tyres))

    def on_solid_struts(
        self,
        *,
        pads_mm: Mapping[str, float] | None = None,
        settings: Mapping[str, Words] | _core.Settings | str | PathLike[str] | None = None,
        struts_mm: Mapping[str, float] | None = None,
    ) -> Solid:
        """Return the car on solid struts: heights and alignment of the best plane, what is left to rock; no weights.

        Args:
            pads_mm, settings: as in `at_rest`.
            struts_mm: from a corner to the length of its strut eye to eye, mm; left out: as drawn.

        Raises:
            InputError: no such corner or adjuster, or no finite number.
            OutOfReach: a strut of that length cannot be reached.
        """
        from shimwise.standing.solid import Solid, struts_of
        from shimwise.standing.standing import stand

        return Solid(stand(self, pads_mm, settings, None, False), struts_of(self, struts_mm))

    def effects(
        self,
        hold: str = "contact",
        *,
        pads_mm: Mapping[str, float] | None = None,
        settings: Mapping[str, Words] | _core.Settings | str | PathLike[str] | None = None,
        ballast_kg: Mapping[str, float] | None = None,
        on_tyres: bool = False,
    ) -> pd.DataFrame:
        """Return what every adjuster of the car does, something being held.

        Args:
            hold: "rest": the whole car comes to rest again on its springs, so that each adjuster, each pad and each
                ballast moves every value of `at_rest`. "spring": solid struts of the drawn length, the chassis takes
                the best plane, values of `on_solid_struts`. "contact", "wheel": corner by corner as in
                `Corner.effects`, in the chassis frame.
            pads_mm, settings, ballast_kg, on_tyres: as in `at_rest`; ballast and tyres are for hold = "rest" alone,
                pads for "rest" and "spring".

        Returns:
            DataFrame with the index (adjuster, per), such as ("front_left.track rod", "turn"): "turn", "mm" and (of
            ballast) "kg" are derivatives, steps are true differences. With hold = "rest" there are rows for
            "pad.front_left" and "ballast.fuel" too, columns are the names of `Rest.values`. `attrs` holds hold,
            frame and, as `at`, the values now; of rest also `chassis_is_rigid`, `on_droop_stop` (corners) and
            `left_out`, the steps that cannot be done, and why.

        Raises:
            InputError, OutOfReach: as in `at_rest`; no such hold.
        """
        if hold == "rest":
            return self.rest_effects(
                pads_mm=pads_mm, settings=settings, ballast_kg=ballast_kg, on_tyres=on_tyres
            ).frame()
        if ballast_kg is not None or on_tyres:
            raise _core.InputError(f'hold = {hold!r}: ballast and tyres need hold = "rest"')
        if pads_mm is not None and hold != "spring":
            raise _core.InputError(f'hold = {hold!r}: pads need hold = "rest" or "spring"')
        if hold == "spring":
            return self._solid_effects(pads_mm, settings).frame()
        car = self if settings is None else self.with_settings(settings)
        return tables.corners_frame({name: corner.effects(hold) for name, corner in car.corners.items()})

    def _solid_effects(self, pads_mm: Mapping[str, float] | None, settings: Any) -> RestEffects:
        from shimwise.standing.effects import RestEffects
        from shimwise.standing.solid import struts_of
        from shimwise.standing.standing import stand

        standing = stand(self, pads_mm, settings, None, False)
        struts = list(struts_of(self, None).values())
        return RestEffects(
            standing, _core.solid_table(standing.model, list(standing.pads_mm.values()), struts), "spring"
        )

    def rest_effects(
        self,
        *,
        pads_mm: Mapping[str, float] | None = None,
        settings: Mapping[str, Words] | _core.Settings | str | PathLike[str] | None = None,
        ballast_kg: Mapping[str, float] | None = None,
        on_tyres: bool = False,
    ) -> RestEffects:
        """The same with hold = "rest" as plain numbers, without pandas."""
        from shimwise.standing.effects import RestEffects
        from shimwise.standing.standing import stand

        standing = stand(self, pads_mm, settings, ballast_kg, on_tyres)
        return RestEffects(standing, _core.rest_table(standing.model, list(standing.pads_mm.values())), "rest")

    def recipe(
        self,
        aims: Mapping[str, float | str],
        keep: Sequence[str] | None = None,
        turn: Sequence[str] | None = None,
        pads_mm: Mapping[str, float] | None = None,
    ) -> CarRecipe:
        """Return the turns that change some values of the car at rest by given amounts and leave others where they are.

        The least work that does it, exact on the re-solved car, and the nearest settings that can be set.

        Args:
            aims: from a value to its change: a number, or words such as "+2 mm". Values: "front_height", "rear_height",
                "mean_height", and those of `at_rest` without their units, such as "rake", "cross_weight",
                "front_difference", "ride_height.front_left", "front_left.toe".
            keep: values that stay; also "others", what stays where this is left out, and "toe", "camber", "caster" of
                all four wheels. Left out: heights, rake, roll and cross weight, as far as the aims leave them free.
            turn: what may turn: purposes, adjusters by name ("pushrod": at every corner), or as "front_left.pushrod".
                Left out: what is there for ride height and corner weight, and for whatever else is aimed at or kept.
            pads_mm: as in `at_rest`.

        Raises:
            InputError: no such value, adjuster or pad, or an amount that is 0, no finite number or in another unit.
            OutOfReach: the car as it stands is not at rest. What cannot be done is no error: `refusal` says why.
        """
        from shimwise.recipes.of_car import car_recipe
        from shimwise.standing.standing import stand

        return car_recipe(stand(self, pads_mm, None, None, False), aims, keep, turn)

    def adjuster(self, key: str) -> _core.Adjuster:
        """Return the adjuster "corner.adjuster name" as it stands.

        Raises:
            InputError: no such adjuster.
        """
        known = {f"{c}.{a.name}": a for c, found in self.corners.items() for a in found.adjusters}
        if key not in known:
            meant = _core.did_you_mean(str(key), list(known)) or f"; it has {', '.join(known)}"
            raise _core.InputError(f"{key!r}: {self.name} has no such adjuster{meant}")
        return known[key]

    def _trial(self, change: Mapping[str, Words]) -> _core.Trial:
        turns: dict[str, float] = {}
        packs: dict[str, float | list[float]] = {}
        for key, words in change.items():
            adjuster = self.adjuster(key)
            if isinstance(adjuster.setting, _core.Thread):
                turns[key] = thread_change(key, adjuster, words)
            else:
                packs[key] = pack_change(key, words)
        trial = _core.Trial()
        trial.turns, trial.packs_mm = turns, packs
        return trial

    def _settings_from(self, settings: Mapping[str, Words]) -> _core.Settings:
        turns: dict[str, float] = {}
        shims: dict[str, list[float]] = {}
        for key, words in settings.items():
            adjuster = self.adjuster(key)
            if isinstance(adjuster.setting, _core.Thread):
                turns[key] = thread_setting(key, adjuster, words)
            else:
                shims[key] = pack_setting(key, words)
        changed = _core.Settings()
        changed.car, changed.turns, changed.shims_mm = self.name, turns, shims
        return changed

    def __repr__(self) -> str:
        return f"<Car {self.name} from {self.file}>"


class DemoFiles(NamedTuple):
    """The invented demo scenario: car, one morning's readings, targets."""

    car: Path
    readings: Path
    targets: Path


def demo_files() -> DemoFiles:
    """Return the paths of the demo files that the package brings. All of their numbers are invented."""
    data = Path(str(files("shimwise") / "data"))
    return DemoFiles(data / "wren.toml", data / "wren_readings.toml", data / "wren_targets.toml")


def load_car(path: str | PathLike[str]) -> Car:
    """Read a car file and check its physical sense.

    Raises:
        InputError: with every problem of the file, each with line, column, field, value and rule.
    """
    return Car(_core.load_car(fspath(path)))


def demo_car() -> Car:
    """Return the demo car "Wren" (invented)."""
    return load_car(demo_files().car)
