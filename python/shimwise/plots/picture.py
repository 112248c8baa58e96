"""The sheet that is drawn on, and its way into a file. Needs Matplotlib."""

from __future__ import annotations

from io import BytesIO
from os import PathLike, fspath

import matplotlib as mpl
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from shimwise import _core
from shimwise.plots.ending import ending_of

__all__ = ["Picture", "save"]

_UNDATED: dict[str, dict[str, None]] = {"png": {}, "pdf": {"CreationDate": None}, "svg": {"Date": None}}


class Picture(Figure):
    """A figure that shows itself in a notebook and leaves Matplotlib's global state alone."""

    def _repr_png_(self) -> bytes:
        return _bytes_of(self, "png")


def save(figure: Figure, path: str | PathLike[str]) -> None:
    """Write a new file, never over an old one; the same figure gives the same bytes."""
    _core.write_new_file(fspath(path), _bytes_of(figure, ending_of(path)))


def _bytes_of(figure: Figure, kind: str) -> bytes:
    FigureCanvasAgg(figure)
    data = BytesIO()
    with mpl.rc_context({"svg.hashsalt": "shimwise"}):
        figure.savefig(data, format=kind, dpi=150, metadata=_UNDATED[kind])
    return data.getvalue()
