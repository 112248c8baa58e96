"""A car and its four corners, with all that can be asked of them. Immutable: a change gives a changed copy."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from importlib.resources import files
from pathlib import Path
from typing import NamedTuple

from shimwise import _core
from shimwise.arguments import demand_kind
from shimwise.corner.curves import CornerCurves
from shimwise.corner.effects import CornerEffects
from shimwise.corner.forces import Forces, forces_of
from shimwise.corner.steering import CarSteering
from shimwise.given import Given, source_of
from shimwise.readings.expected import Expected
from shimwise.readings.measured import Measured
from shimwise.recipes.of_car import CarRecipe, car_recipe
from shimwise.recipes.of_corner import Recipes, changes_of
from shimwise.setting_words import Words
from shimwise.standing.calls import CarStanding
from shimwise.standing.stand import stand

__all__ = ["Car", "Corner", "DemoFiles", "demo_car", "demo_files", "load_car"]


class Corner(CornerCurves, CornerEffects):
    """One corner of a car as it is set."""

    def __init__(self, car: Car, name: str) -> None:
        super().__init__(car, name)
        self._car = car

    @property
    def car(self) -> Car:
        """The car that it belongs to."""
        return self._car

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

    def recipes(self, by: Mapping[str, float | str] | None = None) -> Recipes:
        """Return how to move toe, camber, caster or chassis height alone, spring length held, in the chassis frame.

        Each recipe is the least work that moves its output and leaves the others where they are, exact on the
        nonlinear model.

        Args:
            by: from "toe", "camber", "caster", "chassis_height" to the amount, deg or mm, or words such as "+0.25 deg",
                of toe also "+1 mm" at the flags: only these recipes. Left out: all four, each by 1 deg or 1 mm.

        Raises:
            InputError: no such recipe, or an amount that is 0 or no finite number.
            OutOfReach: the corner as it stands does not assemble.
        """
        changes = changes_of(self._corner, by)
        found = _core.recipes(self._car_core, self._corner.id, {name: change.by for name, change in changes.items()})
        at_flags_mm = {name: change.at_flags_mm for name, change in changes.items()}
        return Recipes(found, self.name, at_flags_mm, self._corner.wheel.flag_span_mm)

    def __repr__(self) -> str:
        return f"<{self.name} of {self._car.name}: {', '.join(a.name for a in self.adjusters)}>"


class Car(CarSteering, CarStanding):
    """A car, read by `load_car`."""

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
    def doubts(self) -> list[str]:
        """What is possible and yet unlikely in the car file and its settings, one sentence each."""
        return [doubt.text for doubt in _core.doubts(self.core)]

    def expect(self, measured: Measured, change: Mapping[str, Words]) -> Expected:
        """Return the readings to expect once something is turned: measured + (model after - model before).

        The whole car stands again as it stood when it was read, on its springs or on solid struts: ride heights and
        corner weights that were read are predicted too. Where the model cannot stand, contacts are held on the
        measured ground, and a note says why. Values are in the ground frame.

        Args:
            measured: what was read of this car as it stands; lengths and shims of the readings win over its settings.
            change: from "corner.adjuster name" to what is turned, counted from the present setting: turns, or words
                such as "+2 flats" or "1/2 turn shorter"; of a pack mm, or "+0.5 mm". Without a sign or a way words are
                the setting itself: "=2 flats" or "2 flats" from drawn, [2.0, 0.5], "2.0 + 0.5 mm" or "2 mm" the whole
                pack. What they were taken for is said.

        Raises:
            InputError: nothing is to be turned, no such adjuster, or a limit is broken.
            OutOfReach: the car cannot stand on the ground with these settings.
        """
        demand_kind("measured", measured, "Measured")
        if not isinstance(change, Mapping):
            raise _core.InputError(
                f'change = {change!r}: needs adjusters, such as {{"front_left.track rod": "+2 flats"}}'
            )
        if not change:
            raise _core.InputError("change: names no adjuster")
        before = Car(_core.as_read(self.core, measured.core))
        trial, taken = before._trial(change)
        after, notes = _core.tried(before.core, trial)
        doubts = [doubt.text for doubt in _core.doubts(self.core) + _core.doubts(measured.core, self.core)]
        return Expected(_core.expect(measured.core, before.core, after), notes, doubts, taken)

    def recipe(
        self,
        aims: Mapping[str, float | str],
        keep: Sequence[str] | None = None,
        turn: Sequence[str] | None = None,
        pads_mm: Mapping[str, float] | None = None,
        *,
        ballast_kg: Mapping[str, float] | None = None,
        rack_mm: float | None = None,
    ) -> CarRecipe:
        """Return the turns that change some values of the car at rest by given amounts and leave others where they are.

        The least work that does it, exact on the re-solved car, and the nearest settings that can be set.

        Args:
            aims: from a value to its change: a number, or words such as "+2 mm", of toe also at the flags. Values:
                "front_height", "rear_height", "mean_height", and those of `at_rest` without their units, such as
                "rake", "cross_weight", "front_difference", "ride_height.front_left", "front_left.toe"; also
                "camber_difference_front", "camber_difference_rear", "caster_difference_front", left less right.
            keep: values that stay; also "others", what stays where this is left out, and "toe", "camber", "caster",
                "spring_length" of all four wheels. Left out: heights, rake, roll and cross weight, as far as the aims
                leave them free.
            turn: what may turn: purposes, adjusters by name ("pushrod": at every corner), or as "front_left.pushrod".
                Left out: what is there for ride height and corner weight, and for whatever else is aimed at or kept.
            pads_mm, ballast_kg, rack_mm: as in `at_rest`.

        Raises:
            InputError: no such value, adjuster, pad, ballast or rack travel, or an amount that is 0, no finite number
                or in another unit.
            OutOfReach: the car as it stands is not at rest. What cannot be done is no error: `refusal` says why.
        """
        return car_recipe(stand(self, pads_mm, None, ballast_kg, False, rack_mm), aims, keep, turn)


class DemoFiles(NamedTuple):
    """The invented demo scenario: car, one morning's readings, targets."""

    car: Path
    readings: Path
    targets: Path

    @property
    def skid(self) -> Path:
        """The wear of its skid over five runs."""
        return self.car.with_name("wren_skid.toml")

    @property
    def sweep(self) -> Path:
        """A sweep of it: points built within a tolerance, over travel and shims."""
        return self.car.with_name("wren_sweep.toml")


def demo_files() -> DemoFiles:
    """Return the paths of the demo files that the package brings. All of their numbers are invented."""
    data = Path(str(files("shimwise") / "data"))
    return DemoFiles(data / "wren.toml", data / "wren_readings.toml", data / "wren_targets.toml")


def load_car(path: Given | None = None, *, text: str | None = None) -> Car:
    """Read a car file and check its physical sense.

    Args:
        path: the file, or what stands in it as a dictionary, as `tomllib` gives it; NumPy's numbers and arrays may
            stand for numbers and lists.
        text: what stands in the file, in place of `path`.

    Raises:
        InputError: with every problem of the file, each with line, column, field, value and rule; of a dictionary
            without line and column.
    """
    return Car(_core.car_from(source_of(path, text)))


def demo_car() -> Car:
    """Return the demo car "Wren" (invented)."""
    return load_car(demo_files().car)
