"""`shimwise curves`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click
import numpy as np
from rich.text import Text

from shimwise import plots
from shimwise.cli.shared import (
    car_of,
    console,
    corner_option,
    json_option,
    plot_option,
    print_origin,
    settings_option,
    write_json,
    write_plot,
)
from shimwise.data_of import data_of, origin
from shimwise.views import curves as curve_views
from shimwise.views.pieces import bullet

if TYPE_CHECKING:
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

    from shimwise.car import Car


__all__ = ["curves"]

_MOST = 1001  # values of one range
_FAR_MM = 10_000.0


class Range(click.ParamType):  # type: ignore[type-arg]
    """ "-30:30" or "-30:30:2.5": from, to and step in mm; or one number."""

    name = "range"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> NDArray[np.float64]:
        if isinstance(value, np.ndarray):
            return value
        try:
            numbers = [float(part) for part in str(value).split(":")]
        except ValueError:
            numbers = []
        if len(numbers) == 1 and abs(numbers[0]) <= _FAR_MM:
            return np.array(numbers)
        if len(numbers) not in (2, 3) or not np.isfinite(numbers).all():
            self.fail(f"{value!r}: needs mm as FROM:TO or FROM:TO:STEP, such as -30:30:5", param, ctx)
        low, high, step = (*numbers, (numbers[1] - numbers[0]) / 12)[:3]
        if not (step > 0.0 and high > low):
            self.fail(f"{value!r}: needs FROM below TO and a STEP above 0", param, ctx)
        if not max(abs(low), abs(high)) <= _FAR_MM:
            self.fail(f"{value!r}: goes beyond {_FAR_MM:.0f} mm", param, ctx)
        steps = (high - low) / step + 1e-9
        if not steps < _MOST:
            self.fail(f"{value!r}: makes more than {_MOST} values", param, ctx)
        return np.asarray(low + step * np.arange(int(steps) + 1), dtype=np.float64)


@click.command()
@click.argument("car", metavar="CAR")
@corner_option
@click.option("--travel", type=Range(), default="-30:30:5", show_default=True, help="Wheel travel, mm: FROM:TO:STEP.")
@click.option("--rack", type=Range(), help="Rack travel, mm: FROM:TO:STEP; shows the steering too.")
@click.option(
    "--outputs",
    metavar="NAMES",
    callback=lambda _context, _option, names: names and [name.strip() for name in names.split(",")],
    help="Only these, such as toe,roll_centre_height.",
)
@plot_option
@settings_option
@json_option
def curves(
    car: str,
    corner: str | None,
    travel: NDArray[np.float64],
    rack: NDArray[np.float64] | None,
    outputs: list[str] | None,
    plot: str | None,
    settings: str | None,
    as_json: bool,
) -> None:
    """Print every corner over wheel travel; with --rack the front over rack travel too, beside Ackermann's rule.

    --outputs prints and draws what it names alone, without the steering. Names are those of docs/conventions.md.
    """
    model, inputs = car_of(car, settings)
    names = [corner] if corner else list(model.corners)
    over_travel = {name: _over(model, name, outputs, travel_mm=travel) for name in names}
    over_rack: dict[str, dict[str, Any]] = {}
    steering: dict[str, Any] | None = None
    if rack is not None:
        over_rack = {name: _over(model, name, outputs, rack_mm=rack) for name in names if model.corners[name].steered}
    if rack is not None and outputs is None:
        steering = {"rack_mm": rack} | model.steering_columns(rack, np.zeros_like(rack))
    what = model.corners[corner] if corner else model

    def drawn() -> Figure:
        return plots.curves(what, travel_mm=travel, rack_mm=rack, outputs=outputs)

    if as_json:
        warned = write_plot(drawn, plot, inputs) if plot else []
        content: dict[str, Any] = {"car": model.name, "frame": "chassis", "over_travel": data_of(over_travel)}
        if warned:
            content |= {"notes": warned}
        if rack is not None:
            content |= {"over_rack": data_of(over_rack)}
        if steering is not None:
            content |= {"steering": data_of(steering)}
        write_json(content | ({"plot": plot} if plot else {}) | origin(*inputs))
        return
    out = console()
    for over, found in (("travel_mm", over_travel), ("rack_mm", over_rack)):
        for name, columns in found.items():
            out.print(curve_views.curves_view(name, columns, over, every=outputs is not None))
            out.print()
    if outputs is None:
        out.print(Text(curve_views.CURVE_SIGNS))
    else:
        for line in curve_views.sign_lines(over_travel[names[0]]):
            out.print(bullet("-", line))
    if steering is not None:
        out.print()
        out.print(curve_views.steering_view(steering))
        out.print(Text(curve_views.STEERING_SIGNS))
    if outputs is None and (why := model.corners[names[0]].left_out.get("wheel_rate_N_per_mm")):
        out.print(Text(f"No wheel rates: {why}."))
    if plot:
        warned = write_plot(drawn, plot, inputs)
        out.print(f"{plot}: these curves{'' if outputs else ' and more'}, drawn\n", markup=False)
        for warning in warned:
            out.print(bullet("!", warning))
    print_origin(out, inputs)


def _over(car: Car, corner: str, outputs: list[str] | None, **states: NDArray[np.float64]) -> dict[str, Any]:
    """Curves of a corner over the one argument given, the other being 0."""
    (values,) = states.values()
    both = {"travel_mm": np.zeros_like(values), "rack_mm": np.zeros_like(values)} | states
    return states | car.corners[corner].curve_columns(both["travel_mm"], both["rack_mm"], outputs)
