"""One corner of a car at rest: the closed linkage with its contact at a height along plumb, and what rides on it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from adjusters import Table, amount_mm
from corner import LEAST_TRIPLE, UPRIGHT_DEG, Corner, NotAssembled, _shares
from places import Parts, Placed
from strut import Law, Strut, strut_of
from vectors import Array, cross, dot, rotation, skew, unit


@dataclass
class Standing:
    """A solved corner in the chassis frame; each rate is by mm that the contact rises along plumb in that frame."""

    at: dict[str, Array]
    rate: dict[str, Array]
    axis: Array
    contact: Array
    length_mm: float  # of the strut, eye to eye
    length_rate: float


class StandingCorner(Corner):
    """A corner with more points riding on its bodies: name -> (place as drawn, body)."""

    def __init__(
        self, table: Table, setup_wheel: Table, rack: Sequence[float], side: str, riders: dict[str, tuple[Array, str]]
    ) -> None:
        self.riders = dict(riders)
        super().__init__(table, setup_wheel, rack, side)
        self.q, self.present_parts = self._drawn_pose()

    def _drawn_pose(self) -> tuple[Array, Parts]:
        return np.zeros((1, self.size)), self.parts(np.zeros(len(self.now_mm)))

    def parts(self, amounts_mm: Array, rack_mm: float = 0.0) -> Parts:
        parts = super().parts(amounts_mm, rack_mm)
        for name, (place, _body) in self.riders.items():
            parts.point.setdefault(name, np.tile(place, (len(parts.point["wheel.centre"]), 1)))
        return parts

    def place(self, q: Array, parts: Parts) -> Placed:
        placed = super().place(q, parts)
        turn = rotation(q[:, :3])
        for name, (_place, body) in self.riders.items():
            jacobian = np.zeros((len(q), 3, self.size))
            if body == "rocker":
                arm = parts.point[name] - self.drawn["rocker.axis_point"]
                arm = np.einsum("nij,nj->ni", rotation(q[:, 6:7] * self.rocker_axis), arm)
                placed.at[name] = placed.at["rocker.axis_point"] + arm
                jacobian[:, :, 6] = cross(self.rocker_axis, arm)
            elif body == "upright":
                arm = np.einsum("nij,nj->ni", turn, parts.point[name] - self.drawn["wheel.centre"])
                placed.at[name] = self.drawn["wheel.centre"] + q[:, 3:6] + arm
                jacobian[:, :, :3], jacobian[:, :, 3:6] = -skew(arm), np.eye(3)
            else:
                placed.at[name], jacobian = self._on_wishbone(name, body, parts, placed.at, placed.jacobian)
            placed.jacobian[name] = jacobian
        return placed

    # `up` may be one for each state.

    def _contact(self, centre: Array, axis: Array) -> Array:
        up = np.broadcast_to(self.up, axis.shape)
        rise = dot(axis, up)
        edge = np.where(np.degrees(np.abs(np.arcsin(rise))) < UPRIGHT_DEG, 0.0, -np.sign(rise))
        along = self.offset_mm + edge * self.half_width_mm
        return centre + along[:, None] * axis - self.radius_mm * unit(up - rise[:, None] * axis)

    def held(self, placed: Placed, hold: str) -> tuple[Array, Array]:
        if hold != "contact":
            return super().held(placed, hold)
        up = np.broadcast_to(self.up, placed.contact.shape)
        return dot(placed.contact, up), np.einsum("ni,nij->nj", up, placed.contact_jacobian)

    def set_now(self, rack_mm: float = 0.0) -> None:
        """Go to the pose at travel 0 with the present settings, the rack so far to the left."""
        self.up = np.array([0.0, 0.0, 1.0])
        self.q, self.present_parts = self.present(rack_mm=rack_mm)

    def stand(self, up: Array, height_mm: Array) -> list[Standing]:
        """Contact at these heights along `up`, row by row, in the chassis frame; followed in short steps from the last.

        The next call begins at the first row.
        """
        self.up = up
        parts, q = self.present_parts.repeated(len(up)), np.repeat(self.q, len(up), axis=0)
        start = self.held(self.place(q, parts), "contact")[0]
        try:
            for share in _shares(float(np.max(np.abs(height_mm - start)))):
                q = self.polish(q, parts, "contact", start + share * (height_mm - start))
        except np.linalg.LinAlgError as error:
            raise NotAssembled(str(error)) from error
        found = self._standing(q, parts)
        self.q, self.up = q[:1], up[0]
        return found

    def standing(self) -> Standing:
        """The present pose with its rates along the linkage's one freedom."""
        return self._standing(self.q, self.present_parts)[0]

    def standing_as_drawn(self) -> Standing:
        """The same with all settings as drawn and the wheel where it is drawn."""
        return self._standing(*self._drawn_pose())[0]

    def _standing(self, q: Array, parts: Parts) -> list[Standing]:
        _residual, rows, placed = self.equations(q, parts, "contact", np.zeros(len(q)))
        rise = np.zeros((len(q), self.size, 1))
        rise[:, -1] = 1.0
        null = np.linalg.solve(rows, rise)[..., 0]
        length, length_row = self._distance(placed, *self.spring_ends)
        rate = {name: np.einsum("nij,nj->ni", matrix, null) for name, matrix in placed.jacobian.items()}
        return [
            Standing(
                at={name: point[i] for name, point in placed.at.items()},
                rate={name: vector[i] for name, vector in rate.items()},
                axis=placed.axis[i],
                contact=placed.contact[i],
                length_mm=float(length[i]),
                length_rate=float(length_row[i] @ null[i]),
            )
            for i in range(len(q))
        ]

    def same_assembly(self) -> bool:
        """True where the present pose is the drawn assembly, away from its toggles."""
        return bool(np.all(self.triples(self.q, self.present_parts) * self._triple_signs > LEAST_TRIPLE))


def stored_Nmm(law: Law, squeeze_mm: float) -> float:
    """The work that squeezed it: the area under the law's straight pieces."""
    ends = np.append(law.millimetres[1:], np.inf)
    slopes = np.append(np.diff(law.newtons) / np.diff(law.millimetres), law.last_rate)
    into = np.clip(squeeze_mm - law.millimetres, 0.0, ends - law.millimetres)
    return float(np.sum(into * (law.newtons + 0.5 * slopes * into)))


def strut_with(table: Table, corner: Corner, load_at_drawn_N: float | None) -> Strut:
    """The corner's strut; the load as drawn of a car that rests as drawn is handed in. Rubber is from nothing at 0."""
    given = dict(table)
    if load_at_drawn_N is not None:
        given["spring"] = {"rate_N_per_mm": table["spring"]["rate_N_per_mm"], "load_at_drawn_N": load_at_drawn_N}
    if "bump_rubber" in table and table["bump_rubber"]["force_N_at_mm"][0][0] > 0.0:
        rows = [[0.0, 0.0], *table["bump_rubber"]["force_N_at_mm"]]
        given["bump_rubber"] = {**table["bump_rubber"], "force_N_at_mm": rows}
    return strut_of(given, corner)


class Bar:
    """An anti-roll bar: each arm turns about the axis through the bearings and holds a drop link of fixed length.

    Arm angles are right-handed about the axis from the right bearing to the left one, 0 as drawn.
    """

    def __init__(self, bar: Table, links: dict[str, tuple[Array, float]]) -> None:
        """`links`: by side the drop link's end on its rocker or body as drawn, and how much longer than drawn it is."""
        left = {key: np.asarray(value, dtype=float) for key, value in bar["left"].items()}
        right = {key: value * [1.0, -1.0, 1.0] for key, value in left.items()}
        right |= {key: np.asarray(value, dtype=float) for key, value in bar.get("right", {}).items()}
        per_deg = bar["blades_Nm_per_deg"][bar["blade"]] if "blades_Nm_per_deg" in bar else bar["rate_Nm_per_deg"]
        self.rate_Nmm = 1000.0 * np.degrees(1.0) * per_deg  # per radian
        self.axis = unit(left["bearing"] - right["bearing"])
        self.connected = bool(bar["connected"])
        self.arms = {}
        for side, ends in (("left", left), ("right", right)):
            arm = ends["arm"] - ends["bearing"]
            foot = ends["bearing"] + arm @ self.axis * self.axis
            out = ends["arm"] - foot
            end, longer_mm = links[side]
            link_mm = float(np.linalg.norm(ends["arm"] - end)) + longer_mm
            toward = float(np.sign((end - foot) @ np.cross(self.axis, out)))
            self.arms[side] = (foot, out, link_mm, toward)

    def angle(self, side: str, end: Array) -> tuple[float, Array]:
        """Arm angle (rad) that closes the link to `end`, on the drawn branch, and its gradient by `end`."""
        foot, out, link_mm, toward = self.arms[side]
        across = np.cross(self.axis, out)
        far = end - foot
        a, b = far @ out, far @ across
        closes = (out @ out + far @ far - link_mm**2) / (2 * np.hypot(a, b))
        if not abs(closes) < 1.0:
            raise NotAssembled(f"{side} bar link")
        theta = np.arctan2(b, a) - toward * np.arccos(closes)
        theta = (theta + np.pi) % (2 * np.pi) - np.pi
        along = np.cos(theta) * out + np.sin(theta) * across - far
        turning = np.cos(theta) * across - np.sin(theta) * out
        return float(theta), along / (along @ turning)


def drop_link_change_mm(table: Table) -> float:
    """How much longer than drawn this corner's drop link is set."""
    return float(sum(amount_mm(a) for a in table.get("adjuster", []) if a.get("changes") == "drop_link"))
