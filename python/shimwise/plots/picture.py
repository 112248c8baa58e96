"""The sheet that is drawn on, and its way into a file. Needs Matplotlib."""

from __future__ import annotations

from io import BytesIO
from os import PathLike, fspath

import matplotlib as mpl
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from shimwise import _core
from shimwise.plots.ending import ending_of

__all__ = ["Picture", "put_title", "save"]

_UNDATED: dict[str, dict[str, None]] = {"png": {}, "pdf": {"CreationDate": None}, "svg": {"Date": None}}


class Picture(Figure):
    """A figure that shows itself in a notebook and leaves Matplotlib's global state alone."""

    def _repr_png_(self) -> bytes:
        return _bytes_of(self, "png")


def put_title(figure: Picture, words: str) -> None:
    """Write a title at the head, smaller where it would be wider than the picture, and cut where it is still."""
    width, height = figure.get_size_inches()
    title = figure.text(0.15 / width, 1.0 - 0.28 / height, words, fontsize=11.0, parse_math=False, gid="title")
    renderer = FigureCanvasAgg(figure).get_renderer()  # type: ignore[no-untyped-call]

    def room() -> float:
        """What there is of it, as a share of what it takes."""
        return float((width - 0.3) * figure.dpi / max(title.get_window_extent(renderer).width, 1.0))

    title.set_fontsize(min(11.0, max(6.0, 11.0 * room())))
    while room() < 1.0 and words:
        words = words[: int(len(words) * room())]
        title.set_text(words.rstrip() + " ...")


def save(figure: Figure, path: str | PathLike[str]) -> None:
    """Write a new file, never over an old one; the same figure gives the same bytes."""
    _core.write_new_file(fspath(path), _bytes_of(figure, ending_of(path)))


def _bytes_of(figure: Figure, kind: str) -> bytes:
    FigureCanvasAgg(figure)
    data = BytesIO()
    with mpl.rc_context({"svg.hashsalt": "shimwise"}):
        figure.savefig(data, format=kind, dpi=150, metadata=_UNDATED[kind])
    return data.getvalue()
