"""One double-wishbone corner as a general closure problem, solved by SciPy: the oracle for poses and sensitivities.

Unknowns: the upright's rotation vector (rad) and translation (mm) from its drawn place and, where a pushrod works a
rocker, the rocker's angle. Equations: every link keeps its length, and one value is held. Nothing is constructed joint
by joint. All arrays carry a leading axis of states, so that the many states of a difference table are solved together.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np
from scipy.optimize import root

from adjusters import Table, amount_mm, names
from places import Parts, Placed, drawn_points
from vectors import Array, cross, dot, joint_frame, norm, rotation, skew, spin_of_vector, triple, unit

RESIDUAL_MM = 1e-11
UPRIGHT_DEG = 0.02  # within this of upright the disc stands on its middle, not on an edge
LONGEST_STEP_MM = 5.0  # of continuation
LEAST_TRIPLE = 0.02  # below this share of its lengths' product an assembly is at its toggle

OUTPUTS = (
    "toe_deg",
    "camber_deg",
    "inclination_deg",
    "caster_deg",
    "kingpin_inclination_deg",
    "trail_mm",
    "scrub_mm",
    "half_track_mm",
    "motion_ratio",
    "chassis_height_mm",
    "spring_length_mm",
    "bump_steer_deg_per_mm",
    "camber_gain_deg_per_mm",
)
HOLDS = ("wheel", "contact", "spring")


class NotAssembled(Exception):
    """The linkage does not close at the state asked for, or is too near a toggle to tell its two assemblies apart."""


class Corner:
    """A corner table in true chassis coordinates, its setup wheel, the rack's direction and its side.

    `frame` has the frame's x, y, z axes as rows, in chassis coordinates; `up` is the normal of the ground plane.
    """

    def __init__(
        self,
        table: Table,
        setup_wheel: Table,
        rack_direction: Sequence[float],
        side: str,
        frame: Array | None = None,
        up: Sequence[float] | None = None,
    ) -> None:
        self.outboard = {"left": 1.0, "right": -1.0}[side]
        self.frame = np.eye(3) if frame is None else np.asarray(frame, dtype=float)
        self.up = self.frame[2] if up is None else unit(up)
        self.radius_mm = float(setup_wheel["radius_mm"])
        self.half_width_mm = float(setup_wheel.get("width_mm", 0.0)) / 2
        self.offset_mm = float(setup_wheel.get("offset_mm", 0.0))
        self.drawn = drawn_points(table)
        self.drawn_joint_frame = {
            arm: joint_frame(*(self.drawn[f"{arm}.{end}"][None, :] for end in ("front", "rear", "outer")))
            for arm in ("upper_wishbone", "lower_wishbone")
        }
        self.axis_drawn = self._wheel_axis(table["wheel"])
        self.has_rocker = "pushrod" in table
        if self.has_rocker:
            self.rocker_axis = unit(table["rocker"]["axis_direction"])
            self.pushrod_on = table["pushrod"]["outer_on"]
        else:
            self.spring_on = table["spring"]["outer_on"]
        steered = table["track_rod"].get("inner_moves", "fixed") == "rack"
        self.rack_direction = unit(rack_direction) if steered else np.zeros(3)
        self.links = {
            "upper_wishbone.front_leg": ("upper_wishbone.front", "upper_wishbone.outer"),
            "upper_wishbone.rear_leg": ("upper_wishbone.rear", "upper_wishbone.outer"),
            "lower_wishbone.front_leg": ("lower_wishbone.front", "lower_wishbone.outer"),
            "lower_wishbone.rear_leg": ("lower_wishbone.rear", "lower_wishbone.outer"),
            "track_rod": ("track_rod.inner", "track_rod.outer"),
        }
        if self.has_rocker:
            self.links["pushrod"] = ("pushrod.inner", "pushrod.outer")
        self.spring_ends = ("rocker.spring" if self.has_rocker else "spring.outer", "spring.chassis")
        self.size = 7 if self.has_rocker else 6
        self.adjusters = table.get("adjuster", [])
        self.adjuster_names = [adjuster["name"] for adjuster in self.adjusters]
        self.now_mm = np.array([amount_mm(adjuster) for adjuster in self.adjusters])
        self._triple_signs = np.sign(self.triples(np.zeros((1, self.size)), self.parts(np.zeros(len(self.now_mm)))))

    def _wheel_axis(self, wheel: Table) -> Array:
        """(tan toe, 1, -tan camber) made unit, y outboard; a test may give the axis itself."""
        if "axis" in wheel:
            return unit(wheel["axis"])
        toe, camber = np.radians([wheel["toe_deg"], wheel["camber_deg"]])
        return unit([np.tan(toe), self.outboard, -np.tan(camber)])

    # Settings -> parts -------------------------------------------------------------------------------------------

    def parts(self, amounts_mm: Any, rack_mm: Any = 0.0) -> Parts:
        """Parts = drawn + sum of amount times change. amounts_mm: (states, adjusters) or (adjusters,)."""
        amounts = np.atleast_2d(np.asarray(amounts_mm, dtype=float))
        states = len(amounts)
        point = {name: np.tile(value, (states, 1)) for name, value in self.drawn.items()}
        length = {
            name: np.full(states, np.linalg.norm(self.drawn[a] - self.drawn[b])) for name, (a, b) in self.links.items()
        }
        for column, adjuster in enumerate(self.adjusters):
            for name in names(adjuster.get("moves", [])):
                point[name] += np.outer(amounts[:, column], unit(adjuster["direction"]))
            for name in names(adjuster.get("changes", [])):
                if name in length:  # a platform and a bar's drop link hold nothing in place here
                    length[name] = length[name] + amounts[:, column]
                elif name not in ("spring_platform", "drop_link"):
                    raise KeyError(name)
        point["track_rod.inner"] += np.outer(np.broadcast_to(rack_mm, states), self.rack_direction)
        return Parts(point, length)

    # Pose -> points ----------------------------------------------------------------------------------------------

    def place(self, q: Array, parts: Parts) -> Placed:
        """Every point at the trial pose q, with its rate by (spin of upright, velocity of its pivot, rocker's spin)."""
        states = len(q)
        R = rotation(q[:, :3])
        still = np.zeros((states, 3, self.size))
        pivot_drawn = self.drawn["wheel.centre"]
        pivot = pivot_drawn + q[:, 3:6]
        at: dict[str, Array] = {}
        jacobian: dict[str, Array] = {}

        def on_upright(drawn: Array) -> tuple[Array, Array]:
            arm = np.einsum("nij,nj->ni", R, drawn - pivot_drawn)
            J = np.zeros((states, 3, self.size))
            J[:, :, :3] = -skew(arm)
            J[:, :, 3:6] = np.eye(3)
            return pivot + arm, J

        def fixed(name: str) -> None:
            at[name] = parts.point[name]
            jacobian[name] = still

        def carried(name: str, body: str) -> None:
            if body == "upright":
                at[name], jacobian[name] = on_upright(parts.point[name])
            else:
                at[name], jacobian[name] = self._on_wishbone(name, body, parts, at, jacobian)

        chassis_points = [
            f"{arm}.{end}" for arm in ("upper_wishbone", "lower_wishbone") for end in ("front", "rear")
        ] + ["track_rod.inner", "spring.chassis"]
        for name in chassis_points:
            fixed(name)
        for name in ("upper_wishbone.outer", "lower_wishbone.outer", "track_rod.outer", "wheel.centre"):
            carried(name, "upright")
        if self.has_rocker:
            carried("pushrod.outer", self.pushrod_on)
            fixed("rocker.axis_point")
            turn = rotation(q[:, 6:7] * self.rocker_axis)
            for name in ("pushrod.inner", "rocker.spring"):
                arm = parts.point[name] - self.drawn["rocker.axis_point"]
                arm = np.einsum("nij,nj->ni", turn, arm)
                at[name] = at["rocker.axis_point"] + arm
                jacobian[name] = np.zeros((states, 3, self.size))
                jacobian[name][:, :, 6] = cross(self.rocker_axis, arm)
        else:
            carried("spring.outer", self.spring_on)

        axis = R @ self.axis_drawn
        contact = self._contact(at["wheel.centre"], axis)
        # The height of the lowest point moves as the rim's material there does (envelope).
        contact_jacobian = np.zeros((states, 3, self.size))
        contact_jacobian[:, :, :3] = -skew(contact - pivot)
        contact_jacobian[:, :, 3:6] = np.eye(3)
        return Placed(at, jacobian, axis, contact, contact_jacobian)

    def _on_wishbone(
        self, name: str, arm: str, parts: Parts, at: dict[str, Array], jacobian: dict[str, Array]
    ) -> tuple[Array, Array]:
        """A point keeps its drawn place in the frame of the outer joint: along the pickups, to the joint, across."""
        drawn_axes, drawn_outer, _ = self.drawn_joint_frame[arm]
        local = (parts.point[name] - drawn_outer) @ drawn_axes[0].T
        axes, outer, reach = joint_frame(*(at[f"{arm}.{end}"] for end in ("front", "rear", "outer")))
        position = outer + np.einsum("nij,ni->nj", axes, local)
        b, c = axes[:, 1], axes[:, 2]
        lever = (local[:, 1:2] * c - local[:, 2:3] * b) / reach[:, None]
        carry = np.eye(3) + lever[:, :, None] * c[:, None, :]
        return position, carry @ jacobian[f"{arm}.outer"]

    def _contact(self, centre: Array, axis: Array) -> Array:
        """The lowest point of the rim over the plane's normal; of its lower edge, unless the disc is upright."""
        rise = axis @ self.up
        down = -(self.up - rise[:, None] * axis)
        edge = np.where(np.degrees(np.abs(np.arcsin(rise))) < UPRIGHT_DEG, 0.0, -np.sign(rise))
        along = self.offset_mm + edge * self.half_width_mm
        return centre + along[:, None] * axis + self.radius_mm * unit(down)

    def triples(self, q: Array, parts: Parts) -> Array:
        """Signed triple products over the product of their lengths: (axis, arm to joint, arm to the far end).

        Columns: upper joint over the lower one, track rod about the steering axis, rocker under its pushrod.
        """
        at = self.place(q, parts).at
        lower, upper = at["lower_wishbone.outer"], at["upper_wishbone.outer"]
        front, rear = at["upper_wishbone.front"], at["upper_wishbone.rear"]
        columns = [
            triple(front, rear - front, upper, lower),
            triple(lower, upper - lower, at["track_rod.outer"], at["track_rod.inner"]),
        ]
        if self.has_rocker:
            axis = np.broadcast_to(self.rocker_axis, lower.shape)
            columns.append(triple(at["rocker.axis_point"], axis, at["pushrod.inner"], at["pushrod.outer"]))
        return np.stack(columns, -1)

    # Equations and their solution --------------------------------------------------------------------------------

    def held(self, placed: Placed, hold: str) -> tuple[Array, Array]:
        """The held quantity in mm and its row."""
        if hold == "wheel":
            return placed.at["wheel.centre"] @ self.frame[2], self.frame[2] @ placed.jacobian["wheel.centre"]
        if hold == "contact":
            return placed.contact @ self.up, self.up @ placed.contact_jacobian
        return self._distance(placed, *self.spring_ends)

    @staticmethod
    def _distance(placed: Placed, a: str, b: str) -> tuple[Array, Array]:
        between = placed.at[b] - placed.at[a]
        length = norm(between)
        row = np.einsum("ni,nij->nj", between / length[:, None], placed.jacobian[b] - placed.jacobian[a])
        return length, row

    def equations(self, q: Array, parts: Parts, hold: str, value: Array) -> tuple[Array, Array, Placed]:
        """Residuals in mm and their rows by (spin, velocity, rocker's spin): links first, what is held last."""
        placed = self.place(q, parts)
        residual = np.empty((len(q), self.size))
        rows = np.empty((len(q), self.size, self.size))
        for i, (name, (a, b)) in enumerate(self.links.items()):
            length, rows[:, i] = self._distance(placed, a, b)
            residual[:, i] = length - parts.length[name]
        height, rows[:, -1] = self.held(placed, hold)
        residual[:, -1] = height - value
        return residual, rows, placed

    def _by_unknowns(self, q: Array, rows: Array) -> Array:
        J = rows.copy()
        J[:, :, :3] = rows[:, :, :3] @ spin_of_vector(q[:, :3])
        return J

    def polish(self, q: Array, parts: Parts, hold: str, value: Any) -> Array:
        """Newton on all states together until the residuals stop shrinking; they must end below RESIDUAL_MM."""
        value = np.broadcast_to(np.asarray(value, dtype=float), len(q))
        best, worst_best = q, np.inf
        for _ in range(12):
            residual, rows, _placed = self.equations(q, parts, hold, value)
            worst = np.max(np.abs(residual))
            if not worst < worst_best:
                break
            best, worst_best = q, worst
            q = q - np.linalg.solve(self._by_unknowns(q, rows), residual[..., None])[..., 0]
        if not worst_best < RESIDUAL_MM:
            raise NotAssembled(f"residual {worst_best:.3g} mm")
        return best

    def _step(self, start: Array, parts: Parts, hold: str, value: float) -> Array:
        """One state by SciPy's hybrid method from a near start, polished; it must be the assembly as drawn."""

        def both(unknowns: Array) -> tuple[Array, Array]:
            q = unknowns[None, :]
            residual, rows, _placed = self.equations(q, parts, hold, np.array([value]))
            return residual[0], self._by_unknowns(q, rows)[0]

        found = root(both, start[0], jac=True, method="hybr", options={"xtol": 1e-8})
        try:
            q = self.polish(found.x[None, :], parts, hold, value)
        except np.linalg.LinAlgError as error:
            raise NotAssembled(str(error)) from error
        triple = self.triples(q, parts) * self._triple_signs
        if not np.all(triple > LEAST_TRIPLE):
            raise NotAssembled(f"at its toggle: {triple}")
        return q

    def present(self, amounts_mm: Array | None = None, rack_mm: float = 0.0) -> tuple[Array, Parts]:
        """The pose at travel 0 with the settings given, followed from the drawn state in short steps."""
        amounts = self.now_mm if amounts_mm is None else np.asarray(amounts_mm, dtype=float)
        farthest = max(np.max(np.abs(amounts), initial=0.0), abs(rack_mm))
        q = np.zeros((1, self.size))
        height = float(self.drawn["wheel.centre"] @ self.frame[2])
        for share in _shares(farthest):
            q = self._step(q, self.parts(share * amounts, share * rack_mm), "wheel", height)
        return q, self.parts(amounts, rack_mm)

    def follow(self, q: Array, parts: Parts, hold: str, target: float) -> Array:
        """From a solved pose to another value of what is held, in short steps so that the branch cannot jump."""
        start = float(self.held(self.place(q, parts), hold)[0][0])
        for share in _shares(abs(target - start)):
            q = self._step(q, parts, hold, start + share * (target - start))
        return q

    def sweep(
        self, travel_mm: Iterable[float], rack_mm: float = 0.0, amounts_mm: Array | None = None
    ) -> tuple[Array, Parts]:
        """Poses at the wheel travels given (from the drawn wheel centre), each side followed outward from zero."""
        travels = [float(travel) for travel in travel_mm]
        zero, parts = self.present(amounts_mm, rack_mm)
        drawn = float(self.drawn["wheel.centre"] @ self.frame[2])
        poses: dict[float, Array] = {}
        for side in ([t for t in travels if t >= 0], [t for t in travels if t < 0]):
            q = zero
            for travel in sorted(side, key=abs):
                q = self.follow(q, parts, "wheel", drawn + travel)
                poses[travel] = q
        return np.concatenate([poses[travel] for travel in travels]), parts.repeated(len(travels))

    # Outputs -----------------------------------------------------------------------------------------------------

    def alignment(self, axis: Array, lower: Array, upper: Array, contact: Array) -> dict[str, Array]:
        """Angles and ground offsets of given geometry, in the frame: rows are states."""
        s = self.outboard
        e = axis @ self.frame.T
        k = (upper - lower) @ self.frame.T
        along = ((contact - lower) @ self.up) / ((upper - lower) @ self.up)
        meets = lower + along[:, None] * (upper - lower)
        ahead = (meets - contact) @ self.frame.T
        return {
            "toe_deg": np.degrees(np.arctan2(e[:, 0], s * e[:, 1])),
            "camber_deg": np.degrees(np.arctan2(-e[:, 2], s * e[:, 1])),
            "inclination_deg": np.degrees(np.arcsin(-e[:, 2])),
            "caster_deg": np.degrees(np.arctan2(-k[:, 0], k[:, 2])),
            "kingpin_inclination_deg": np.degrees(np.arctan2(-s * k[:, 1], k[:, 2])),
            "trail_mm": ahead[:, 0],
            "scrub_mm": -s * ahead[:, 1],
            "half_track_mm": s * (contact @ self.frame[1]),
            "chassis_height_mm": -(contact @ self.up),
        }

    def outputs(self, q: Array, parts: Parts) -> dict[str, Array]:
        """All outputs of solved poses; rates along the null motion, the links' one freedom."""
        _residual, rows, placed = self.equations(q, parts, "wheel", np.zeros(len(q)))
        result = self.alignment(
            placed.axis, placed.at["lower_wishbone.outer"], placed.at["upper_wishbone.outer"], placed.contact
        )
        one_mm_of_wheel = np.zeros((len(q), self.size, 1))
        one_mm_of_wheel[:, -1] = 1.0
        null = np.linalg.solve(rows, one_mm_of_wheel)[..., 0]
        e = placed.axis @ self.frame.T
        rate = cross(null[:, :3], placed.axis) @ self.frame.T
        x, y, z = e.T
        dx, dy, dz = rate.T
        s = self.outboard
        spring, spring_row = self.held(placed, "spring")
        contact_row = self.held(placed, "contact")[1]
        result["spring_length_mm"] = spring
        result["motion_ratio"] = -dot(spring_row, null) / dot(contact_row, null)
        result["bump_steer_deg_per_mm"] = np.degrees(s * (dx * y - x * dy) / (x * x + y * y))
        result["camber_gain_deg_per_mm"] = np.degrees(s * (z * dy - dz * y) / (z * z + y * y))
        return {name: result[name] for name in OUTPUTS}

    def joints(self, q: Array, parts: Parts) -> dict[str, Array]:
        """Every point's place in the chassis frame."""
        return self.place(q, parts).at

    # Sensitivities -----------------------------------------------------------------------------------------------

    def effects(
        self, q: Array, parts: Parts, amounts_mm: Array, rack_mm: float, hold: str, step_mm: float = 0.05
    ) -> Array:
        """d(output)/d(mm of adjuster) with `hold` at its present value: (states, adjusters, outputs).

        Four-point central differences (error of fourth order in the step) of states solved anew.
        """
        states, count = len(q), len(self.adjusters)
        value = self.held(self.place(q, parts), hold)[0]
        offsets = np.array([-2.0, -1.0, 1.0, 2.0]) * step_mm
        weights = np.array([1.0, -8.0, 8.0, -1.0]) / (12 * step_mm)
        moved = amounts_mm + np.einsum("k,ij->ikj", offsets, np.eye(count)).reshape(-1, count)
        each = len(moved)
        many = self.parts(np.tile(moved, (states, 1)), rack_mm)
        near = self.polish(np.repeat(q, each, axis=0), many, hold, np.repeat(value, each))
        found = self.outputs(near, many)
        table = np.stack([found[name] for name in OUTPUTS], -1).reshape(states, count, 4, len(OUTPUTS))
        return np.einsum("k,sako->sao", weights, table)


def _shares(distance_mm: float) -> Array:
    steps = max(1, int(np.ceil(distance_mm / LONGEST_STEP_MM)))
    return np.arange(1, steps + 1) / steps
