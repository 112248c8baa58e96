"""The pictures of docs/: no word covers another, and nothing is drawn through one."""

from __future__ import annotations

from collections.abc import Iterator

import draw
import numpy as np
import pytest
from figures import overlaps, texts_of
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Patch
from matplotlib.path import Path
from matplotlib.spines import Spine
from matplotlib.text import Annotation
from matplotlib.transforms import Bbox

OWN = {name: of for name, of in draw.PICTURES.items() if name != "front_left"}


def strokes(figure: Figure) -> Iterator[np.ndarray]:
    """Every line that is drawn, as points a pixel apart."""
    sheets = [figure.patch, *(ax.patch for ax in figure.axes)]
    paths = [
        drawn.get_transform().transform_path(drawn.get_path())
        for drawn in figure.findobj(lambda artist: isinstance(artist, Line2D | Patch))
        if drawn not in sheets and not isinstance(drawn, Spine) and drawn.axes is not None
    ]
    for note in figure.findobj(Annotation):
        if note.arrow_patch is not None:
            paths += note.arrow_patch._get_path_in_displaycoord()[0]
    for path in paths:
        yield from map(dense, path.to_polygons(closed_only=False))


def dense(corners: np.ndarray) -> np.ndarray:
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(corners, axis=0).T))])
    at = np.arange(0.0, along[-1] + 1.0)
    return np.transpose([np.interp(at, along, corners[:, i]) for i in (0, 1)])


def words_of(figure: Figure) -> list[tuple[str, Bbox]]:
    """Without the numbers of axes that are not drawn."""
    for ax in figure.axes:
        if not ax.axison:
            ax.set(xticks=[], yticks=[])
    figure.tight_layout()
    return texts_of(figure)


def struck(figure: Figure) -> set[str]:
    """Words that something is drawn through."""
    words = words_of(figure)  # draws it: arrows have their places then
    lines = list(strokes(figure))
    return {
        text
        for text, box in words
        for line in lines
        if box.width > 0.0 and np.any(Path(box.padded(-1.5).corners()[[0, 1, 3, 2]]).contains_points(line))
    }


@pytest.mark.parametrize("name", OWN)
def test_nothing_runs_through_a_word(name: str) -> None:
    figure = OWN[name]()
    FigureCanvasAgg(figure)
    assert not struck(figure)
    assert not overlaps(words_of(figure))


def test_a_line_through_a_word_is_found() -> None:
    figure = Figure()
    FigureCanvasAgg(figure)
    ax = figure.subplots()
    ax.axis("off")
    for i, text in enumerate(["line", "arrow", "edge", "free"]):
        ax.text(0.5, 0.2 * i + 0.1, text)
    ax.plot([0.0, 1.0], [0.11, 0.11])
    ax.annotate("", (0.0, 0.31), (1.0, 0.31), arrowprops={"arrowstyle": "-|>"})
    ax.add_patch(draw.Circle((0.5, 0.01), 0.5, fill=False))
    assert struck(figure) == {"line", "arrow", "edge"}
