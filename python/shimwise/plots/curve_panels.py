"""Curves over travel and over rack as small panels: what a Dataset has is drawn, what it lacks is left out."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
from matplotlib.lines import Line2D

from shimwise import _core
from shimwise.plots.picture import Picture, put_title
from shimwise.words import spoken

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    import xarray as xr
    from matplotlib.axes import Axes
    from numpy.typing import NDArray

    Curves = Mapping[str, xr.Dataset]  # by what the line is called: a corner, an axle

__all__ = ["PANELS", "Panel", "curve_panels"]


class Panel(NamedTuple):
    title: str
    variables: tuple[str, ...]  # of several Datasets only the first one found is drawn, unless each has its own panel


PANELS = (
    Panel("toe", ("toe_deg",)),
    Panel("bump steer", ("bump_steer_deg_per_mm",)),
    Panel("camber", ("camber_deg", "inclination_deg")),
    Panel("camber gain", ("camber_gain_deg_per_mm",)),
    Panel("caster", ("caster_deg",)),
    Panel("trail", ("trail_mm", "trail_as_it_runs_mm")),
    Panel("kingpin inclination", ("kingpin_inclination_deg",)),
    Panel("scrub", ("scrub_mm", "scrub_as_it_runs_mm")),
    Panel("half track", ("half_track_mm",)),
    Panel("contact path, x", ("contact_x_mm",)),
    Panel("wheelbase change", ("wheelbase_change_mm",)),
    Panel("chassis height", ("chassis_height_mm",)),
    Panel("roll centre height", ("roll_centre_height_mm", "roll_centre_height_as_it_runs_mm")),
    Panel("instant axis, x of its nearest point", ("instant_axis_x_mm",)),
    Panel("instant axis, y", ("instant_axis_y_mm",)),
    Panel("instant axis, z", ("instant_axis_z_mm",)),
    Panel("instant axis, direction along x", ("instant_axis_along_x",)),
    Panel("instant axis, direction along y", ("instant_axis_along_y",)),
    Panel("instant axis, direction along z", ("instant_axis_along_z",)),
    Panel("instant axis, pitch", ("instant_axis_pitch_mm_per_rad",)),
    Panel("motion ratio", ("motion_ratio",)),
    Panel("motion ratio gain", ("motion_ratio_gain_per_mm",)),
    Panel("spring length", ("spring_length_mm",)),
    Panel("spring load", ("spring_load_N", "rubber_load_N")),
    Panel(
        "wheel rate",
        (
            "wheel_rate_N_per_mm",
            "wheel_rate_spring_N_per_mm",
            "wheel_rate_rubber_N_per_mm",
            "wheel_rate_load_N_per_mm",
        ),
    ),
    Panel("steer from centre", ("left_deg", "right_deg")),
    Panel("outer wheel, and by Ackermann", ("outer_deg", "ideal_outer_deg")),
    Panel("Ackermann error", ("ackermann_error_deg",)),
)
_ALONG = {"travel_mm": "wheel travel, mm (+ = wheel up)", "rack_mm": "rack travel, mm (+ = to the left)"}
_NAMES = {info.column: spoken(info.name) for info in [*_core.output_list(), *_core.curve_list(), *_core.steer_list()]}
# a level line looks level
_LEAST_SPAN = {"deg": 0.02, "mm": 0.2, "deg/mm": 2e-4, "1": 0.002, "N": 2.0, "N/mm": 0.2, "1/mm": 2e-5, "mm/rad": 2.0}
_WIDE: dict[str, Any] = {"color": "0.72", "lw": 3.6, "zorder": 2.0}
_THIN: dict[str, Any] = {"color": "black", "lw": 1.1, "zorder": 2.5}
_CORNERS: dict[str, dict[str, Any]] = {
    "front_left": _WIDE | {"ls": "-"},
    "rear_left": _WIDE | {"ls": (0, (2.2, 1.2))},
    "front_right": _THIN | {"ls": "-"},
    "rear_right": _THIN | {"ls": (0, (7.2, 3.9))},
}
_STYLES: tuple[dict[str, Any], ...] = (  # the first is seen where another covers it
    _WIDE,
    _THIN,
    _THIN | {"ls": (0, (5, 2))},
    _THIN | {"ls": (0, (1, 1.4))},
)
# inches
_PANEL = (3.3, 2.6)
_LEFT, _RIGHT, _BOTTOM, _TOP = 0.62, 0.12, 0.4, 0.6
_HEADER, _FOOTER = 0.45, 0.35


def curve_panels(
    sections: Sequence[Curves], title: str, panels: Sequence[Panel] = PANELS, columns: int = 4, *, apart: bool = False
) -> Picture:
    """Draw sections below each other, each of Datasets over one dimension, `travel_mm` or `rack_mm`.

    Of several Datasets a panel draws its first variable; with `apart` each variable has a panel of its own.

    Raises:
        InputError: a Dataset has another dimension, or nothing that a panel shows.
    """
    found = [(curves, along_of(curves), _shown(curves, panels, apart)) for curves in sections]
    rows = [-(-len(shown) // columns) for _, _, shown in found]
    columns = min(columns, max(len(shown) for _, _, shown in found))
    height = _FOOTER + sum(rows) * _PANEL[1] + _HEADER
    figure = Picture(figsize=(columns * _PANEL[0], height))
    for i, (curves, along, shown) in enumerate(found):
        for k, (panel, variables) in enumerate(shown):
            x, y = k % columns * _PANEL[0], height - _HEADER - (sum(rows[:i]) + k // columns + 1) * _PANEL[1]
            size = (_PANEL[0] - _LEFT - _RIGHT, _PANEL[1] - _BOTTOM - _TOP)
            box = np.array([x + _LEFT, y + _BOTTOM, *size]) / ([*figure.get_size_inches()] * 2)
            _draw_panel(figure.add_axes(tuple(box), gid=f"{along} {panel.title}"), panel, variables, curves, along)
    put_title(figure, title)
    every = {name: None for section in sections if len(section) > 1 for name in section}
    if len(every) > 1:
        handles = [Line2D([], [], label=spoken(name), **_style(name, i)) for i, name in enumerate(every)]
        figure.legend(handles=handles, loc="lower left", ncols=len(every), fontsize=8, frameon=False, handlelength=4.0)
    return figure


def along_of(curves: Curves) -> str:
    """The one dimension that Datasets run along."""
    dims = {tuple(map(str, data.dims)) for data in curves.values()}
    if len(dims) != 1 or next(iter(dims)) not in {(along,) for along in _ALONG}:
        raise _core.InputError(f"curves run along travel_mm or rack_mm alone, not {sorted(map(list, dims))}")
    return next(iter(dims))[0]


def _shown(curves: Curves, panels: Sequence[Panel], apart: bool) -> list[tuple[Panel, list[str]]]:
    """Panels with those of their variables that every Dataset has, named by what they show."""
    shown = []
    for panel in panels:
        variables = [name for name in panel.variables if all(name in data for data in curves.values())]
        of_one = [variables] if len(curves) == 1 else [[name] for name in (variables if apart else variables[:1])]
        for group in filter(None, of_one):
            title = panel.title if group[0] == panel.variables[0] else _NAMES[group[0]]
            shown.append((panel._replace(title=title), group))
    if not shown:
        raise _core.InputError("nothing to draw: the Dataset has none of the variables that a panel shows")
    return shown


def _draw_panel(ax: Axes, panel: Panel, variables: list[str], curves: Curves, along: str) -> None:
    first = next(iter(curves.values()))[variables[0]]
    unit = str(first.attrs.get("units", ""))
    ax.axhline(0.0, color="0.6", lw=0.7, zorder=0)
    ax.axvline(0.0, color="0.6", lw=0.7, zorder=0)
    several = len(variables) > 1
    for i, (name, data) in enumerate(curves.items()):
        for k, variable in enumerate(variables):
            style = _STYLES[k] if several else _style(name, i) if len(curves) > 1 else _THIN
            ax.plot(data[along], data[variable], label=variable if several else name, **style)
    values = np.concatenate([np.ravel(data[variable]) for data in curves.values() for variable in variables])
    if np.isfinite(values).any():  # an axis that is infinitely far away leaves a gap
        ax.set_ylim(_limits(values[np.isfinite(values)], _LEAST_SPAN.get(unit, 1e-6)))
    ax.set_xlim(float(first[along].min()), float(first[along].max()))
    if several:
        ax.legend(fontsize=6, frameon=False, handlelength=3.2)
    _label(ax, panel.title, unit, str(first.attrs.get("sign", "")), _ALONG[along])


def _style(name: str, i: int) -> dict[str, Any]:
    """The style of a line where each Dataset has one: by the corner, or by its place."""
    return _CORNERS.get(name, _STYLES[i % len(_STYLES)])


def _limits(values: NDArray[np.float64], least: float) -> tuple[float, float]:
    low, high = float(values.min()), float(values.max())
    half = max(1.12 * (high - low), least) / 2.0
    return (low + high) / 2.0 - half, (low + high) / 2.0 + half


def _label(ax: Axes, title: str, unit: str, sign: str, along: str) -> None:
    ax.set_title(f"{title}, {unit}" if unit not in ("", "1") else title, fontsize=8, loc="left", pad=25, weight="bold")
    words = "\n".join(textwrap.wrap(sign, 60)[:2])
    ax.annotate(words, (0.0, 1.0), (0, 22), "axes fraction", "offset points", va="top", fontsize=5.8, linespacing=1.1)
    ax.set_xlabel(along, fontsize=6.5, labelpad=1.5)
    ax.tick_params(labelsize=6.5, direction="in", length=2.5, width=0.5)
    ax.ticklabel_format(useOffset=False)
    ax.tick_params(axis="x", pad=6.0)  # clear of the lowest label of y
    ax.locator_params(nbins=6)
    ax.grid(visible=True, color="0.85", lw=0.4)
    ax.spines[:].set_linewidth(0.5)
