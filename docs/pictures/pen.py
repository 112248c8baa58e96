"""What the pictures of docs/ are drawn with: colours, arrows, axes, turned shapes."""

from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Polygon, Rectangle
from matplotlib.typing import ColorType

INK, BLUE, RED, GREEN, GREY = "#222222", "#1f5fa8", "#b3261e", "#2e7d32", "#8a8a8a"


def arrow(ax: Axes, tail: tuple[float, float], head: tuple[float, float], color: ColorType = INK) -> None:
    ax.annotate("", head, tail, arrowprops={"arrowstyle": "-|>", "color": color, "lw": 1.3, "shrinkA": 0, "shrinkB": 0})


def both_ways(ax: Axes, one: tuple[float, float], other: tuple[float, float], color: ColorType = RED) -> None:
    ax.annotate(
        "", other, one, arrowprops={"arrowstyle": "<|-|>", "color": color, "lw": 1.0, "shrinkA": 0, "shrinkB": 0}
    )


def plain(ax: Axes, title: str, x: tuple[float, float], y: tuple[float, float]) -> None:
    ax.set(aspect="equal", xlim=x, ylim=y)
    ax.set_title(title, fontsize=9, color=INK)
    ax.axis("off")


def axes_of(ax: Axes, at: tuple[float, float], right: str, up: str, size: float) -> None:
    """Two axes of the frame; `right` names the one that points to the right of the page (with < to the left)."""
    sign = -1.0 if right.startswith("<") else 1.0
    arrow(ax, at, (at[0] + sign * size, at[1]), BLUE)
    arrow(ax, at, (at[0], at[1] + size), BLUE)
    ax.text(at[0] + sign * size * 1.25, at[1], right.lstrip("<"), color=BLUE, fontsize=8, ha="center", va="center")
    ax.text(at[0], at[1] + size * 1.25, up, color=BLUE, fontsize=8, ha="center", va="center")


def turned(x: np.ndarray, y: np.ndarray, angle_deg: float, about: tuple[float, float]) -> tuple[np.ndarray, np.ndarray]:
    a = np.radians(angle_deg)
    return (about[0] + np.cos(a) * x - np.sin(a) * y, about[1] + np.sin(a) * x + np.cos(a) * y)


def slab(
    ax: Axes, at: tuple[float, float], half: tuple[float, float], angle_deg: float, color: ColorType = INK
) -> None:
    x, y = np.array([-1, 1, 1, -1]) * half[0], np.array([-1, -1, 1, 1]) * half[1]
    ax.add_patch(Polygon(np.transpose(turned(x, y, angle_deg, at)), closed=True, fill=False, ec=color, lw=1.4))


def word(ax: Axes, at: tuple[float, float], text: str, color: ColorType = INK, **how: Any) -> None:
    ax.text(*at, text, color=color, **{"fontsize": 8, "ha": "center", "va": "center"} | how)


def wheel(ax: Axes, at: tuple[float, float], angle_deg: float = 0.0, color: ColorType = INK) -> None:
    """Seen on edge."""
    slab(ax, at, (0.17, 1.2), angle_deg, color)


def joint(ax: Axes, at: tuple[float, float], color: ColorType = INK, *, fixed: bool = False) -> None:
    ax.plot(*at, "s" if fixed else "o", color=color, ms=5, mfc="white" if fixed else color, zorder=5)


def link(
    ax: Axes, one: tuple[float, float], other: tuple[float, float], color: ColorType = INK, lw: float = 1.6
) -> None:
    ax.plot(*np.transpose([one, other]), color=color, lw=lw)


def pack(ax: Axes, at: tuple[float, float], half: tuple[float, float] = (0.11, 0.3)) -> None:
    """Of shims."""
    ax.add_patch(Rectangle((at[0] - half[0], at[1] - half[1]), 2 * half[0], 2 * half[1], fc=RED, ec=RED, zorder=4))


def spring(ax: Axes, one: tuple[float, float], other: tuple[float, float], color: ColorType = INK) -> None:
    run = np.subtract(other, one)
    aside = np.array([-run[1], run[0]]) / np.hypot(*run) * 0.16
    share = np.linspace(0.15, 0.85, 13)
    zigzag = np.add(one, share[:, None] * run) + np.where(np.arange(13) % 2, 1.0, -1.0)[:, None] * aside
    ax.plot(*np.vstack([one, np.add(one, 0.1 * run), zigzag, np.add(one, 0.9 * run), other]).T, color=color, lw=1.0)
