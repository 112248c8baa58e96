"""One view of a corner on a pair of axes: links, joints, wheel, ground, centre plane. Black and white."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
from matplotlib.lines import Line2D
from matplotlib.patches import Patch

from shimwise.plots.balloons import SIZE, balloon_places
from shimwise.plots.corner_drawing import CONTACT, CornerDrawing, lines_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from matplotlib.artist import Artist
    from matplotlib.axes import Axes
    from numpy.typing import NDArray

__all__ = ["Ground", "View", "draw_view", "legend_of", "views_of"]

Ground = tuple["NDArray[np.float64]", "NDArray[np.float64]"]  # two contacts that its line runs through

_CENTRE_LINE: dict[str, Any] = {"color": "black", "lw": 0.6, "ls": (0, (14, 3, 2, 3))}
_LINKS: dict[str, dict[str, Any]] = {
    "upper wishbone": {"ls": "-", "lw": 1.7},
    "lower wishbone": {"ls": (0, (5, 1.5)), "lw": 1.7},
    "track rod or toe link": {"ls": (0, (1, 0.8)), "lw": 2.4},
    "pushrod": {"ls": (0, (6, 1.5, 1, 1.5)), "lw": 1.5},
    "pull rod": {"ls": (0, (6, 1.5, 1, 1.5)), "lw": 1.5},
    "rocker": {"ls": "-", "lw": 3.0, "color": "0.6"},
    "spring": {"ls": "-", "lw": 0.9},
    "drop link and bar": {"ls": (0, (2, 1.2)), "lw": 1.0},
    "axis": _CENTRE_LINE,
    "upright, bracket": {"ls": "-", "lw": 0.8, "color": "0.45"},
}
_JOINTS: dict[str, dict[str, Any]] = {
    "fixed to the chassis": {"color": "black", "marker": "s", "ms": 4.0, "mfc": "black"},
    "moved by the rack": {"color": "black", "marker": "D", "ms": 4.2, "mfc": "black"},
    "moves with the wheel": {"color": "black", "marker": "o", "ms": 4.2, "mfc": "white"},
    "wheel centre": {"color": "black", "marker": "P", "ms": 5.0, "mfc": "white"},
    "contact": {"color": "black", "marker": "^", "ms": 5.5, "mfc": "white"},
}
_WHEEL: dict[str, Any] = {"color": "0.35", "lw": 1.1}
_GROUND: dict[str, Any] = {"color": "black", "lw": 1.3}
_FLOOR: dict[str, Any] = {"color": "black", "lw": 0.5, "ls": (0, (1, 3))}


class View(NamedTuple):
    title: str
    across: int  # axis of the frame along the page
    up: int
    leftward: bool  # `across` grows to the left of the page
    downward: bool  # `up` grows down the page
    across_words: str
    up_words: str


def views_of(corner: str) -> dict[str, View]:
    """A corner from the front, from its own side and from above, the front of the car down so that both line up."""
    left = corner.endswith("left")
    side = View("seen from the left", 0, 2, True, False, "← forward (x, mm)", "up (z, mm) →")
    if not left:
        side = View("seen from the right", 0, 2, False, False, "forward (x, mm) →", "up (z, mm) →")
    return {
        "above": View("seen from above", 1, 0, False, True, "left (y, mm) →", "← forward (x, mm)"),
        "side": side,
        "front": View("seen from the front", 1, 2, False, False, "left (y, mm) →", "up (z, mm) →"),
    }


def draw_view(
    ax: Axes,
    view: View,
    drawing: CornerDrawing,
    numbers: Mapping[str, int],
    ground: Ground | None,
    points_per_mm: float,
) -> None:
    """Draw a corner into axes whose limits are set, at a scale; `ground` where the view shows it as a line."""
    on_page = [view.across, view.up]
    if ground:
        _draw_ground(ax, *(contact[on_page] for contact in ground))
    if view.across == 1:
        ax.axvline(0.0, gid="centre plane", **_CENTRE_LINE)
    segments = _draw_links(ax, drawing, on_page)
    outline = drawing.wheel.outline(*np.eye(3)[on_page])[:, on_page]
    ax.plot(*outline.T, gid="wheel", zorder=1.5, **_WHEEL)
    for name, place in drawing.joints.items():
        ax.plot(*place[on_page], gid=name, mec="black", mew=0.9, zorder=4, **_JOINTS[_kind(drawing, name)])
    _draw_balloons(ax, drawing, on_page, numbers, [*segments, *_pairs(outline[::12])], points_per_mm)
    ax.set_title(view.title, fontsize=8)
    ax.set_xlabel(view.across_words, fontsize=7, labelpad=2)
    ax.set_ylabel(view.up_words, fontsize=7, labelpad=2)
    ax.tick_params(labelsize=6, direction="in", length=2.5, width=0.5, top=True, right=True)
    ax.spines[:].set_linewidth(0.5)


def legend_of(drawings: list[CornerDrawing]) -> list[Artist]:
    """Samples of what these drawings show, each with its words as label."""
    shown = {link for drawing in drawings for link, lines in lines_of(drawing).items() if lines}
    kinds = {_kind(drawing, name) for drawing in drawings for name in drawing.joints}
    links = [
        Line2D([], [], label=link, **{"color": "black"} | style)
        for link, style in _LINKS.items()
        if link in shown - {"axis"}
    ]
    joints = [
        Line2D([], [], ls="", mec="black", label=kind, **style) for kind, style in _JOINTS.items() if kind in kinds
    ]
    return [
        *links,
        Line2D([], [], label="setup wheel", **_WHEEL),
        Line2D([], [], label="centre plane; axes", **_CENTRE_LINE),
        Line2D([], [], label="z = 0 of the floor", **_FLOOR),
        Patch(fc="white", ec="black", hatch="//////", lw=0.0, label="ground through the contacts"),
        *joints,
    ]


def _kind(drawing: CornerDrawing, name: str) -> str:
    if name in drawing.fixed:
        return "fixed to the chassis" if drawing.fixed[name] == "chassis" else "moved by the rack"
    return {CONTACT: "contact", "wheel.centre": "wheel centre"}.get(name, "moves with the wheel")


def _draw_links(ax: Axes, drawing: CornerDrawing, on_page: list[int]) -> list[NDArray[np.float64]]:
    """Returns the straight pieces that were drawn."""
    segments = []
    for link, lines in lines_of(drawing).items():
        style: dict[str, Any] = {"color": "black", "zorder": 1.0 if link == "rocker" else 2.0} | _LINKS[link]
        for line in lines:
            path = np.array([drawing.joints[point][on_page] for point in line])
            segments += _pairs(path)
            ax.plot(*(_coil(path) if link == "spring" else path).T, gid=link, solid_capstyle="round", **style)
    if drawing.bar is not None:
        ax.plot(*drawing.bar[:, on_page].T, gid="bar", color="black", **_LINKS["drop link and bar"])
        segments += _pairs(drawing.bar[:, on_page])
    if drawing.rocker_axis is not None:
        reach = 35.0 * drawing.rocker_axis
        axis = drawing.joints["rocker.axis_point"] + np.array([-reach, reach])
        ax.plot(*axis[:, on_page].T, gid="rocker axis", **_CENTRE_LINE)
    return segments


def _pairs(path: NDArray[np.float64]) -> list[NDArray[np.float64]]:
    return list(np.stack([path[:-1], path[1:]], axis=1))


def _coil(ends: NDArray[np.float64], coils: int = 7) -> NDArray[np.float64]:
    """A zigzag between two ends; seen end-on it is as narrow as it is short."""
    run = ends[1] - ends[0]
    length = max(float(np.hypot(*run)), 1e-9)
    aside = np.array([-run[1], run[0]]) / length * min(11.0, length / coils)
    share = np.linspace(0.2, 0.8, 2 * coils)
    zigzag = ends[0] + share[:, None] * run + np.where(np.arange(2 * coils) % 2, 1.0, -1.0)[:, None] * aside
    return np.vstack([ends[:1], ends[:1] + 0.2 * run, zigzag, ends[:1] + 0.8 * run, ends[1:]])


def _draw_ground(ax: Axes, one: NDArray[np.float64], other: NDArray[np.float64]) -> None:
    ax.axhline(0.0, gid="floor", **_FLOOR)
    across = np.array(ax.get_xlim())
    height = one[1] + (across - one[0]) * (other[1] - one[1]) / (other[0] - one[0])
    ax.plot(across, height, gid="ground", **_GROUND)
    thick = 0.022 * abs(np.diff(ax.get_ylim())[0])
    ax.fill_between(across, height - thick, height, fc="none", ec="black", hatch="//////", lw=0.0)


def _draw_balloons(
    ax: Axes,
    drawing: CornerDrawing,
    on_page: list[int],
    numbers: Mapping[str, int],
    segments: list[NDArray[np.float64]],
    points_per_mm: float,
) -> None:
    (x0, x1), (y0, y1) = ax.get_xlim(), ax.get_ylim()
    corner, scale = np.array([x0, y0]), points_per_mm * np.sign([x1 - x0, y1 - y0])
    size = (points_per_mm * abs(x1 - x0), points_per_mm * abs(y1 - y0))
    joints = (np.array([place[on_page] for place in drawing.joints.values()]) - corner) * scale
    places = balloon_places(joints, (np.array(segments) - corner) * scale, size)
    at = corner + places / scale
    leaders = np.stack([corner + joints / scale, at, np.full(at.shape, np.nan)], axis=1).reshape(-1, 2)
    ax.plot(*leaders.T, color="black", lw=0.4, zorder=3, gid="leaders")
    ax.plot(*at.T, "o", color="black", ms=SIZE - 0.5, mfc="white", mec="black", mew=0.5, zorder=5, gid="balloons")
    for name, (x, y) in zip(drawing.joints, at, strict=True):
        ax.text(x, y, str(numbers[name]), ha="center", va="center_baseline", fontsize=6.0, zorder=6, gid=name)
