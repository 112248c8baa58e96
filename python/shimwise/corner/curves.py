"""One corner over wheel travel and rack travel."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from shimwise import _core
from shimwise.arguments import names_among
from shimwise.as_set import CornerAsSet
from shimwise.corner import states

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    import xarray as xr
    from numpy.typing import NDArray

__all__ = ["CornerCurves"]


class CornerCurves(CornerAsSet):
    """What a corner has over its travels, in the chassis frame."""

    def alignment(self, *, travel_mm: states.Numbers = 0.0, rack_mm: states.Numbers = 0.0) -> xr.Dataset:
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
        return states.over_states(
            {"rack_mm": rack_mm, "travel_mm": travel_mm},
            _core.output_list(),
            lambda rack, travel: _core.alignment(self._corner, travel, rack),
        )

    def curves(
        self,
        *,
        travel_mm: states.Numbers = 0.0,
        rack_mm: states.Numbers = 0.0,
        outputs: Sequence[str] | None = None,
    ) -> xr.Dataset:
        """Return every output and more over wheel travel and rack travel; arguments and errors as in `alignment`.

        Args:
            travel_mm: as in `alignment`.
            rack_mm: as in `alignment`.
            outputs: names of docs/conventions.md or of columns, such as ["toe", "roll_centre_height"]: these alone, in
                this order.

        Returns:
            The Dataset of `alignment`, and: contact path (`contact_x_mm`; `half_track_mm` and `chassis_height_mm` are
            its y and -z), wheelbase change, roll-centre height from the contact's path, motion ratio gain, the
            upright's instant axis, loads of spring and bump rubber, and what each adds to the wheel rate; trail, scrub
            and roll centre also as it runs, on the tyre. What needs something that the file does not give (a tyre, the
            load of a spring that `rests_as_drawn`) is left out, and `attrs["left_out"]` says why, by column.

        Raises:
            InputError: an output that is not known, or that the file cannot give.
            OutOfReach: as in `alignment`.
        """
        rows = self._curve_rows(outputs)
        found = states.over_states(
            {"rack_mm": rack_mm, "travel_mm": travel_mm},
            list(rows.values()),
            lambda rack, travel: _core.curves(self._corner, travel, rack)[list(rows)],
        )
        if self.left_out and outputs is None:
            found.attrs["left_out"] = self.left_out
        return found

    def curve_columns(
        self, travel_mm: NDArray[np.float64], rack_mm: NDArray[np.float64], outputs: Sequence[str] | None = None
    ) -> dict[str, Any]:
        """The same as plain arrays by name, without xarray, for as many travels as rack travels."""
        rows = self._curve_rows(outputs)
        block = _core.curves(self._corner, travel_mm, rack_mm)
        return {info.column: block[row] for row, info in rows.items()}

    @property
    def left_out(self) -> dict[str, str]:
        """What `curves` cannot give for this corner, and why, by column."""
        why = {info.column: _core.missing_for(self._corner, i) for i, info in enumerate(_core.curve_list())}
        return {column: reason for column, reason in why.items() if reason}

    def _curve_rows(self, outputs: Sequence[str] | None) -> dict[int, _core.OutputInfo]:
        """What is given, or what is asked for of it, by its row in a block of curves."""
        every = [*_core.output_list(), *_core.curve_list()]
        left_out = self.left_out
        if outputs is None:
            return {row: info for row, info in enumerate(every) if info.column not in left_out}
        places = {key: row for row, info in enumerate(every) for key in (info.name, info.column)}
        rows = {places[name]: every[places[name]] for name in names_among("outputs", outputs, list(places))}
        for info in rows.values():
            if info.column in left_out:
                raise _core.InputError(f"outputs = {info.name}: cannot be given: {left_out[info.column]}")
        return rows

    def joints(self, *, travel_mm: states.Numbers = 0.0, rack_mm: states.Numbers = 0.0) -> xr.Dataset:
        """Return the place of every joint, mm, chassis frame; arguments and errors as in `alignment`.

        Returns:
            Dataset with one variable per point and a last dimension `axis` (x, y, z).
        """
        return states.joints_over_states(
            {"rack_mm": rack_mm, "travel_mm": travel_mm},
            lambda rack, travel: _core.joints(self._corner, travel, rack),
            self._corner.point_names,
        )
