"""The sheet of a car's corners: three views of each at one scale, laid out so that they share their axes, and a key."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from shimwise.plots.corner_drawing import CONTACT, CornerDrawing, corner_drawing, place_of
from shimwise.plots.picture import Picture, put_title
from shimwise.plots.views import Ground, draw_view, legend_of, views_of
from shimwise.words import spoken

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from shimwise.car import Car

__all__ = ["corner_sheet"]

# inches
_BLOCK = (9.6, 8.2)  # one corner, at most
_LEFT, _BETWEEN, _RIGHT = 0.6, 0.7, 0.15
_BOTTOM, _MIDDLE, _TOP = 0.45, 0.75, 0.6
_HEADER = 0.4
_LEGEND = (1.85, 0.175)  # one entry
_KEY_POINTS = 7.0
_KEY = (50 * 0.602 * _KEY_POINTS / 72.0, 1.25 * _KEY_POINTS / 72.0)  # a row of 50 letters

_MARGIN_MM = 30.0


class _Layout(NamedTuple):
    """Sizes of a block, inches."""

    inch_per_mm: float
    column: float  # width of the views from the left; the key needs its room too
    row: float  # height of the view from above
    width: float
    height: float


def corner_sheet(car: Car, names: Sequence[str]) -> Picture:
    """Draw corners of a car, two side by side. Raises OutOfReach where one does not assemble."""
    every = {name: corner_drawing(car, name) for name in car.corners}
    drawings = [every[name] for name in names]
    numbers = {
        name: i + 1 for i, name in enumerate(sorted({n for d in every.values() for n in d.joints}, key=place_of))
    }
    limits = _limits(drawings)
    layout = _layout(limits[0][:, 1] - limits[0][:, 0], len(numbers))
    columns = min(len(names), 2)
    rows = -(-len(names) // columns)
    samples = legend_of(drawings)
    abreast = int(columns * layout.width / _LEGEND[0])
    foot = 0.3 + -(-len(samples) // abreast) * _LEGEND[1]
    width, height = columns * layout.width, foot + rows * layout.height + _HEADER
    figure = Picture(figsize=(width, height))
    for i, drawing in enumerate(drawings):
        at = (i % columns * layout.width, foot + (rows - 1 - i // columns) * layout.height)
        _draw_block(figure, at, layout, limits[i], drawing, numbers, every)
    title = f"{car.name}, {Path(car.file).name}: as set, wheel centres at their drawn height, chassis frame"
    put_title(figure, title)
    figure.legend(
        handles=samples, loc="lower left", bbox_to_anchor=(0.1 / width, 0.2 / height), ncols=abreast,
        fontsize=7, frameon=False, handlelength=3.4, columnspacing=1.4, borderpad=0.0,
    )  # fmt: skip
    return figure


def _layout(span_mm: NDArray[np.float64], joints: int) -> _Layout:
    """The largest scale at which a block of these spans fits."""
    room = (_BLOCK[0] - _LEFT - _BETWEEN - _RIGHT, _BLOCK[1] - _BOTTOM - _MIDDLE - _TOP)
    inch_per_mm = min(room[0] / (span_mm[0] + span_mm[1]), room[1] / (span_mm[0] + span_mm[2]))
    x, y, z = span_mm * inch_per_mm
    column, row = max(x, _KEY[0] + 0.25 - _LEFT), max(x, _KEY[1] * (joints + 1))
    return _Layout(inch_per_mm, column, row, _LEFT + column + _BETWEEN + y + _RIGHT, _BOTTOM + z + _MIDDLE + row + _TOP)


def _limits(drawings: Sequence[CornerDrawing]) -> list[NDArray[np.float64]]:
    """Least and most of each axis for every corner: shape (3, 2), the same spans for all."""
    boxes = []
    for drawing in drawings:
        outlines = [drawing.wheel.outline(*np.eye(3)[pair]) for pair in ([0, 2], [1, 2], [1, 0])]
        points = np.vstack([*drawing.joints.values(), *outlines, *([] if drawing.bar is None else drawing.bar)])
        points = np.vstack([points, points * [1.0, 0.0, 1.0]])  # with the centre plane
        boxes.append(np.array([points.min(axis=0) - _MARGIN_MM, points.max(axis=0) + _MARGIN_MM]).T)
    most = np.max([box[:, 1] - box[:, 0] for box in boxes], axis=0)
    return [box.mean(axis=1)[:, None] + most[:, None] * [-0.5, 0.5] for box in boxes]


def _draw_block(
    figure: Picture,
    at: tuple[float, float],
    layout: _Layout,
    limits: NDArray[np.float64],
    drawing: CornerDrawing,
    numbers: Mapping[str, int],
    every: Mapping[str, CornerDrawing],
) -> None:
    """Above over front, side beside front, the key in the corner that remains."""
    paper = np.array([figure.get_figwidth(), figure.get_figheight()] * 2)
    size = (limits[:, 1] - limits[:, 0]) * layout.inch_per_mm
    column, low = at[0] + _LEFT + layout.column, at[1] + _BOTTOM
    high = low + size[2] + _MIDDLE
    corners = {"side": (column - size[0], low), "front": (column + _BETWEEN, low), "above": (column + _BETWEEN, high)}
    for key, view in views_of(drawing.name).items():
        box = np.array([*corners[key], size[view.across], size[view.up]])
        ax = figure.add_axes(tuple(box / paper), gid=f"{drawing.name} {key}")
        across = limits[view.across]
        up = limits[view.up]
        ax.set(xlim=across[::-1] if view.leftward else across, ylim=up[::-1] if view.downward else up)
        draw_view(ax, view, drawing, numbers, _ground(key, drawing, every), 72.0 * layout.inch_per_mm)
    x, y = at[0] + 0.15, high + layout.row
    figure.text(x / paper[0], (y + 0.2) / paper[1], spoken(drawing.name), fontsize=12, weight="bold")
    figure.text(
        x / paper[0], y / paper[1], _key(drawing, numbers), va="top", linespacing=1.2,
        family="monospace", fontsize=_KEY_POINTS, gid=f"key {drawing.name}",
    )  # fmt: skip


def _ground(key: str, drawing: CornerDrawing, every: Mapping[str, CornerDrawing]) -> Ground | None:
    """This contact and the one beside or behind it on the page."""
    axle, side = drawing.name.split("_")
    other = {
        "side": f"{'rear' if axle == 'front' else 'front'}_{side}",
        "front": f"{axle}_{'right' if side == 'left' else 'left'}",
    }.get(key)
    return (drawing.joints[CONTACT], every[other].joints[CONTACT]) if other else None


def _key(drawing: CornerDrawing, numbers: Mapping[str, int]) -> str:
    rows = [
        f"{numbers[name]:2} {name:20}" + "".join(f"{value + 0.0:9.1f}" for value in place)
        for name, place in drawing.joints.items()
    ]
    return "\n".join([f"{'':23}" + "".join(f"{axis:>9}" for axis in ("x mm", "y mm", "z mm")), *rows])
