"""`shimwise check`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from shimwise import plots
from shimwise.cli.shared import (
    beside_of,
    car_of,
    console,
    invented_notes,
    json_option,
    plot_option,
    print_origin,
    settings_option,
    write_json,
    write_plot,
)
from shimwise.data_of import origin
from shimwise.views import effects as effect_views
from shimwise.views.pieces import bullet, doubt_lines

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = ["check"]


@click.command()
@click.argument("car", metavar="CAR")
@plot_option
@settings_option
@json_option
def check(car: str, plot: str | None, settings: str | None, as_json: bool) -> None:
    """Check a car file, and say what one step of every adjuster does.

    --plot draws each corner from the front, from the side and from above: a mistyped point is seen there.
    """
    model, inputs = car_of(car, settings)
    lines = effect_views.check_lines(model)
    stands = effect_views.set_lines(model)
    notes = invented_notes(inputs)
    doubts = [doubt.text for doubt in beside_of(model, settings)] + model.doubts

    def drawn() -> Figure:
        """With what must not be overlooked in its lower left corner, where it comes from being in the right one."""
        figure = plots.geometry(model)
        said = ["doubtful: shimwise check says why"] * bool(doubts) + ["with lines that say INVENTED"] * bool(notes)
        width, height = figure.get_size_inches()
        figure.text(0.15 / width, 0.06 / height, "; ".join(said), fontsize=7, weight="bold", gid="said")
        return figure

    if as_json:
        if plot:
            notes += write_plot(drawn, plot, inputs)
        write_json(
            ({"doubts": doubts} if doubts else {})
            | {"car": model.name, "as_set": stands, "one_step": lines, "notes": notes}
            | ({"plot": plot} if plot else {})
            | origin(*inputs)
        )
        return
    out = console()
    for line in doubt_lines(doubts):
        out.print(line)
    out.print(f"{model.name}: {'doubtful' if doubts else 'nothing wrong found'}. As set, chassis frame:")
    for line in stands:
        out.print(bullet("-", line))
    out.print("What one step does, contact held:")
    for line in lines:
        out.print(bullet("-", line))
    for note in notes:
        out.print(bullet("!", note))
    if plot:
        warned = write_plot(drawn, plot, inputs)
        out.print(f"\n{plot}: each corner from the front, from the side and from above", markup=False)
        for warning in warned:
            out.print(bullet("!", warning))
    print_origin(out, inputs)
