"""What tests of pictures look at: axes, lines and texts of a figure by their names."""

from __future__ import annotations

import itertools
from pathlib import Path

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.text import Text
from matplotlib.transforms import Bbox

import shimwise as sw

CORNERS = ["front_left", "front_right", "rear_left", "rear_right"]
VIEWS = {"above": (1, 0), "side": (0, 2), "front": (1, 2)}  # axes of the frame: along the page, up the page
SHIFTED = {"front_left.camber shim": [2.0], "front_left.track rod": 1.5, "rear_right.pushrod": -1.0}


def view(figure: Figure, corner: str, name: str) -> Axes:
    return next(ax for ax in figure.axes if ax.get_gid() == f"{corner} {name}")


def line(ax: Axes, gid: str) -> Line2D:
    return next(drawn for drawn in ax.lines if drawn.get_gid() == gid)


def path(ax: Axes, gid: str) -> np.ndarray:
    return np.asarray(line(ax, gid).get_xydata())


def contact_of(corner: sw.Corner) -> tuple[float, float]:
    """y and z of the contact."""
    now = corner.alignment()
    return float(now.half_track_mm) * (1.0 if corner.name.endswith("left") else -1.0), -float(now.chassis_height_mm)


def edited(tmp_path: Path, *changes: tuple[str, str]) -> sw.Car:
    text = sw.demo_files().car.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    file = tmp_path / "edited.toml"
    file.write_text(text, encoding="utf-8")
    return sw.load_car(file)


def texts_of(figure: Figure) -> list[tuple[str, Bbox]]:
    """All that is written on the page."""
    renderer = FigureCanvasAgg(figure).get_renderer()
    figure.draw(renderer)
    unseen = set()  # ticks beyond the axes
    for ax in figure.axes:
        for axis, limits, i in ((ax.xaxis, sorted(ax.get_xlim()), 0), (ax.yaxis, sorted(ax.get_ylim()), 1)):
            labels = axis.get_ticklabels()
            unseen |= {label for label in labels if not limits[0] <= label.get_position()[i] <= limits[1]}
    written = [text for text in figure.findobj(Text) if text.get_text() and text.get_visible() and text not in unseen]
    return [(text.get_text(), text.get_window_extent(renderer)) for text in written]


def overlaps(boxes: list[tuple[str, Bbox]]) -> list[tuple[str, str]]:
    return [(a, b) for (a, one), (b, other) in itertools.combinations(boxes, 2) if one.overlaps(other)]


def check_labels(figure: Figure) -> None:
    texts = texts_of(figure)
    assert not overlaps(texts)
    width, height = figure.get_size_inches() * figure.dpi
    assert not [text for text, box in texts if box.x0 < 0.0 or box.y0 < 0.0 or box.x1 > width or box.y1 > height]
    for ax in figure.axes:
        balloons = ax.transData.transform(path(ax, "balloons")) * 72.0 / figure.dpi
        size = line(ax, "balloons").get_markersize() + line(ax, "balloons").get_markeredgewidth()
        for one, other in itertools.combinations(balloons, 2):
            assert np.linalg.norm(one - other) > size
        for joint in keys(figure):
            if joint in {drawn.get_gid() for drawn in ax.lines}:
                at = ax.transData.transform(path(ax, joint))[0] * 72.0 / figure.dpi
                reach = (size + line(ax, joint).get_markersize()) / 2.0
                assert np.linalg.norm(balloons - at, axis=1).min() > reach, joint


def keys(figure: Figure) -> dict[str, str]:
    """Numbers by name, from the keys of a sheet."""
    rows = [
        row.split()
        for text in figure.texts
        if (text.get_gid() or "").startswith("key ")
        for row in text.get_text().splitlines()[1:]
    ]
    return {name: number for number, name, *_ in rows}


def panel(figure: Figure, gid: str) -> Axes:
    return next(ax for ax in figure.axes if ax.get_gid() == gid)
