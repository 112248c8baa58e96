"""The text of a starter car: templates of the package, filled with known points and with invented ones."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path
from string import Template
from typing import TYPE_CHECKING

import numpy as np

from shimwise import _core
from shimwise.points.invented import placed
from shimwise.words import spoken, toml_text

if TYPE_CHECKING:
    from collections.abc import Mapping

    from shimwise.car import Car
    from shimwise.points.invented import Place
    from shimwise.points.rows import PointRow, PointsTable

__all__ = ["CarDraft", "Sizes", "sizes_of", "template", "vector"]

_AXLES = ("front", "rear")
_RADIUS_MM = 250.0
_HEIGHTS_MM = {"front": 30.0, "rear": 40.0}  # of the ride-height points over the ground, as the readings have them
_COMMENT_COLUMN = 41

# The joint of each body that may carry a rod's, a spring's or a drop link's outer end.
_OUTER_JOINTS = {
    "upper_wishbone": "upper_wishbone.outer",
    "lower_wishbone": "lower_wishbone.outer",
    "upright": "track_rod.outer",
}
_CARRIED = ("pushrod.outer", "spring.outer", "drop_link.outer")


@dataclass
class Sizes:
    """What the points make, by corner: asked of the library, so that the invented numbers fit them."""

    contact_z_mm: dict[str, float]
    eye_to_eye_mm: dict[str, float]


def sizes_of(car: Car) -> Sizes:
    """Return the sizes of a car as drawn."""
    column = _core.column_names().index("chassis_height_mm")
    at_rest = np.zeros(1)
    contact, eyes = {}, {}
    for name, id_ in _core.CornerId.__members__.items():
        contact[name] = -float(_core.alignment(car.core.corner(id_), at_rest, at_rest)[column, 0])
        eyes[name] = _core.present_length_mm(car.core, id_, "spring_platform") or 0.0
    return Sizes(contact, eyes)


class CarDraft:
    """A car file in the making: which points are known, and how each is written."""

    def __init__(self, name: str, table: PointsTable | None) -> None:
        self.name, self.table = name, table
        self.known = {
            corner: {point: row.at for point, row in self.rows(corner).items()} for corner in _core.CornerId.__members__
        }
        front, rear = placed(self.known["front_left"], self.known["rear_left"])
        self.points = {"front": front, "rear": rear}
        rocker_alone = set(_core.rocker_rows()) - set(_core.direct_spring_rows())
        for axle, points in self.points.items():
            if self.direct(axle):
                self.points[axle] = {p: at for p, at in points.items() if p not in rocker_alone}

    def rows(self, corner: str) -> Mapping[str, PointRow]:
        return self.table.rows.get(corner, {}) if self.table else {}

    def direct(self, axle: str) -> bool:
        return "spring.outer" in self.known[f"{axle}_left"]

    def invented(self) -> list[str]:
        if self.table is None:
            return []
        return [f"{a}_left.{p}" for a in _AXLES for p in self.points[a] if p not in self.known[f"{a}_left"]]

    def to_check(self) -> list[str]:
        found = []
        for axle in _AXLES:
            known = self.known[f"{axle}_left"]
            found += [self.carried_words(f"{axle}_left", point) for point in _CARRIED if point in known]
            right = f"{axle}_right"
            found += [
                self.carried_words(right, point)
                for point in _CARRIED
                if self.carrier(right, point) != self.carrier(f"{axle}_left", point)
            ]
            if "track_rod.inner" in known:
                moves = "move with the rack" if axle == "front" else "be fixed to the chassis"
                found.append(f"{axle}_left.track_rod.inner is taken to {moves}: check its inner_moves.")
        return found

    def at(self, corner: str, point: str) -> Place | None:
        """Where a point is; on the right it is mirrored unless given."""
        own = self.known[corner].get(point)
        left = self.points[corner.partition("_")[0]].get(point)
        if own or not left or corner.endswith("left"):
            return own or left
        return left[0], -left[1], left[2]

    def pulls(self, corner: str) -> bool:
        outer, inner = (self.at(corner, f"pushrod.{end}") for end in ("outer", "inner"))
        return bool(outer and inner and _core.is_pull_rod(outer, inner))

    def nearest(self, corner: str, point: str) -> tuple[float, str]:
        """How far the nearest outer joint is, and the body whose it is."""
        joints = {body: self.at(corner, joint) for body, joint in _OUTER_JOINTS.items()}
        at = self.at(corner, point)
        return min((math.dist(at, joint), body) for body, joint in joints.items() if at and joint)

    def carrier(self, corner: str, point: str) -> str:
        """The body that carries a point: of known points the nearest one, of invented ones the starter's."""
        left = f"{corner.partition('_')[0]}_left"
        if point not in self.known[left]:
            return "lower_wishbone"
        return self.nearest(corner, point)[1]

    def carried_words(self, corner: str, point: str) -> str:
        distance_mm, body = self.nearest(corner, point)
        what = f"{corner}.{point}{', of a pull rod,' if point == 'pushrod.outer' and self.pulls(corner) else ''}"
        joint = "track_rod.outer" if body == "upright" else "outer joint"
        return (
            f"{what} is taken to sit on the {spoken(body)}, whose {joint} is nearest ({distance_mm:.0f} mm away):"
            " check its outer_on."
        )

    def car_text(self, sizes: Sizes | None = None) -> str:
        """The file; without sizes a provisional one, without what depends on them."""
        wheels = [self.points[axle]["wheel.centre"] for axle in _AXLES]
        (front_x, _, front_z), (rear_x, _, _) = wheels
        text = template("car.toml").substitute(
            origin=self.origin(),
            datum=self.datum(),
            name=toml_text(self.name),
            radius=_RADIUS_MM,
            heights=" and ".join(f"{mm:g} mm ({axle})" for axle, mm in _HEIGHTS_MM.items()),
            cg=_noted(vector((round(0.45 * front_x + 0.55 * rear_x, 1), 0.0, round(front_z + 50.0, 1))), _CG),
            driver=_noted(vector((round(0.5 * (front_x + rear_x), 1), 0.0, round(front_z + 30.0, 1))), "INVENTED"),
            front_height=self.height_point("front", sizes),
            rear_height=self.height_point("rear", sizes),
            front=self.corner("front", sizes),
            rear=self.corner("rear", sizes),
            right="".join(self.right_corner(axle, sizes) for axle in _AXLES),
        )
        return _aligned(text)

    def origin(self) -> str:
        if self.table is None:
            return "Every number in it is INVENTED."
        return f"Its points are those of {Path(self.table.file).name}; what is marked INVENTED is not."

    def datum(self) -> str:
        if self.table is None:
            return "x = 0 is the front axle, z = 0 the floor's reference plane."
        return "x = 0 and z = 0 are where the table has them."

    def height_point(self, axle: str, sizes: Sizes | None) -> str:
        """Over the higher one of the axle's contacts, so that it is over the ground on both sides."""
        x_mm, y_mm, z_mm = self.points[axle]["wheel.centre"]
        if sizes:
            z_mm = max(sizes.contact_z_mm[f"{axle}_{side}"] for side in ("left", "right")) + _HEIGHTS_MM[axle]
        return vector((x_mm, round(0.5 * y_mm, 1), round(z_mm, 1) + 0.0))

    def corner(self, axle: str, sizes: Sizes | None) -> str:
        corner, front, kind = f"{axle}_left", axle == "front", "direct" if self.direct(axle) else "rocker"
        places = {point.replace(".", "_"): self.place(corner, point) for point in self.points[axle]}
        spring = template(f"{kind}.toml").substitute(
            places,
            corner=corner,
            rod="a pull rod: its outer end is above its inner one" if self.pulls(corner) else "or a pull rod",
            outer_on=self.carrier(corner, "spring.outer" if self.direct(axle) else "pushrod.outer"),
            drop_link=self.drop_link(axle),
            damper=_damper(corner, sizes),
        )
        return template("corner.toml").substitute(
            places,
            corner=corner,
            toe=0.05 if front else 0.1,
            camber=-1.5 if front else -1.0,
            moves="rack" if front else "fixed",
            spring=spring,
            rod="track rod" if front else "toe link",
            box=axle,
            height_adjusters=template(f"{kind}_adjusters.toml").substitute(
                corner=corner, rod="pull rod" if self.pulls(corner) else "pushrod"
            ),
        )

    def place(self, corner: str, point: str) -> str:
        row = self.rows(corner).get(point)
        at = row.at if row else self.points[corner.partition("_")[0]][point]
        return _noted(
            vector(at), f"{Path(self.table.file).name}, line {row.line}" if self.table and row else "INVENTED"
        )

    def drop_link(self, axle: str) -> str:
        corner = f"{axle}_left"
        if "rocker.drop_link" in self.known[corner]:
            return f"drop_link = {self.place(corner, 'rocker.drop_link')}\n"
        if "drop_link.outer" in self.known[corner]:
            sits_on = _noted(f'outer_on = "{self.carrier(corner, "drop_link.outer")}"', "CHECK")
            return f"[{corner}.drop_link]\nouter = {self.place(corner, 'drop_link.outer')}\n{sits_on}\n\n"
        return ""

    def right_corner(self, axle: str, sizes: Sizes | None) -> str:
        """What the table gives for the right side, and a damper where its length is another one."""
        corner = f"{axle}_right"
        if not self.known[corner]:
            return ""
        text = f"# {'-' * 89} {axle} right\n# What is not written here is the mirror image of the left side.\n"
        for part in dict.fromkeys(point.partition(".")[0] for point in self.known[corner]):
            text += f"[{corner}.{part}]\n"
            for point in self.known[corner]:
                if point.startswith(f"{part}."):
                    text += f"{point.partition('.')[2]} = {self.place(corner, point)}\n"
                    if point in _CARRIED and self.carrier(corner, point) != self.carrier(f"{axle}_left", point):
                        text += _noted(f'outer_on = "{self.carrier(corner, point)}"', "CHECK") + "\n"
            text += "\n"
        if any(point in self.known[corner] for point in ("spring.chassis", "spring.outer", "rocker.spring")):
            text += _damper(corner, sizes) + "\n"
        return text


_CG = "INVENTED: centre of gravity of all that, as drawn"


def _damper(corner: str, sizes: Sizes | None) -> str:
    if not sizes:
        return ""
    drawn_mm = sizes.eye_to_eye_mm[corner]
    return (
        f"[{corner}.damper]\n"
        f"shortest_mm = {_noted(f'{0.88 * drawn_mm:.1f}', f'INVENTED: eye to eye; as drawn {drawn_mm:.1f}')}\n"
        f"longest_mm = {_noted(f'{1.08 * drawn_mm:.1f}', 'INVENTED: this is the droop stop')}\n"
    )


@cache
def template(name: str) -> Template:
    """Return a template of the package's starter files."""
    return Template((files("shimwise") / "data" / "starter" / name).read_text(encoding="utf-8"))


def vector(at: Place) -> str:
    """Return a point or direction as TOML writes it."""
    return f"[{', '.join(repr(float(v)) for v in at)}]"


def _noted(text: str, note: str) -> str:
    return f"{text}   # {note}"


def _aligned(text: str) -> str:
    """Comments behind values start in one column where they can."""
    lines = []
    for line in text.splitlines():
        value, mark, note = line.partition(" # ")
        behind = mark and value.strip() and not line.startswith("#")
        lines.append(f"{value.rstrip():<{_COMMENT_COLUMN - 2}}  # {note}" if behind else line.rstrip())
    return "\n".join(lines).rstrip() + "\n"
