"""A corner of the car file as SciPy and Pinocchio, a general multibody library, have it: no line of ours."""

from __future__ import annotations

import tomllib
from typing import Any, NamedTuple

import numpy as np
import pinocchio as pin
from numpy.typing import NDArray
from scipy.optimize import root

Array = NDArray[np.float64]
Place = tuple[float, float, float]

STEP_MM = 0.02  # of track rod, each way
XTOL = 1e-10  # leaves 1e-9 mm
STEPS, LAST_STEP_MM = 30, 1e-5  # of Newton: what is left is of the size of the last one's square
LEVER_MM = 100.0  # angles of a step as mm at this lever

PICKUPS = ["upper_wishbone.front", "upper_wishbone.rear", "lower_wishbone.front", "lower_wishbone.rear"]
LINKS = [*PICKUPS, "track_rod.inner"]
OUTERS = ["upper_wishbone.outer", "upper_wishbone.outer", "lower_wishbone.outer", "lower_wishbone.outer"]
ENDS = [*OUTERS, "track_rod.outer"]


class DrawnCorner(NamedTuple):
    """What a corner is made of: five lengths between chassis and upright, and a wheel."""

    chassis: Array  # (5, 3)
    upright: Array  # (5, 3), from the wheel centre
    centre: Array
    axis: Array
    radius: float
    half_width: float
    offset: float

    @property
    def length(self) -> Array:
        """Of the five as drawn, the track rod's last."""
        return np.linalg.norm(self.upright + self.centre - self.chassis, axis=1)

    def moved(self, by: dict[str, Place]) -> DrawnCorner:
        """The same with points drawn elsewhere, by so much."""
        chassis = self.chassis + [by.get(name, (0.0, 0.0, 0.0)) for name in LINKS]
        return self._replace(chassis=chassis, upright=self.upright + [by.get(name, (0.0, 0.0, 0.0)) for name in ENDS])


def drawn_corner(car_file: str) -> DrawnCorner:
    """The front left corner as drawn."""
    with open(car_file, "rb") as file:  # noqa: PTH123 - TOML is read as bytes
        car = tomllib.load(file)
    corner, disc = car["front_left"], car["setup_wheel"]["front"]

    def places(names: list[str]) -> Array:
        return np.array([corner[part][point] for part, point in (name.split(".") for name in names)])

    centre = np.array(corner["wheel"]["centre"])
    toe, camber = np.radians([corner["wheel"]["toe_deg"], corner["wheel"]["camber_deg"]])
    axis = np.array([np.tan(toe), 1.0, -np.tan(camber)])
    return DrawnCorner(
        places(LINKS),
        places(ENDS) - centre,
        centre,
        axis / np.linalg.norm(axis),
        disc["radius_mm"],
        disc["width_mm"] / 2,
        disc["offset_mm"],
    )


class ScipyCorner:
    """Six equations in the upright's rotation and its wheel centre, by SciPy's root.

    Five lengths and the contact's height are residuals in mm; the rotation is Cayley's, as TinySolver's is.
    """

    name = "SciPy root(hybr)"

    def __init__(self, drawn: DrawnCorner) -> None:
        self.chassis, self.upright, self.axis = drawn.chassis.tolist(), drawn.upright.tolist(), drawn.axis.tolist()
        *self.length, self.rod = drawn.length.tolist()
        self.radius, self.half_width, self.offset = drawn.radius, drawn.half_width, drawn.offset
        self.start = np.concatenate([np.zeros(3), drawn.centre])

    @staticmethod
    def rotation(x: float, y: float, z: float) -> tuple[float, ...]:
        """Return the nine entries by rows; plain floats, since arrays of three cost more than what they compute."""
        s = 2.0 / (1.0 + x * x + y * y + z * z)
        xx, yy, zz, xy, xz, yz = s * x * x, s * y * y, s * z * z, s * x * y, s * x * z, s * y * z
        x, y, z = s * x, s * y, s * z
        return 1.0 - yy - zz, xy - z, xz + y, xy + z, 1.0 - xx - zz, yz - x, xz - y, yz + x, 1.0 - xx - yy

    def residual(self, q: Array, rod: float, height: float) -> list[float]:
        """Return the five lengths' errors, the track rod's length being `rod`, and the height's."""
        x, y, z, cx, cy, cz = q.tolist()
        a, b, c, d, e, f, g, h, i = self.rotation(x, y, z)
        result = []
        for (u, v, w), (px, py, pz), length in zip(self.upright, self.chassis, (*self.length, rod), strict=True):
            dx = a * u + b * v + c * w + cx - px
            dy = d * u + e * v + f * w + cy - py
            dz = g * u + h * v + i * w + cz - pz
            result.append((dx * dx + dy * dy + dz * dz - length * length) * (0.5 / length))
        u, v, w = self.axis
        lean = g * u + h * v + i * w
        edge = self.offset - (self.half_width if lean > 0.0 else -self.half_width)
        result.append(cz + lean * edge - self.radius * (1.0 - lean * lean) ** 0.5 - height)
        return result

    def solved(self, start: Array, rod: float, height: float) -> Array:
        """Return the pose, searched from another one."""
        found: Array = root(self.residual, start, (rod, height), method="hybr", options={"xtol": XTOL}).x
        return found

    def angles(self, q: Array) -> Array:
        """Return toe and camber, deg."""
        return angles_deg(np.reshape(self.rotation(*q[:3].tolist()), (3, 3)) @ self.axis)

    def state(self, start: Array, rod: float, height: float) -> tuple[Array, Array, Array]:
        """Return the pose, toe and camber, and their central differences by the track rod."""
        q = self.solved(start, rod, height)
        more, less = (self.angles(self.solved(q, rod + way * STEP_MM, height)) for way in (1.0, -1.0))
        return q, self.angles(q), (more - less) / (2.0 * STEP_MM)


class PinocchioCorner:
    """The upright as a free body of Pinocchio's: Newton by its frames' Jacobians on five lengths and a height."""

    name = "Pinocchio, Newton"

    def __init__(self, drawn: DrawnCorner) -> None:
        self.drawn, self.lengths = drawn, drawn.length
        self.rod = float(self.lengths[-1])
        self.model: Any = pin.Model()
        body = self.model.addJoint(0, pin.JointModelFreeFlyer(), pin.SE3.Identity(), "upright")
        self.frames = [
            self.model.addFrame(pin.Frame(name, body, pin.SE3(np.eye(3), place), pin.FrameType.OP_FRAME))
            for name, place in [
                *((f"link {i}", place) for i, place in enumerate(drawn.upright)),
                ("wheel", np.zeros(3)),
            ]
        ]
        self.data: Any = self.model.createData()
        self.start = np.concatenate([drawn.centre, [0.0, 0.0, 0.0, 1.0]])

    def residual(self, q: Array, rod: float, height: float) -> list[float]:
        """Return the errors of five lengths and the height."""
        errors: list[float] = self.equations(q, rod, height)[0].tolist()
        return errors

    def equations(self, q: Array, rod: float, height: float) -> tuple[Array, Array]:
        """Return the errors of lengths and height, and what they change by with the upright's motion."""
        drawn, frames = self.drawn, self.data.oMf
        self.lengths[-1] = rod
        pin.computeJointJacobians(self.model, self.data, q)
        pin.updateFramePlacements(self.model, self.data)
        *moving, wheel = (
            pin.getFrameJacobian(self.model, self.data, frame, pin.LOCAL_WORLD_ALIGNED) for frame in self.frames
        )
        links = np.array([frames[frame].translation for frame in self.frames[:-1]]) - drawn.chassis
        axis = frames[self.frames[-1]].rotation @ drawn.axis
        lean = axis[2]
        edge = drawn.offset - (drawn.half_width if lean > 0.0 else -drawn.half_width)
        upright = np.sqrt(1.0 - lean * lean)
        contact = frames[self.frames[-1]].translation[2] + lean * edge - drawn.radius * upright
        errors = np.append((np.einsum("ij,ij->i", links, links) / self.lengths - self.lengths) / 2.0, contact - height)
        rates = np.empty((6, 6))
        rates[:5] = np.einsum("ij,ijk->ik", links / self.lengths[:, None], np.array(moving)[:, :3])
        leaning = axis[1] * wheel[3] - axis[0] * wheel[4]  # of the axis' height, as the body turns
        rates[5] = wheel[2] + (edge + drawn.radius * lean / upright) * leaning
        return errors, rates

    def solved(self, start: Array, rod: float, height: float) -> Array:
        """Return the pose, searched from another one."""
        q = start
        for _ in range(STEPS):
            errors, rates = self.equations(q, rod, height)
            step = np.linalg.solve(rates, -errors)
            q = pin.integrate(self.model, q, step)
            if max(np.abs(step[:3]).max(), LEVER_MM * np.abs(step[3:]).max()) < LAST_STEP_MM:
                return q
        raise ArithmeticError(f"no convergence at rod {rod}, height {height}")

    def angles(self, q: Array) -> Array:
        """Return toe and camber, deg."""
        return angles_deg(pin.Quaternion(q[3:]).matrix() @ self.drawn.axis)

    def state(self, start: Array, rod: float, height: float) -> tuple[Array, Array, Array]:
        """Return the pose, toe and camber, and their derivatives by the track rod."""
        q = self.solved(start, rod, height)
        _errors, rates = self.equations(q, rod, height)
        turn = pin.Quaternion(q[3:]).matrix()
        spin = turn @ np.linalg.solve(rates, [0.0, 0.0, 0.0, 0.0, 1.0, 0.0])[3:]
        axis = turn @ self.drawn.axis
        change = np.cross(spin, axis)
        across = axis[:2] @ axis[:2], axis[1:] @ axis[1:]
        toe = (axis[1] * change[0] - axis[0] * change[1]) / across[0]
        camber = (axis[2] * change[1] - axis[1] * change[2]) / across[1]
        return q, self.angles(q), np.degrees([toe, camber])


Peer = ScipyCorner | PinocchioCorner
PEERS: tuple[type[ScipyCorner], type[PinocchioCorner]] = (ScipyCorner, PinocchioCorner)


def angles_deg(axis: Array) -> Array:
    """Return toe and camber of a wheel with this axis."""
    return np.degrees(np.arctan2([axis[0], -axis[2]], axis[1]))
