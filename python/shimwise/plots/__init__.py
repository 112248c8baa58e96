"""Pictures for people, in black and white. Matplotlib (an extra) is imported when one is asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from shimwise import _core
from shimwise.arguments import demand_kind, demand_mapping, number_array
from shimwise.car import Car
from shimwise.extras import extra
from shimwise.words import spoken

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from contextlib import AbstractContextManager
    from os import PathLike

    import xarray as xr
    from matplotlib.figure import Figure

    from shimwise.car import Corner
    from shimwise.corner.states import Numbers

__all__ = ["bump_steer", "curves", "draw_curves", "geometry", "save"]

_DEFAULT_TRAVEL_MM = np.linspace(-30.0, 30.0, 61)


def geometry(car: Car, corner: str | None = None) -> Figure:
    """Draw each corner as set from the front, from the side and from above, so that a mistyped point is seen.

    Args:
        car: as read by `load_car`.
        corner: "front_left" and so on for this one alone; all four otherwise.

    Returns:
        Figure at one scale, axes in mm of the chassis frame; joints are numbered, a key names them.

    Raises:
        OutOfReach: a corner does not assemble.
        InputError: no such corner, or Matplotlib is not installed.
    """
    demand_kind("car", car, "Car")
    names = [car.corner(corner).name] if corner is not None else list(car.corners)
    with _matplotlib():
        from shimwise.plots.corner_sheet import corner_sheet
    return corner_sheet(car, names)


def curves(
    what: Corner | Car,
    *,
    travel_mm: Numbers | None = None,
    rack_mm: Numbers | None = None,
    outputs: Sequence[str] | None = None,
) -> Figure:
    """Draw what a set-up is judged by over wheel travel, over rack travel, or both below each other.

    Args:
        what: a corner, or a car: its corners in the same panels, left wide and grey, right thin and black.
        travel_mm: wheel travels at rack 0, mm; -30 to 30 where neither is given.
        rack_mm: rack travels at the drawn wheel height, mm; of a car only the corners that the rack steers, and the
            steering of its front wheels beside Ackermann's rule.
        outputs: names of docs/conventions.md, such as ["toe", "roll_centre_height"]: these alone, each of a car in a
            panel of its own, without the steering.

    Returns:
        Figure with a panel per output, its unit and sign beside it.

    Raises:
        OutOfReach: a state does not assemble.
        InputError: an argument is no list of numbers, an output is not known or not given by the file, no corner is
            steered, or Matplotlib is not installed.
    """
    if not isinstance(what, Car):
        demand_kind("what", what, "Corner")
    corners = what.corners if isinstance(what, Car) else {what.name: what}
    sections = []
    if travel_mm is not None or rack_mm is None:
        sections.append(_over("travel_mm", _DEFAULT_TRAVEL_MM if travel_mm is None else travel_mm, corners, outputs))
    if rack_mm is not None:
        steered = {name: corner for name, corner in corners.items() if corner.steered or len(corners) == 1}
        sections.append(_over("rack_mm", rack_mm, steered, outputs))
        if isinstance(what, Car) and outputs is None:
            sections.append({"front wheels": what.steering(rack_mm=rack_mm)})
    with _matplotlib():
        from shimwise.plots.curve_panels import curve_panels
    return curve_panels(sections, _title(what), apart=outputs is not None)


def draw_curves(curves: Mapping[str, xr.Dataset], title: str = "") -> Figure:
    """Draw Datasets over `travel_mm` or over `rack_mm`, each under its name, such as those of `Corner.curves`.

    Raises:
        InputError: a Dataset has another dimension or nothing to draw, or Matplotlib is not installed.
    """
    demand_mapping("curves", curves, '{"front left": car.front_left.curves(travel_mm=[0.0, 1.0])}')
    for name, dataset in curves.items():
        demand_kind(f"curves: {name}", dataset, "Dataset")
    with _matplotlib():
        from shimwise.plots.curve_panels import curve_panels
    return curve_panels([curves], title)


def bump_steer(corner: Corner, *, travel_mm: Numbers | None = None) -> Figure:
    """Draw toe over wheel travel, -30 to 30 mm where none is given; errors as in `curves`."""
    demand_kind("corner", corner, "Corner")
    with _matplotlib():
        from shimwise.plots.curve_panels import Panel, curve_panels
    section = _over("travel_mm", _DEFAULT_TRAVEL_MM if travel_mm is None else travel_mm, {corner.name: corner})
    return curve_panels([section], _title(corner), [Panel("toe", ("toe_deg",))])


def save(figure: Figure, path: str | PathLike[str]) -> None:
    """Write a figure to a new .png, .pdf or .svg file.

    Raises:
        InputError: another ending, the file exists, or Matplotlib is not installed.
    """
    demand_kind("figure", figure, "Figure")
    with _matplotlib():
        from shimwise.plots.picture import save as save_picture
    save_picture(figure, path)


def _over(
    along: str, values: Numbers, corners: Mapping[str, Corner], outputs: Sequence[str] | None = None
) -> dict[str, xr.Dataset]:
    """The curves of corners along one argument."""
    array = number_array(along, values)
    if array.ndim != 1 or array.size < 2:
        raise _core.InputError(f"{along}: a curve needs a list of two values or more")
    if not corners:
        raise _core.InputError(f"{along}: no corner of this car is steered by a rack")
    given = {along: array}
    return {name: corner.curves(**given, outputs=outputs) for name, corner in corners.items()}


def _title(what: Corner | Car) -> str:
    name = what.name if isinstance(what, Car) else f"{what.car.name}, {spoken(what.name)}"
    return f"{name}: as set, chassis frame"


def _matplotlib() -> AbstractContextManager[None]:
    """For the import of what needs Matplotlib."""
    return extra("pictures need", matplotlib="matplotlib>=3.9")
