"""The car on solid struts in place of its springs and dampers."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from shimwise import _core
from shimwise.standing.stand import Stand, numbers
from shimwise.standing.standing import Standing

if TYPE_CHECKING:
    from shimwise.as_set import CarAsSet

__all__ = ["Solid", "struts_of"]


class Solid(Standing):
    """A car on solid struts, made by `Car.on_solid_struts`; alignment in the ground frame.

    Four legs are one too many: the chassis takes the best plane of its contacts over the pads. There are no weights.
    """

    def __init__(self, stand: Stand, struts_mm: dict[str, float]) -> None:
        self.core = _core.on_solid_struts(stand.model, list(stand.pads_mm.values()), list(struts_mm.values()))
        super().__init__(stand, self.core.stands, _core.solid_outputs(stand.model))
        self.struts_mm = struts_mm

    @property
    def over_pads_mm(self) -> dict[str, float]:
        """What every contact is left over its pad, + = over it."""
        return dict(zip(_core.CornerId.__members__, self.core.over_pad_mm, strict=True))

    @property
    def rocking_mm(self) -> float:
        """What is left to rock: front left and rear right less the other two.

        On a rectangle of contacts how far one wheel is off its pad once the other three stand on theirs.
        """
        return self.core.rocking_mm

    def as_dict(self) -> dict[str, Any]:
        """Return everything as plain data."""
        return {
            "car": self.stand.car.name,
            "hold": "spring",
            "frame": "ground",
            "pads_mm": self.stand.pads_mm,
            "rack_mm": self.stand.rack_mm,
            "struts_mm": self.struts_mm,
            "over_pads_mm": self.over_pads_mm,
            "rocking_mm": self.rocking_mm,
            "values": self.values,
            "about_chassis": self._about_chassis_by_corner(),
        }

    @property
    def chassis_words(self) -> str:
        """How the chassis is taken."""
        return "rigid, on solid struts"


def struts_of(car: CarAsSet, struts_mm: Mapping[str, float] | None) -> dict[str, float]:
    """Lengths eye to eye: as drawn where none is given."""
    drawn = dict(zip(_core.CornerId.__members__, _core.drawn_struts_mm(car.core), strict=True))
    return numbers("struts_mm", struts_mm, "strut", drawn, car.name)
