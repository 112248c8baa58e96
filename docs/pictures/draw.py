"""Draws the pictures of docs/: `python docs/pictures/draw.py [FOLDER]` writes every SVG, beside this file by default.

Points are those of the demo car. Same input, same bytes: no date, no random name, text kept as text.
"""

import itertools
import sys
import tomllib
from collections.abc import Callable
from pathlib import Path

import matplotlib as mpl
import numpy as np
import plate
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Arc, Circle, Ellipse, Polygon, Rectangle
from pen import BLUE, GREEN, GREY, INK, RED, arrow, axes_of, both_ways, plain, slab, turned

import shimwise as sw

HERE = Path(__file__).resolve().parent
DEMO_CAR = HERE.parents[1] / "python/shimwise/data/wren.toml"


def frames() -> Figure:
    figure = Figure(figsize=(7.2, 3.0))
    above, side = figure.subplots(1, 2)
    plain(above, "from above", (-3100, 900), (-1250, 1250))
    above.add_patch(Polygon([(300, 120), (300, -120), (-900, -330), (-2500, -330), (-2500, 330), (-900, 330)],
                            closed=True, fill=False, ec=GREY))  # fmt: skip
    for x, y, name in ((0, 640, "FL"), (0, -640, "FR"), (-2345, 630, "RL"), (-2345, -630, "RR")):
        above.add_patch(Rectangle((x - 255, y - 60), 510, 120, fill=False, ec=INK))
        above.text(x, y + (230 if y > 0 else -230), name, ha="center", va="center", fontsize=8, color=INK)
    above.plot([-2700, 500], [0, 0], color=GREY, lw=0.7, ls=(0, (8, 3, 2, 3)))
    arrow(above, (0, 0), (750, 0), BLUE)
    arrow(above, (0, 0), (0, 480), BLUE)
    above.text(790, -290, "x forward", color=BLUE, fontsize=8, ha="right")
    above.text(60, 330, "y left", color=BLUE, fontsize=8)
    above.plot([0], [0], "o", color=BLUE, ms=4)

    plain(side, "from the right", (-3100, 900), (-900, 1600))
    side.plot([400, 400, -900, -2500, -2500, 400], [0, 220, 640, 420, 0, 0], color=GREY, lw=1)
    for x, z, radius in ((0, 225, 255), (-2345, 223, 265)):
        side.add_patch(Circle((x, z), radius, fill=False, ec=INK))
    side.plot([-2900, 700], [-42 - 12.0 / 2345 * 2900, -30 + 12.0 / 2345 * 700], color=GREEN, lw=1.2)
    side.text(-2900, -200, "ground", color=GREEN, fontsize=8)
    side.plot([-2700, 700], [0, 0], color=BLUE, lw=0.7, ls="--")
    side.text(-1170, 60, "z = 0 of the floor", color=BLUE, fontsize=7, ha="center")
    arrow(side, (0, 0), (0, 900), BLUE)
    arrow(side, (0, 0), (750, 0), BLUE)
    side.text(60, 880, "z up", color=BLUE, fontsize=8)
    side.text(560, 60, "x", color=BLUE, fontsize=8)
    side.plot([0], [0], "o", color=BLUE, ms=4)
    return figure


def steering_axis(ax: Axes, across: float, lean: float) -> None:
    """With its two joints, and how far it meets the ground from the contact at 0."""
    z = np.array([-1.1, -0.45, 0.55, 1.4])
    x = across + lean * z
    ax.plot(x, z, color=BLUE, lw=1.4)
    ax.plot(x[1:3], z[1:3], "o", color=BLUE, ms=4)
    both_ways(ax, (0, -1.3), (x[0], -1.3))
    for at in (0, x[0]):
        ax.plot([at, at], [-1.1, -1.35], color=RED, lw=0.7)


def signs() -> Figure:
    figure = Figure(figsize=(7.2, 5.2))
    toe, camber, caster, king = figure.subplots(2, 2).flat
    angle = 14.0

    plain(toe, "toe of the left wheel, from above", (-1.5, 2.6), (-1.6, 1.9))
    toe.axvline(2.2, color=GREY, lw=0.7, ls=(0, (8, 3, 2, 3)))
    toe.text(2.1, -1.5, "centre line", color=GREY, fontsize=7, ha="right")
    slab(toe, (0, 0), (0.16, 1.1), -angle)
    toe.plot([0, 0], [-1.4, 1.6], color=GREY, lw=0.7)
    toe.add_patch(Arc((0, 0), 2.7, 2.7, theta1=90 - angle, theta2=90, color=RED))
    toe.text(0.2, 1.45, "+ toe-in", color=RED, fontsize=8)
    axes_of(toe, (1.6, -0.6), "<y", "x", 0.6)

    plain(camber, "camber of the left wheel, from behind", (-1.9, 2.2), (-1.5, 2.0))
    slab(camber, (0, 0), (0.16, 1.1), angle)
    edge_x, edge_z = turned(np.array(-0.16), np.array(-1.1), angle, (0, 0))
    camber.plot(edge_x, edge_z, "o", color=GREEN, ms=5)
    camber.plot([0, 0], [-1.2, 1.6], color=GREY, lw=0.7)
    camber.add_patch(Arc((0, 0), 2.7, 2.7, theta1=90, theta2=90 + angle, color=RED))
    camber.text(-0.3, 1.45, "+ top outboard", color=RED, fontsize=8, ha="right")
    camber.plot([-1.6, 2.0], [edge_z, edge_z], color=GREEN, lw=1.2)
    camber.text(0.5, -1.0, "contact: lowest edge", color=GREEN, fontsize=7)
    axes_of(camber, (1.9, 0.3), "<y", "z", 0.6)

    plain(caster, "caster and trail, from the left", (-2.2, 2.2), (-1.6, 1.9))
    caster.add_patch(Circle((0, 0), 1.1, fill=False, ec=INK, lw=1.4))
    caster.plot([-1.9, 1.9], [-1.1, -1.1], color=GREEN, lw=1.2)
    lean = np.tan(np.radians(angle))
    steering_axis(caster, -0.35, lean)
    caster.text(0.0, 1.5, "+ top rearward", color=RED, fontsize=8, ha="center")
    caster.text(0.1, -1.42, "+ trail: the axis meets the ground ahead", color=RED, fontsize=7, va="center")
    axes_of(caster, (-1.3, 1.1), "<x", "z", 0.5)

    plain(king, "kingpin inclination and scrub, left wheel from behind", (-1.9, 2.4), (-1.6, 1.9))
    slab(king, (0, 0), (0.16, 1.1), 0.0)
    king.plot([-1.6, 2.2], [-1.1, -1.1], color=GREEN, lw=1.2)
    steering_axis(king, 0.62, lean)
    king.text(0.95, 1.5, "+ top inboard", color=RED, fontsize=8, ha="center")
    king.text(0.45, -1.42, "+ scrub: contact outboard of the axis", color=RED, fontsize=7, va="center")
    axes_of(king, (2.1, 0.3), "<y", "z", 0.6)
    return figure


def meet() -> Figure:
    """The point of a circle at a given distance from p, seen along the circle's axis and across it."""
    figure = Figure(figsize=(7.2, 3.6))
    face, edge = figure.subplots(1, 2)
    radius, q_along, r, distance = 2.0, 1.1, 3.2, 2.4
    k = (radius**2 + r**2 + q_along**2 - distance**2) / 2
    foot = k / r
    root = np.sqrt(radius**2 - foot**2)

    plain(face, "along the axis: two candidates, one side is the drawn one", (-2.6, 4.2), (-2.7, 2.7))
    face.add_patch(Circle((0, 0), radius, fill=False, ec=INK, lw=1.3))
    face.plot([0], [0], "o", color=INK, ms=4)
    face.text(-0.15, -0.35, "centre", fontsize=8, color=INK, ha="right")
    face.plot([r], [0], "o", color=BLUE, ms=5)
    face.text(r + 0.15, -0.1, "p", fontsize=9, color=BLUE)
    arrow(face, (0, 0), (r, 0), BLUE)
    face.text(1.0, -0.35, "r", fontsize=9, color=BLUE)
    for side, color in ((1, RED), (-1, GREY)):
        at = (foot, side * root)
        arrow(face, (0, 0), at, color)
        face.plot([at[0], r], [at[1], 0], color=color, lw=1.0, ls="-" if side > 0 else ":")
        face.plot([at[0]], [at[1]], "o", color=color, ms=5)
    face.text(0.55, 0.95, "w", fontsize=9, color=RED)
    face.plot([foot, foot], [-root, root], color=GREEN, lw=0.9, ls="--")
    face.text(foot - 0.08, 0.3, "k/|r|", fontsize=8, color=GREEN, ha="right")
    face.text((foot + r) / 2 + 0.1, root / 2 + 0.15, "distance", fontsize=8, color=RED)

    plain(edge, "across the axis", (-1.2, 4.4), (-2.2, 2.6))
    edge.plot([0, 0], [-1.6, 2.2], color=GREY, lw=0.8, ls=(0, (8, 3, 2, 3)))
    edge.text(0.08, 2.15, "axis", fontsize=8, color=GREY)
    edge.plot([-0.9, 2.0], [0, 0], color=INK, lw=1.3)
    edge.text(0.1, -0.35, "plane of the circle", fontsize=8, color=INK)
    arrow(edge, (0, 0), (r, 0), BLUE)
    edge.text(2.5, -0.35, "r", fontsize=9, color=BLUE)
    arrow(edge, (0, 0), (r, q_along), INK)
    edge.text(0.5, 1.05, "q = p - centre", fontsize=8, color=INK)
    edge.plot([r, r], [0, q_along], color=GREY, lw=0.9, ls="--")
    edge.plot([r], [q_along], "o", color=BLUE, ms=5)
    edge.text(r + 0.1, q_along, "p", fontsize=9, color=BLUE)
    edge.text(r + 0.1, 0.4, "q . axis", fontsize=8, color=GREY)
    return figure


def drawn_points() -> dict[str, np.ndarray]:
    """Points of the demo car's front left corner."""
    corner = tomllib.loads(DEMO_CAR.read_text())["front_left"]
    points = {}
    for part in ("upper_wishbone", "lower_wishbone", "track_rod", "pushrod", "rocker", "spring", "wheel"):
        for end, value in corner[part].items():
            if isinstance(value, list) and end not in ("axis_direction", "drop_link"):
                points[f"{part}.{end}"] = np.array(value)
    return points


def corner() -> Figure:
    """The demo car's front left corner from behind and from above, numbered in the order in which it is placed."""
    p = drawn_points()
    figure = Figure(figsize=(7.2, 4.6))
    behind, above = figure.subplots(1, 2, width_ratios=[1.35, 1.0])
    views = ((behind, (1, 2), "from behind (y to the left, z up)"), (above, (1, 0), "from above (y to the left, x up)"))
    links = [
        *(
            (f"{arm}.{end}", f"{arm}.outer", INK)
            for arm in ("upper_wishbone", "lower_wishbone")
            for end in ("front", "rear")
        ),
        ("lower_wishbone.outer", "upper_wishbone.outer", BLUE),
        ("track_rod.outer", "lower_wishbone.outer", BLUE),
        ("track_rod.inner", "track_rod.outer", GREEN),
        ("pushrod.outer", "pushrod.inner", RED),
        ("rocker.axis_point", "pushrod.inner", RED),
        ("rocker.axis_point", "rocker.spring", RED),
        ("rocker.spring", "spring.chassis", GREY),
    ]
    numbers = {"lower_wishbone.outer": "1", "upper_wishbone.outer": "2", "track_rod.outer": "3", "wheel.centre": "4",
               "pushrod.outer": "5", "pushrod.inner": "6", "rocker.spring": "7"}  # fmt: skip
    for ax, (right, up), title in views:
        for a, b, color in links:
            ax.plot([-p[a][right], -p[b][right]], [p[a][up], p[b][up]], color=color, lw=1.4)
        for name, at in p.items():
            fixed = name.split(".")[1] in ("front", "rear", "chassis", "axis_point") or name == "track_rod.inner"
            ax.plot([-at[right]], [at[up]], "s" if fixed else "o", color=INK, ms=4, mfc="white" if fixed else INK)
        shown = numbers if ax is behind else {"track_rod.outer": "3", "wheel.centre": "4", "pushrod.inner": "6"}
        for name, number in shown.items():
            at = p[name]
            ax.annotate(number, (-at[right], at[up]), (-5, 4), textcoords="offset points", fontsize=9, color=RED,
                        ha="right")  # fmt: skip
        ax.set_title(title, fontsize=9, color=INK)
        ax.set_aspect("equal")
        ax.axis("off")
    centre = p["wheel.centre"]
    behind.add_patch(Rectangle((-centre[1] - 5, centre[2] - 255), 10, 510, fill=False, ec=GREY))
    above.add_patch(Rectangle((-centre[1] - 5, centre[0] - 255), 10, 510, fill=False, ec=GREY))
    return figure


def lines() -> Figure:
    """One link as a line in space, and what a small motion of the upright does to its length."""
    figure = Figure(figsize=(7.2, 3.2))
    ax = figure.subplots()
    plain(ax, "one link: its row of the 6x6", (-1.0, 9.5), (-0.8, 3.6))
    start, end, origin = np.array([1.5, 0.8]), np.array([5.6, 2.0]), np.array([0.0, 0.0])
    n = (end - start) / np.linalg.norm(end - start)
    upright = np.array([(5.2, 0.3), (6.7, 0.6), (6.9, 2.9), (5.6, 3.2), (5.3, 2.2)])
    ax.add_patch(Polygon(upright, closed=True, fc="#e8eef6", ec=BLUE))
    ax.text(5.75, 0.8, "upright", color=BLUE, fontsize=8)
    ax.plot(*np.transpose([start, end]), color=INK, lw=2)
    ax.plot(*start, "s", color=INK, mfc="white", ms=6)
    ax.plot(*end, "o", color=INK, ms=6)
    ax.text(1.4, 1.15, "chassis end", fontsize=8, color=INK, ha="center")
    arrow(ax, tuple(origin), tuple(end), GREY)
    ax.text(3.3, 0.85, "a", fontsize=10, color=GREY)
    ax.plot(*origin, "o", color=BLUE, ms=5)
    ax.text(-0.9, -0.5, "chassis origin", fontsize=8, color=BLUE)
    arrow(ax, tuple(end), tuple(end + 1.3 * n), RED)
    ax.text(*(end + 0.9 * n + (0.0, 0.12)), "n", fontsize=10, color=RED)
    velocity = np.array([1.5, -0.55])
    arrow(ax, tuple(end), tuple(end + velocity), GREEN)
    ax.text(*(end + velocity + (0.1, -0.15)), "v + omega x a", fontsize=9, color=GREEN)
    shadow = end + n * (velocity @ n)
    ax.plot(*np.transpose([end + velocity, shadow]), color=GREY, lw=0.8, ls=":")
    ax.text(7.1, 3.2, "lengthening of the link", fontsize=9, color=INK)
    ax.text(7.1, 2.85, "= n . (v + omega x a)", fontsize=9, color=INK)
    ax.text(7.1, 2.5, "= [a x n, n] . [omega, v]", fontsize=9, color=INK)
    return figure


def rounding() -> Figure:
    """Two steps that work against each other, invented: rounding each alone is not the nearest pair."""
    A = np.array([[1.0, 0.86], [0.10, 0.62]])
    real = np.array([2.46, 1.44])
    b = A @ real

    def cost(x: np.ndarray) -> float:
        return float(np.sum((A @ x - b) ** 2))

    pairs = [np.array(pair, dtype=float) for pair in itertools.product(range(6), range(-1, 5))]
    best = min(pairs, key=cost)
    rounded = np.round(real)
    figure = Figure(figsize=(7.2, 3.8))
    ax = figure.subplots()
    plain(ax, "least squares in whole steps: curves of equal cost", (-0.6, 8.2), (-1.4, 4.4))
    _, sizes, directions = np.linalg.svd(A)
    lean = float(np.degrees(np.arctan2(directions[1][1], directions[1][0])))
    for level in (cost(best), cost(rounded)):
        ax.add_patch(Ellipse(tuple(real), 2 * np.sqrt(level) / sizes[1], 2 * np.sqrt(level) / sizes[0], angle=lean,
                             fill=False, ec=GREY))  # fmt: skip
    ax.plot(*np.transpose(pairs), "o", color=GREY, ms=3)
    ax.plot(*real, "x", color=INK, ms=8)
    ax.plot(*rounded, "s", color=RED, ms=8)
    ax.plot(*best, "o", color=GREEN, ms=9)
    ax.text(5.4, 3.4, "cross: real optimum, cost 0", fontsize=9, color=INK)
    ax.text(5.4, 2.8, f"square: rounded, cost {cost(rounded):.3f}", fontsize=9, color=RED)
    ax.text(5.4, 2.2, f"disc: best in whole steps, cost {cost(best):.3f}", fontsize=9, color=GREEN)
    ax.text(2.3, -1.3, "steps of one adjuster", fontsize=8, color=INK, ha="center")
    ax.text(-0.5, 1.5, "steps of the other", fontsize=8, color=INK, rotation=90, va="center")
    return figure


def shim_and_toe() -> Figure:
    return plate.shim_and_toe(drawn_points())


def front_left() -> Figure:
    """The program's own picture."""
    return sw.plots.geometry(sw.load_car(DEMO_CAR), "front_left")


PICTURES: dict[str, Callable[[], Figure]] = {
    "frames": frames,
    "signs": signs,
    "meet": meet,
    "corner": corner,
    "lines": lines,
    "rounding": rounding,
    "shim_and_toe": shim_and_toe,
    "ways": plate.ways,
    "strings": plate.strings,
    "holds": plate.holds,
    "diagonal": plate.diagonal,
}


def main(folder: Path) -> None:
    mpl.rcParams.update({"svg.fonttype": "none", "svg.hashsalt": "shimwise", "font.family": "sans-serif"})
    undated = {"Date": None, "Creator": None}
    for name, draw in PICTURES.items():
        figure = draw()
        figure.tight_layout()
        figure.savefig(folder / f"{name}.svg", bbox_inches="tight", metadata=undated)
    with mpl.rc_context({"svg.fonttype": "path"}):  # its key is a table, whose spaces a browser would swallow
        front_left().savefig(folder / "front_left.svg", metadata=undated)


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else HERE)
