"""What the rows of a table of points owe each other: sides, whole parts, a left one for each right one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shimwise import _core

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from shimwise.points.rows import PointRow

    Fault = Callable[..., None]  # line, field, rule, value
    Lines = Mapping[tuple[str, str], int]
    Rows = Mapping[str, Mapping[str, PointRow]]

__all__ = ["AXIS_DIRECTION", "DIRECT", "ROCKER", "group_problems"]

AXIS_DIRECTION = "rocker.axis_direction"  # a vector; all others are points
ROCKER = (
    "pushrod.outer", "pushrod.inner", "rocker.axis_point", AXIS_DIRECTION, "rocker.spring", "spring.chassis"
)  # fmt: skip
DIRECT = ("spring.outer", "spring.chassis")
_WHOLE: dict[str, list[tuple[str, ...]]] = {
    "a wishbone": [
        ("upper_wishbone.front", "upper_wishbone.rear", "upper_wishbone.outer"),
        ("lower_wishbone.front", "lower_wishbone.rear", "lower_wishbone.outer"),
    ],
    "a track rod": [("track_rod.inner", "track_rod.outer")],
}
_LEFT = {"front_left": "front_right", "rear_left": "rear_right"}


def group_problems(file: str, lines: Lines, rows: Rows) -> list[_core.Problem]:
    """Return what is wrong with the rows together.

    Args:
        file: for the sentences.
        lines: the line of every row that names a corner and a point, well-formed or not; empty where some row could not
            be told, so that nothing can be called missing.
        rows: the well-formed rows, by corner and point.
    """
    found: list[_core.Problem] = []

    def fault(line: int, name: str, rule: str, value: str = "") -> None:
        found.append(_core.Problem(file, line, 0, name, value, rule))

    _sides(rows, fault)
    _axles(rows, fault)
    for left, right in _LEFT.items():
        _parts(left, {point: line for (corner, point), line in lines.items() if corner == left}, fault)
        _right_side(left, right, lines, fault)
    return found


def _sides(rows: Rows, fault: Fault) -> None:
    wrong: list[tuple[int, str, float, str]] = []
    right_way = 0
    for corner, points in rows.items():
        left = corner in _LEFT
        for point, row in points.items():
            y_mm = row.at[1] if left else -row.at[1]
            if point == AXIS_DIRECTION or y_mm > 0.0 or (point == "spring.chassis" and y_mm == 0.0):
                right_way += point != AXIS_DIRECTION
                continue
            rule = f"is on the wrong side: y is {'above 0 on the left' if left else 'below 0 on the right'}"
            wrong.append((row.line, f"{corner}.{point}", row.at[1], rule))
    if len(wrong) > 2 and not right_way:
        fault(0, "", "every y is on the wrong side: y points to the left here, turn the sign of the whole column")
        return
    for line, name, y_mm, rule in wrong:
        fault(line, f"{name} y_mm", rule, f"{y_mm:g}")


def _axles(rows: Rows, fault: Fault) -> None:
    """The rear axle lies behind the front one; a table whose every x runs to the rear is told so once."""
    pairs = [
        (points[f"{wishbone}.front"].at[0], points[f"{wishbone}.rear"].at[0])
        for points in rows.values()
        for wishbone in ("upper_wishbone", "lower_wishbone")
        if f"{wishbone}.front" in points and f"{wishbone}.rear" in points
    ]
    if len(pairs) > 1 and all(front < rear for front, rear in pairs):
        fault(0, "", "every wishbone's front lies behind its rear: x points forward, turn the sign of the whole column")
        return
    for point in ("wheel.centre", "lower_wishbone.outer"):
        front, rear = (rows.get(corner, {}).get(point) for corner in _LEFT)
        if front and rear:
            if not rear.at[0] < front.at[0]:
                rule = f"must lie behind the front axle (x {front.at[0]:g} in line {front.line})"
                fault(rear.line, f"rear_left.{point} x_mm", rule, f"{rear.at[0]:g}")
            return


def _parts(corner: str, lines: Mapping[str, int], fault: Fault) -> None:
    def lines_among(points: tuple[str, ...]) -> list[int]:
        return [lines[point] for point in points if point in lines]

    def without(points: tuple[str, ...]) -> str:
        return ", ".join(point for point in points if point not in lines)

    for part, groups in _WHOLE.items():
        for group in groups:
            if (there := lines_among(group)) and (missing := without(group)):
                fault(min(there), f"{corner}", f"without {missing}: {part} is given whole or not at all")
    rocker = lines_among((*ROCKER[:-1], "rocker.drop_link"))
    if rocker and (missing := without(ROCKER)):
        fault(min(rocker), corner, f"without {missing}: pushrod, rocker and spring are given together")
    if rocker and "spring.outer" in lines:
        fault(
            lines["spring.outer"], f"{corner}.spring.outer", "a spring on a rocker has its outer eye at rocker.spring"
        )
    if rocker and "drop_link.outer" in lines:
        fault(
            lines["drop_link.outer"], f"{corner}.drop_link.outer", "with a rocker the drop link is at rocker.drop_link"
        )
    if not rocker and (there := lines_among((*DIRECT, "drop_link.outer"))) and (missing := without(DIRECT)):
        fault(min(there), corner, f"without {missing}: a spring without rocker is given by both eyes")


def _right_side(left: str, right: str, lines: Lines, fault: Fault) -> None:
    alone = {p: line for (corner, p), line in lines.items() if corner == right and (left, p) not in lines}
    if alone and not any(corner == left for corner, _ in lines):
        fault(min(alone.values()), right, f"is given without {left}: turn the sign of y, and call the rows {left}")
        return
    for point, line in alone.items():
        fault(line, f"{right}.{point}", f"is given on the right alone: {left} needs it too, or neither")
