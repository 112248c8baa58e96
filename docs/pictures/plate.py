"""Pictures of what is done at the plate: rods, shims, strings, holds, the diagonal. Sizes are exaggerated."""

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Polygon, Rectangle
from pen import (
    BLUE,
    GREEN,
    GREY,
    INK,
    RED,
    arrow,
    both_ways,
    joint,
    link,
    pack,
    plain,
    slab,
    spring,
    turned,
    wheel,
    word,
)

Point = tuple[float, float]


def about(angle_deg: float, at: Point, centre: Point = (0.0, 0.0)) -> Point:
    x, y = turned(np.array(at[0] - centre[0]), np.array(at[1] - centre[1]), angle_deg, centre)
    return float(x), float(y)


def shim_and_toe(points: dict[str, np.ndarray]) -> Figure:
    """Why a camber shim moves toe, with the demo car's arms."""
    low, up, rod = (points[name] for name in ("lower_wishbone.outer", "upper_wishbone.outer", "track_rod.outer"))
    share = (rod[2] - low[2]) / (up[2] - low[2])
    arm_mm = rod[0] - (low[0] + share * (up[0] - low[0]))
    figure = Figure(figsize=(7.2, 3.9))
    behind, above = figure.subplots(1, 2)
    lean = 13.0

    plain(behind, "left wheel from behind: 1 mm more shim", (-3.0, 3.4), (-1.0, 4.4))
    top, held = (0.55, 3.2), (0.17, 1.0)
    for angle, color in ((0.0, GREY), (lean, INK)):
        wheel(behind, about(angle, (-1.3, 1.5)), angle, color)
        link(behind, (0, 0), about(angle, top), color, 2.4)
        link(behind, about(angle, (-1.3, 1.5)), about(angle, (0.26, 1.5)), color)
        joint(behind, about(angle, held), color)
    for at in ((0.0, 0.0), top):
        link(behind, at, (at[0] + 2.2, at[1] - 0.05))
        joint(behind, at, INK)
    moved = about(lean, top)
    both_ways(behind, (moved[0], top[1] + 0.45), (top[0], top[1] + 0.45))
    word(behind, (0.5 * (moved[0] + top[0]), 3.95), "1 mm", RED)
    pack(behind, (0.5 * (moved[0] + top[0]), moved[1]), (0.22, 0.22))
    word(behind, (1.85, 2.85), "upper joint", INK)
    word(behind, (1.85, 0.25), "lower joint", INK)
    word(behind, (0.45, 1.0), f"rod's joint: {share:.2f} mm", RED, ha="left")
    word(behind, (-2.1, 4.1), "top outboard", BLUE)
    word(behind, (-2.1, 3.75), "camber +", BLUE)

    plain(above, "from above: the rod holds its joint", (-3.0, 3.4), (-2.2, 3.2))
    at = (0.1, 1.6)
    shifted = about(lean, at)
    wheel(above, (-1.3, 0), 0.0, GREY)
    slab(above, about(-lean, (-1.3, 0)), (0.17, 1.2), -lean)
    link(above, (0, 0), shifted, GREY)
    link(above, (0, 0), at)
    link(above, at, (2.6, 1.6), GREEN)
    joint(above, (2.6, 1.6), GREEN, fixed=True)
    joint(above, shifted, GREY)
    joint(above, at)
    joint(above, (0, 0), BLUE)
    word(above, (0.25, -0.05), "steering axis", BLUE, ha="left")
    word(above, (1.6, 1.9), "rod, ahead of it", GREEN)
    arrow(above, (shifted[0], 2.0), (at[0] + 0.35, 2.0), RED)
    word(above, (0.1, 2.4), f"back by {share:.2f} mm", RED)
    word(above, (0.25, 0.75), f"arm {arm_mm:.0f} mm", INK, ha="left")
    word(above, (0.2, -1.2), f"toe-in: {share:.2f} mm / {arm_mm:.0f} mm", BLUE, ha="left")
    word(above, (0.2, -1.6), f"= {np.degrees(share / arm_mm):.2f} deg", BLUE, ha="left")
    return figure


def turning_rod(ax: Axes, title: str, ahead: float, says: str) -> None:
    """A left wheel from above that a longer rod turns, ahead of the steering axis (1) or behind it (-1)."""
    plain(ax, title, (-2.6, 3.2), (-2.0, 2.0))
    angle = 12.0 * ahead
    end = (0.0, 1.2 * ahead)
    wheel(ax, (-1.1, 0.0), 0.0, GREY)
    slab(ax, about(angle, (-1.1, 0.0)), (0.17, 1.2), angle)
    link(ax, (0, 0), end, GREY)
    link(ax, (0, 0), about(angle, end))
    link(ax, about(angle, end), (2.5, end[1]), GREEN)
    joint(ax, (2.5, end[1]), GREEN, fixed=True)
    joint(ax, about(angle, end))
    joint(ax, (0, 0), BLUE)
    arrow(ax, (1.0, end[1] + 0.3 * ahead), (0.1, end[1] + 0.3 * ahead), RED)
    word(ax, (1.15, end[1] + 0.3 * ahead), "longer", RED, ha="left")
    word(ax, (0.8, 0.0), says, BLUE, ha="left")


def leaning_wheel(ax: Axes, title: str, *, at_chassis: bool) -> None:
    """A left wheel from behind, whose top a thicker pack pushes out."""
    plain(ax, title, (-2.6, 3.2), (-0.6, 4.2))
    lean = 10.0
    wheel(ax, (-0.9, 1.4), 0.0, GREY)
    slab(ax, about(lean, (-0.9, 1.4)), (0.17, 1.2), lean)
    link(ax, (0, 0), about(lean, (0.2, 2.6)), INK, 2.4)
    link(ax, (0, 0), (2.3, 0.05))
    top = about(lean, (0.2, 2.6))
    if at_chassis:
        inner = (1.9, 2.7)
        link(ax, top, inner)
        pack(ax, (2.15, 2.7))
        joint(ax, inner)
        joint(ax, top)
        word(ax, (1.6, 2.1), "thicker", RED)
        arrow(ax, (1.2, 3.5), (0.3, 3.5), RED)
        word(ax, (1.35, 3.5), "pickups out", RED, ha="left")
    else:
        pack(ax, (top[0] + 0.15, top[1]))
        link(ax, (top[0] + 0.36, top[1]), (2.3, 2.7))
        joint(ax, (top[0] + 0.36, top[1]))
        word(ax, (1.1, 2.1), "thicker", RED)
        arrow(ax, (1.2, 3.5), (0.3, 3.5), RED)
        word(ax, (1.35, 3.5), "upright out", RED, ha="left")
    ax.add_patch(Rectangle((2.3, -0.2), 0.35, 3.3, fc="#eeeeee", ec=GREY))
    joint(ax, (0, 0))
    word(ax, (-1.3, 3.5), "camber +", BLUE)


def lifting_rod(ax: Axes, title: str, *, pull: bool) -> None:
    """A strut between wishbone and rocker, the spring's length held."""
    plain(ax, title, (-2.6, 3.2), (-0.8, 3.4))
    ax.plot([-2.4, 3.0], [-0.55, -0.55], color=GREEN, lw=1.2)
    slab(ax, (-1.7, 0.65), (0.17, 1.2), 0.0)
    for z in (0.15, 1.3):
        link(ax, (-1.5, z), (2.3, z + 0.1))
        joint(ax, (-1.5, z))
    ax.add_patch(Rectangle((2.3, -0.1), 0.35, 2.9, fc="#eeeeee", ec=GREY))
    pivot, inner, outer = ((1.5, 0.78), (1.2, 0.45), (-1.2, 1.28)) if pull else ((1.3, 2.2), (0.85, 2.3), (-1.2, 0.18))
    link(ax, outer, inner, RED, 2.0)
    joint(ax, outer, RED)
    joint(ax, inner, RED)
    eye = (pivot[0] + 0.05, pivot[1] + 0.42)
    ax.add_patch(Polygon([pivot, inner, eye], closed=True, fc="#dddddd", ec=INK))
    spring(ax, eye, (2.3, eye[1]))
    joint(ax, pivot, fixed=True)
    arrow(ax, (2.95, 2.0 if pull else 1.4), (2.95, 1.4 if pull else 2.0), BLUE)
    word(ax, (1.0, 3.1), "chassis down" if pull else "chassis up", BLUE, ha="left")
    word(ax, (-0.9, 2.2) if pull else (-0.7, 1.9), "longer", RED)


def ways() -> Figure:
    """Which way a rod and a shim go."""
    figure = Figure(figsize=(7.2, 7.6))
    panels = figure.subplots(3, 2)
    turning_rod(panels[0, 0], "track rod ahead of the axis, from above", 1.0, "toe-out")
    turning_rod(panels[0, 1], "toe link behind the axis, from above", -1.0, "toe-in")
    leaning_wheel(panels[1, 0], "shims at the upright, from behind", at_chassis=False)
    leaning_wheel(panels[1, 1], "shims under the inboard brackets", at_chassis=True)
    lifting_rod(panels[2, 0], "push rod, the spring's length held", pull=False)
    lifting_rod(panels[2, 1], "pull rod, the spring's length held", pull=True)
    return figure


def strings() -> Figure:
    """The car between its strings, and one wheel with its flags."""
    figure = Figure(figsize=(7.2, 3.4))
    car, flags = figure.subplots(1, 2, width_ratios=[1.25, 1.0])
    plain(car, "from above: strings as far from the centre line at both bars", (-3.3, 3.6), (-2.5, 2.5))
    car.plot([-2.6, 2.9], [0, 0], color=GREY, lw=0.7, ls=(0, (8, 3, 2, 3)))
    car.add_patch(Polygon([(2.1, 0.22), (2.1, -0.22), (0.6, -0.6), (-2.0, -0.6), (-2.0, 0.6), (0.6, 0.6)],
                          closed=True, fill=False, ec=GREY))  # fmt: skip
    for x, name in ((-2.6, "rear bar"), (2.6, "front bar")):
        link(car, (x, -1.7), (x, 1.7), INK, 1.2)
        word(car, (x, 1.95), name, INK)
        both_ways(car, (x + 0.22, 0.0), (x + 0.22, 1.55))
        both_ways(car, (x + 0.22, 0.0), (x + 0.22, -1.55))
    for y in (1.55, -1.55):
        link(car, (-2.6, y), (2.6, y), GREEN, 1.0)
        for x in (-1.5, 1.5):
            slab(car, (x, y * 0.75), (0.42, 0.08), 0.0)
    word(car, (0.0, 1.8), "string", GREEN)
    word(car, (0.0, -1.8), "string", GREEN)
    word(car, (-0.6, 0.25), "centre line", GREY)

    plain(flags, "one left wheel with its flags", (-2.9, 2.9), (-2.2, 2.0))
    link(flags, (-2.8, 1.2), (2.8, 1.2), GREEN, 1.2)
    word(flags, (-2.4, 1.45), "string", GREEN)
    toe = -9.0
    slab(flags, (0, 0), (1.3, 0.16), toe)
    ends = [about(toe, (side * 2.0, 0.0)) for side in (-1.0, 1.0)]
    for side, end in zip((-1.3, 1.3), ends, strict=True):
        link(flags, about(toe, (side, 0.0)), end, INK, 1.0)
        both_ways(flags, end, (end[0], 1.2))
    word(flags, (ends[0][0] - 0.12, 0.7), "rear", RED, ha="right")
    word(flags, (ends[1][0] - 0.12, 0.6), "front", RED, ha="right")
    both_ways(flags, about(toe, (-2.0, -0.7)), about(toe, (2.0, -0.7)), BLUE)
    word(flags, (-0.9, -1.0), "span", BLUE)
    word(flags, (0.0, -1.75), "sin(toe) = (front - rear) / span, toe-in +", INK)
    return figure


def corner_of(ax: Axes, title: str, *, solid: bool = False, fixed: bool = False) -> None:
    """A wheel on its pad, a link, a spring or a strut, and the chassis."""
    plain(ax, title, (-2.6, 3.4), (-1.5, 3.3))
    ax.add_patch(Rectangle((-2.2, -1.1), 1.4, 0.18, fc="#dfeee0", ec=GREEN))
    slab(ax, (-1.5, 0.28), (0.17, 1.2), 0.0)
    link(ax, (-1.33, 0.2), (1.6, 0.4))
    joint(ax, (1.6, 0.4), fixed=True)
    ax.add_patch(Rectangle((1.6, 0.05), 0.9, 2.3, fc="#eeeeee", ec=GREY, hatch="////" if fixed else ""))
    ends = ((0.0, 0.29), (1.6, 2.0))
    link(ax, *ends, GREEN, 3.0) if solid else spring(ax, *ends)


def holds() -> Figure:
    """What each hold keeps, when something at the corner is turned."""
    figure = Figure(figsize=(7.2, 5.6))
    (contact, centre), (length, rest) = figure.subplots(2, 2)
    corner_of(contact, "contact: height of the contact to the chassis", fixed=True)
    both_ways(contact, (-0.5, -0.92), (-0.5, 0.05), GREEN)
    contact.plot([-0.6, 1.6], [0.05, 0.05], color=GREEN, lw=0.7, ls=":")
    word(contact, (-0.35, -0.45), "stays", GREEN, ha="left")
    word(contact, (2.05, 2.7), "stays", GREEN)
    corner_of(centre, "wheel: height of the wheel centre to the chassis", fixed=True)
    both_ways(centre, (-0.7, 0.28), (-0.7, 2.35), GREEN)
    centre.plot([-1.5, -0.6], [0.28, 0.28], color=GREEN, lw=0.7, ls=":")
    centre.plot([-0.8, 1.6], [2.35, 2.35], color=GREEN, lw=0.7, ls=":")
    word(centre, (-0.55, 1.5), "stays", GREEN, ha="left")
    word(centre, (2.05, 2.7), "stays", GREEN)
    corner_of(length, "spring: length of the spring, as with a solid strut", solid=True)
    word(length, (0.3, 1.7), "stays", GREEN)
    arrow(length, (2.8, 0.8), (2.8, 1.7), BLUE)
    word(length, (2.05, 2.7), "comes up or down", BLUE)
    corner_of(rest, "rest: the pads and what all parts weigh")
    arrow(rest, (2.05, 1.9), (2.05, 0.6), GREEN)
    word(rest, (-0.6, -1.02), "stays", GREEN, ha="left")
    word(rest, (2.3, -0.3), "stays", GREEN)
    word(rest, (1.2, 2.75), "the car settles anew, all four corners", BLUE)
    return figure


def diagonal() -> Figure:
    """What one longer push rod does to the four scales."""
    figure = Figure(figsize=(7.2, 3.4))
    ax = figure.subplots()
    plain(ax, "the front left push rod made longer, from above", (-4.8, 4.8), (-2.3, 2.3))
    ax.add_patch(Polygon([(2.6, 0.3), (2.6, -0.3), (0.8, -0.7), (-2.6, -0.7), (-2.6, 0.7), (0.8, 0.7)],
                         closed=True, fill=False, ec=GREY))  # fmt: skip
    for x, y, name, sign in ((1.9, 1.4, "FL", 1), (1.9, -1.4, "FR", -1), (-1.9, 1.4, "RL", -1), (-1.9, -1.4, "RR", 1)):
        slab(ax, (x, y), (0.6, 0.16), 0.0, GREEN if sign > 0 else RED)
        words = f"{name}: more" if sign > 0 else f"{name}: less"
        word(ax, (x, y + (0.5 if y > 0 else -0.5)), words, GREEN if sign > 0 else RED, fontsize=9)
    ax.plot([1.5, -1.5], [-1.2, 1.2], color=RED, lw=1.2, ls="--")
    ax.plot([1.5, -1.5], [1.2, -1.2], color=GREEN, lw=1.2, ls="--")
    word(ax, (3.9, 0.25), "cross weight", RED)
    word(ax, (3.9, -0.1), "(FR + RL) / total", RED)
    word(ax, (3.9, -0.45), "falls", RED)
    word(ax, (-4.0, 0.1), "total, front and", INK)
    word(ax, (-4.0, -0.25), "left share stay", INK)
    arrow(ax, (3.3, 1.4), (2.7, 1.4), BLUE)
    word(ax, (3.4, 1.4), "this rod longer", BLUE, ha="left")
    return figure
