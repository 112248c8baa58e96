"""How a car at rest looks: text at 80 columns, corner by corner, then the whole car."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.console import Group
from rich.text import Text

from shimwise import _core
from shimwise.shown import view
from shimwise.standing.rest import Rest
from shimwise.views.output_words import DIGITS, INFOS
from shimwise.views.pieces import bullet, plain_table, signs
from shimwise.words import figure, printable, spoken

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.table import Table

    from shimwise.standing.stand import Stand

__all__ = ["bars_words", "rest_view", "stands_words"]

_GRAVITY_M_PER_S2 = 9.80665
_AXLES = ("front", "rear")
_LABEL_WIDTH, _NUMBER_WIDTH = 24, 12


@view.register(Rest)
def rest_view(rest: Rest) -> RenderableType:
    """What the car stands on, each corner, the whole car, and what has to be said."""
    parts: list[RenderableType] = [
        Text(f"{rest.stand.car.name} at rest, ground frame, {rest.chassis_words}", style="bold"),
        Text(_stands_on(rest)),
        Text(),
        _by_corner(rest),
        Text(),
        _whole_car(rest),
    ]
    words = signs(("toe", "camber", "caster", "thrust angle"))
    words += " A camber gauge reads inclination to plumb; its own zero error is left out."
    if any(corner.to_shortest_mm is not None or corner.to_rubber_mm is not None for corner in rest.state.corners):
        words += " Room to a stop is counted at the damper."
    parts += [Text(), Text(words)]
    parts += [bullet("!", note) for note in _stops(rest)]
    if rest.chassis_is_rigid:
        parts.append(bullet("!", _core.RIGID_CHASSIS_WORDS))
    return Group(*parts)


def stands_words(stand: Stand) -> str:
    """What a car stands on, where its rack is and what is in it: "on setup wheels, pads level, ..."."""
    return ", ".join(
        [
            "on its tyres" if stand.on_tyres else "on setup wheels",
            _pads(stand),
            *([] if stand.rack_mm is None else [_rack(stand.rack_mm)]),
            *(f"{printable(name)} {kg:g} kg" for name, kg in stand.ballast_kg.items()),
        ]
    )


def _pads(stand: Stand) -> str:
    pads = [f"{spoken(name)} {mm:+g}" for name, mm in stand.pads_mm.items() if mm]
    return f"pads {', '.join(pads)} mm (+ = higher)" if pads else "pads level"


def _rack(rack_mm: float) -> str:
    if rack_mm == 0.0:
        return "rack at centre"
    return f"rack {abs(rack_mm):g} mm to the {'left' if rack_mm > 0.0 else 'right'}"


def _stands_on(rest: Rest) -> str:
    words = stands_words(rest.stand)
    told = [f"{words[0].upper()}{words[1:]}."]
    if any(rest.stand.pads_mm.values()):
        told.append("The ground is the best plane through the pads.")
    return " ".join([*told, bars_words(rest.stand)]).rstrip()


def bars_words(stand: Stand) -> str:
    """Which of the car's bars are on and which are off, as a sentence; empty where it has none."""
    bars = stand.car.bars
    on = [f"{axle} (blade {printable(how)})" if isinstance(how, str) else axle for axle, how in bars.items() if how]
    off = [axle for axle, how in bars.items() if not how]
    said = [f"{word}: {' and '.join(axles)}" for word, axles in (("on", on), ("off", off)) if axles]
    return f"Bars {'; '.join(said)}." if said else ""


def _by_corner(rest: Rest) -> Table:
    table = plain_table("By corner")
    table.add_column("", no_wrap=True, min_width=_LABEL_WIDTH)
    for name in _core.CornerId.__members__:
        table.add_column(spoken(name), justify="right", no_wrap=True, min_width=_NUMBER_WIDTH)
    corners = list(_core.CornerId.__members__)
    heights = rest.ride_heights_mm

    def row(label: str, what: str, digits: int) -> None:
        table.add_row(label, *(figure(rest.values[f"{c}.{what}"], digits) for c in corners))

    row("scale, kg", "weight_kg", 1)
    if any(c in heights for c in corners):
        table.add_row("ride height, mm", *(figure(heights.get(c), 2) for c in corners))
    row("toe, deg", "toe_deg", DIGITS["toe"])
    row("camber, deg", "camber_deg", DIGITS["camber"])
    row("camber gauge, deg", "inclination_to_plumb_deg", DIGITS["camber"])
    row("caster, deg", "caster_deg", DIGITS["caster"])
    row("spring, eye to eye, mm", "spring_length_mm", DIGITS["spring_length"])
    row("spring load, N", "spring_load_N", 0)
    if any(rest.values[f"{c}.rubber_load_N"] for c in corners):
        row("bump rubber load, N", "rubber_load_N", 0)
    for label, rooms in _rooms(rest.state.corners).items():
        if any(rooms):
            table.add_row(label, *rooms)
    return table


def _rooms(corners: list[_core.RestCorner]) -> dict[str, list[str]]:
    """How far from each stop; nothing where the file gives none."""
    return {
        "to bump rubber, mm": [_to_rubber(c.to_rubber_mm) for c in corners],
        "to damper closed, mm": [figure(c.to_shortest_mm, 1) for c in corners],
        "to droop stop, mm": ["ON IT" if c.on_droop_stop else figure(c.to_droop_stop_mm, 1) for c in corners],
    }


def _to_rubber(room_mm: float | None) -> str:
    if room_mm is not None and room_mm < 0.0:
        return f"{-room_mm:.1f} squeezed"
    return figure(room_mm, 1)


def _whole_car(rest: Rest) -> Table:
    table = plain_table("Whole car")
    table.show_header = False
    table.add_column(no_wrap=True, min_width=_LABEL_WIDTH)
    table.add_column(justify="right", no_wrap=True, min_width=_NUMBER_WIDTH)
    table.add_column()
    for row in _car_rows(rest):
        table.add_row(*row)
    return table


def _car_rows(rest: Rest) -> list[tuple[str, str, str]]:
    v = rest.values
    rows = [
        ("total", figure(rest.total_kg, 1, "kg"), ""),
        ("cross weight", figure(rest.cross_weight_percent, 2, "%"), INFOS["cross_weight"].in_words),
        ("front share", figure(rest.front_share_percent, 2, "%"), INFOS["front_share"].in_words),
        ("left share", figure(rest.left_share_percent, 2, "%"), INFOS["left_share"].in_words),
        ("front difference", *_sided(rest.front_difference_kg, 1, "front_difference")),
        ("rear difference", *_sided(rest.rear_difference_kg, 1, "rear_difference")),
    ]
    if rest.rake_mm is not None:
        size, way = _sided(rest.rake_mm, 2, "rake")
        rows.append(("rake", size, f"{way}, {figure(rest.rake_deg, 3, 'deg')}"))
    rows += [
        (f"ride height {printable(name)}", figure(mm, 2, "mm"), "")
        for name, mm in rest.ride_heights_mm.items()
        if name not in _core.CornerId.__members__
    ]
    rows += [
        ("total toe front", figure(v["total_toe_front_deg"], 3, "deg"), ""),
        ("total toe rear", figure(v["total_toe_rear_deg"], 3, "deg"), ""),
        ("thrust angle", figure(v["thrust_angle_deg"], 3, "deg"), ""),
        ("chassis origin", figure(rest.height_mm, 2, "mm"), "over the ground"),
        ("pitch", *_sided(rest.pitch_deg, 3, "pitch")),
        ("roll", *_sided(rest.roll_deg, 3, "roll")),
    ]
    if rest.twist_deg is not None:
        rows.append(("twist", *_sided(rest.twist_deg, 3, "twist")))
    return rows + _coupled(rest)


def _coupled(rest: Rest) -> list[tuple[str, str, str]]:
    """Bars and third springs, as far as the car has them."""
    rows = []
    for axle, bar in zip(_AXLES, rest.stand.car.core.bars, strict=True):
        torque = rest.bar_torques_Nm.get(axle)
        if torque is not None:
            rows.append((f"{axle} bar", figure(torque, 1, "Nm", sign=True), INFOS[f"{axle}_bar_torque"].in_words))
        elif bar is not None:
            rows.append((f"{axle} bar", "off", ""))
        if axle in rest.third_loads_N:
            load = rest.third_loads_N[axle]
            rows.append((f"{axle} third spring", figure(load, 0, "N"), "" if load else "free"))
    return rows


def _sided(value: float, digits: int, name: str) -> tuple[str, str]:
    """A size and its side: a plain sign is never shown alone."""
    shown, info = round(value, digits), INFOS[name]
    return figure(abs(shown), digits, info.unit), info.plus if shown > 0.0 else info.minus if shown < 0.0 else ""


def _stops(rest: Rest) -> list[str]:
    return [
        _stop(name, corner)
        for name, corner in zip(_core.CornerId.__members__, rest.state.corners, strict=True)
        if corner.on_droop_stop
    ]


def _stop(name: str, corner: _core.RestCorner) -> str:
    missing = f"{corner.missing_N / _GRAVITY_M_PER_S2:.1f} kg ({corner.missing_N:.0f} N)"
    return (
        f"{spoken(name)}: the damper is ON ITS DROOP STOP, a rigid link that pulls with {corner.stop_pull_N:.0f} N. "
        f"The wheel carries {missing} less than its spring would have it; with that much more load it moves again."
    )
