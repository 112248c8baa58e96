"""A car that is made to stand: the calls, and what every adjuster of the car does then."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from shimwise import _core
from shimwise.as_set import CarAsSet
from shimwise.corner.effects import CornerEffects, corners_frame
from shimwise.standing.effects import RestEffects
from shimwise.standing.rest import Rest
from shimwise.standing.solid import Solid, struts_of
from shimwise.standing.stand import stand

if TYPE_CHECKING:
    from collections.abc import Mapping
    from os import PathLike

    import pandas as pd

    from shimwise.setting_words import Words

__all__ = ["CarStanding"]


class CarStanding(CarAsSet):
    """How the whole car stands, on its springs or on solid struts."""

    def at_rest(
        self,
        *,
        pads_mm: Mapping[str, float] | None = None,
        settings: Mapping[str, Words] | _core.Settings | str | PathLike[str] | None = None,
        ballast_kg: Mapping[str, float] | None = None,
        on_tyres: bool = False,
        rack_mm: float | None = None,
    ) -> Rest:
        """Return the car at rest on its springs: heights, corner weights, alignment in the ground frame.

        Args:
            pads_mm: from a corner to the height of its pad over a common zero, mm; a pad that is not named is at 0.
            settings: as in `with_settings`.
            ballast_kg: from the name of a ballast to what there is of it, kg; left out: as in the car file.
            on_tyres: on the tyres of the car file, with their vertical rate, and not on rigid setup wheels.
            rack_mm: rack travel, mm, + = along `rack.direction`, to the left; left out: at its centre.

        Raises:
            InputError: no such corner, ballast or adjuster, no finite number, a tyre without a rate, no rack or one
                that does not go so far.
            OutOfReach: the car cannot rest like that; names what cannot be, and the amount. A damper on its droop stop
                is a state and no error.
        """
        return Rest(stand(self, pads_mm, settings, ballast_kg, on_tyres, rack_mm))

    def on_solid_struts(
        self,
        *,
        pads_mm: Mapping[str, float] | None = None,
        settings: Mapping[str, Words] | _core.Settings | str | PathLike[str] | None = None,
        struts_mm: Mapping[str, float] | None = None,
        rack_mm: float | None = None,
    ) -> Solid:
        """Return the car on solid struts: heights and alignment of the best plane, what is left to rock; no weights.

        Args:
            pads_mm, settings, rack_mm: as in `at_rest`.
            struts_mm: from a corner to the length of its strut eye to eye, mm; left out: as drawn.

        Raises:
            InputError: no such corner or adjuster, no finite number, no rack or one that does not go so far.
            OutOfReach: a strut of that length cannot be reached.
        """
        return Solid(stand(self, pads_mm, settings, None, False, rack_mm), struts_of(self, struts_mm))

    def effects(
        self,
        hold: str = "contact",
        *,
        pads_mm: Mapping[str, float] | None = None,
        settings: Mapping[str, Words] | _core.Settings | str | PathLike[str] | None = None,
        ballast_kg: Mapping[str, float] | None = None,
        on_tyres: bool = False,
        rack_mm: float | None = None,
    ) -> pd.DataFrame:
        """Return what every adjuster of the car does, something being held.

        Args:
            hold: "rest": the whole car comes to rest again on its springs, so that each adjuster, each pad, each
                ballast and the rack move every value of `at_rest`. "spring": solid struts of the drawn length, the
                chassis takes the best plane, values of `on_solid_struts`. "contact", "wheel": corner by corner as in
                `Corner.effects`, in the chassis frame.
            pads_mm, settings, ballast_kg, on_tyres, rack_mm: as in `at_rest`; ballast and tyres are for hold = "rest"
                alone, pads and rack for "rest" and "spring" (of "contact" and "wheel" see `Corner.effects`).

        Returns:
            DataFrame with the index (adjuster, per), such as ("front_left.track rod", "turn"): "turn", "mm" and (of
            ballast) "kg" are derivatives, steps are true differences. With hold = "rest" there are rows for
            "pad.front_left", "ballast.fuel" and "rack" too (per mm to the left, and per turn of the steering wheel
            where the file has `mm_per_turn`), columns are the names of `Rest.values`. `attrs` holds hold, frame and,
            as `at`, the values now; of rest also `pads_mm`, `ballast_kg`, `on_tyres`, `rack_mm`, `chassis_is_rigid`,
            `on_droop_stop` (corners) and `left_out`, the steps that cannot be done, and why.

        Raises:
            InputError, OutOfReach: as in `at_rest`; no such hold.
        """
        if not isinstance(hold, str):
            raise _core.InputError(f"hold = {hold!r}: needs a word")
        if hold == "rest":
            return self.rest_effects(
                pads_mm=pads_mm, settings=settings, ballast_kg=ballast_kg, on_tyres=on_tyres, rack_mm=rack_mm
            ).frame()
        if ballast_kg is not None or on_tyres:
            raise _core.InputError(f'hold = {hold!r}: ballast and tyres need hold = "rest"')
        if hold == "spring":
            return self._solid_effects(pads_mm, settings, rack_mm).frame()
        if pads_mm is not None or rack_mm is not None:
            raise _core.InputError(f'hold = {hold!r}: pads and rack need hold = "rest" or "spring"')
        car = self if settings is None else self.with_settings(settings)
        return corners_frame({name: CornerEffects(car, name).effects(hold) for name in _core.CornerId.__members__})

    def _solid_effects(self, pads_mm: Mapping[str, float] | None, settings: Any, rack_mm: float | None) -> RestEffects:

        standing = stand(self, pads_mm, settings, None, False, rack_mm)
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
        rack_mm: float | None = None,
    ) -> RestEffects:
        """The same with hold = "rest" as plain numbers, without pandas."""

        standing = stand(self, pads_mm, settings, ballast_kg, on_tyres, rack_mm)
        return RestEffects(standing, _core.rest_table(standing.model, list(standing.pads_mm.values())), "rest")
