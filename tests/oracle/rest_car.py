"""Potential energy of a car on its springs over the pose of its chassis, with its exact slopes.

Pose: height of the chassis origin over the plumb plane of pad height 0 (mm), pitch, roll, twist (rad). Each wheel's
contact stands on its own pad, so a corner's one freedom follows from the pose. Energy in N mm.
"""

from __future__ import annotations

import copy
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from scipy.optimize import least_squares

from adjusters import Table
from car_table import CORNER_NAMES, corner_tables
from rest_corner import Bar, Standing, StandingCorner, drop_link_change_mm, stored_Nmm, strut_with
from strut import Strut
from vectors import Array, unit

G = 9.80665
AXLES = ("front", "rear")
SIDES = ("left", "right")
PENALTY_N_PER_MM = 2e3  # of a passed droop stop, while the minimum is looked for
SLOWEST = 1e-6  # least strut movement over contact movement


class NotAtRest(Exception):
    """The car has no state of rest of the kind that is modelled."""


@dataclass
class Mass:
    """A point mass of the chassis, as drawn."""

    kg: float
    at: Array


@dataclass
class State:
    """Energy of one pose. Slopes are by (height, pitch, roll, twist); loads by corner are dE/d(pad height)."""

    pose: Array
    energy_Nmm: float
    slope: Array
    load_N: dict[str, float]
    length_slope: dict[str, Array]  # of each strut's length
    corner: dict[str, Standing] = field(default_factory=dict)


def share_turned(name: str) -> float:
    """Of the twist, by which a corner's half of the chassis turns beyond the roll."""
    return 0.5 if name.startswith("front") else -0.5


def plumb_of(pitch: float, roll: float) -> tuple[Array, Array, Array]:
    """Plumb in chassis axes and its derivatives by pitch and roll: ISO 8855's order, no yaw."""
    sp, cp, sr, cr = np.sin(pitch), np.cos(pitch), np.sin(roll), np.cos(roll)
    return np.array([-sp, cp * sr, cp * cr]), np.array([-cp, -sp * sr, -sp * cr]), np.array([0.0, cp * cr, -cp * sr])


def turn_of(pitch: float, roll: float) -> Array:
    """Chassis axes to plumb axes: pitch after roll."""
    sp, cp, sr, cr = np.sin(pitch), np.cos(pitch), np.sin(roll), np.cos(roll)
    return np.array([[cp, sp * sr, sp * cr], [0.0, cr, -sr], [-sp, cp * sr, cp * cr]])


def with_settings(tables: dict[str, Table], settings: Mapping[str, Any]) -> dict[str, Table]:
    """Corner tables with "corner.adjuster" set to turns, or to a list of fitted shims."""
    tables = copy.deepcopy(tables)
    for key, value in settings.items():
        corner, name = key.split(".", 1)
        (adjuster,) = (a for a in tables[corner]["adjuster"] if a["name"] == name)
        adjuster["fitted_mm" if "moves" in adjuster else "now_turns"] = value
    return tables


class RestCar:
    """A parsed car file at its present settings."""

    def __init__(self, car: Table, settings: Mapping[str, Any], ballast_kg: Mapping[str, float]) -> None:
        self.file = car
        self.tables = with_settings(corner_tables(car), settings)
        self.corners = {name: self._corner(name) for name in CORNER_NAMES}
        self.bars = {axle: Bar(car[f"{axle}_bar"], self._links(axle)) for axle in AXLES if f"{axle}_bar" in car}
        self.thirds = {axle: car[f"{axle}_third"] for axle in AXLES if f"{axle}_third" in car}
        twist = car.get("chassis_twist_Nm_per_deg")
        self.twist_Nmm = None if twist is None else 1000.0 * np.degrees(1.0) * twist  # per radian
        self.freedoms = 3 if twist is None else 4
        self.rear_line_mm = float(np.mean([self.corners[f"rear_{s}"].drawn["wheel.centre"][0] for s in SIDES]))
        unsprung = car["mass"]["unsprung_kg"]
        self.unsprung_kg = {name: float(unsprung[name.split("_")[0]]) for name in CORNER_NAMES}
        drawn_kg = {item["name"]: float(item["now_kg"]) for item in car.get("ballast", [])}
        unknown = set(ballast_kg) - set(drawn_kg)
        if unknown:
            raise KeyError(f"no ballast {sorted(unknown)}")
        kg = {**drawn_kg, **ballast_kg}
        self.ballast = [Mass(kg[item["name"]], np.asarray(item["at_mm"], float)) for item in car.get("ballast", [])]
        self.ballast_drawn = [Mass(drawn_kg[i["name"]], np.asarray(i["at_mm"], float)) for i in car.get("ballast", [])]
        self.total_kg = car["mass"]["total_kg"] + sum(kg.values()) - sum(drawn_kg.values())
        self.struts: dict[str, Strut] = {}
        self.sprung = Mass(0.0, np.zeros(3))
        self.pads_mm = dict.fromkeys(CORNER_NAMES, 0.0)
        self.penalty = PENALTY_N_PER_MM
        self.as_drawn = {name: corner.standing_as_drawn() for name, corner in self.corners.items()}

    # Parts ---------------------------------------------------------------------------------------------------------

    def _corner(self, name: str) -> StandingCorner:
        car, table = self.file, self.tables[name]
        axle, side = name.split("_")
        flip = np.array([1.0, 1.0 if side == "left" else -1.0, 1.0])
        riders: dict[str, tuple[Array, str]] = {}
        if "unsprung_cg_mm" in car["mass"]:
            riders["unsprung_cg"] = (np.asarray(car["mass"]["unsprung_cg_mm"][axle], float) * flip, "upright")
        if f"{axle}_bar" in car:
            if "rocker" in table:
                riders["rocker.drop_link"] = (np.asarray(table["rocker"]["drop_link"], float), "rocker")
            else:
                link = table["drop_link"]
                riders["drop_link.outer"] = (np.asarray(link["outer"], float), link["outer_on"])
        if f"{axle}_third" in car:
            third = car[f"{axle}_third"]
            left = np.asarray(third["left"], float)
            mirrored = np.asarray(third.get("right", left * [1.0, -1.0, 1.0]), float)
            riders["third"] = (left if side == "left" else mirrored, "rocker")
        rack = car.get("rack", {}).get("direction", [0.0, 1.0, 0.0])
        return StandingCorner(table, car["setup_wheel"][axle], rack, side, riders)

    def link_end(self, name: str) -> str:
        """The point of the drop link on the suspension."""
        return "rocker.drop_link" if self.corners[name].has_rocker else "drop_link.outer"

    def _links(self, axle: str) -> dict[str, tuple[Array, float]]:
        names = {side: f"{axle}_{side}" for side in SIDES}
        return {
            side: (self.corners[name].riders[self.link_end(name)][0], drop_link_change_mm(self.tables[name]))
            for side, name in names.items()
        }

    def third_squeeze_mm(self, axle: str, between: Array) -> float:
        """Of the third element beyond its gap, the way it carries; negative while it does not touch."""
        third = self.thirds[axle]
        drawn = self.corners[f"{axle}_left"].riders["third"][0] - self.corners[f"{axle}_right"].riders["third"][0]
        shorter = float(np.linalg.norm(drawn) - np.linalg.norm(between))
        return (-shorter if third.get("carries", "push") == "pull" else shorter) - float(third["gap_mm"])

    def third_force(self, axle: str, at: dict[str, Array]) -> tuple[float, float, Array]:
        """Force of the third element (+ as it carries), its energy, and the energy's slope by left - right."""
        between = at["left"] - at["right"]
        squeeze = max(0.0, self.third_squeeze_mm(axle, between))
        force = self.thirds[axle]["rate_N_per_mm"] * squeeze
        away = unit(between) if self.thirds[axle].get("carries", "push") == "pull" else -unit(between)
        return force, 0.5 * force * squeeze, force * away

    # Masses and spring loads ---------------------------------------------------------------------------------------

    def unsprung_at(self, name: str, standing: Standing, *, rate: bool = False) -> Array:
        """The unsprung centre of gravity in chassis axes, or its rate."""
        point = "unsprung_cg" if "unsprung_cg" in self.corners[name].riders else "wheel.centre"
        return (standing.rate if rate else standing.at)[point]

    def set_cg(self, cg_mm: Array) -> None:
        """Sprung mass without ballast from the centre of gravity of the whole car as drawn, ballast as in the file."""
        parts = [Mass(self.unsprung_kg[n], self.unsprung_at(n, s)) for n, s in self.as_drawn.items()]
        parts += self.ballast_drawn
        total = float(self.file["mass"]["total_kg"])
        kg = total - sum(part.kg for part in parts)
        if not kg > 0.0:
            raise NotAtRest(f"sprung mass without ballast {kg} kg")
        self.sprung = Mass(kg, (total * np.asarray(cg_mm) - sum(part.kg * part.at for part in parts)) / kg)

    def chassis_masses(self) -> list[tuple[Mass, float]]:
        """What rides on the chassis, with the share of the twist that it turns by."""
        return [(mass, self.share_at(float(mass.at[0]))) for mass in [self.sprung, *self.ballast]]

    def share_at(self, x_mm: float) -> float:
        """Of the twist, at a place along the chassis: +1/2 at the front axle line x = 0, -1/2 at the rear one."""
        return float(np.clip(1.0 - x_mm / self.rear_line_mm, 0.0, 1.0)) - 0.5

    def rests_as_drawn(self) -> bool:
        return all(self.tables[name]["spring"].get("rests_as_drawn", False) for name in CORNER_NAMES)

    def set_springs(self, cross_weight: float = 0.5) -> None:
        """Struts; of a car that rests as drawn with the loads that balance it as drawn at this cross weight.

        As drawn: settings as drawn, bars unloaded, chassis untwisted, the four contacts on (or best by) level pads.
        """
        loads: dict[str, float | None] = dict.fromkeys(CORNER_NAMES)
        if self.rests_as_drawn():
            loads |= self.loads_as_drawn(cross_weight)
        for name, corner in self.corners.items():
            self.struts[name] = strut_with(self.tables[name], corner, loads[name])

    def loads_as_drawn(self, cross_weight: float) -> dict[str, float]:
        """Spring loads that balance the car as drawn at this cross weight; none may pull."""
        contact: dict[str, Array] = {}

        def heights(pose: Array) -> Array:
            up = plumb_of(pose[1] / 1000.0, pose[2] / 1000.0)[0]
            for name, corner in self.corners.items():
                corner.up = up
                s = self.as_drawn[name]
                contact[name] = corner._contact(s.at["wheel.centre"][None], s.axis[None])[0]
            return np.array([pose[0] + up @ contact[name] for name in CORNER_NAMES])

        pose = least_squares(heights, [0.0, 0.0, 0.0], xtol=1e-15, ftol=1e-15, gtol=1e-15).x
        heights(pose)
        pitch, roll = pose[1] / 1000.0, pose[2] / 1000.0
        turn, up = turn_of(pitch, roll), plumb_of(pitch, roll)[0]
        masses = [mass for mass, _share in self.drawn_masses()]
        cg = sum(mass.kg * mass.at for mass in masses) / sum(mass.kg for mass in masses)
        weight = G * sum(mass.kg for mass in masses)
        over = np.array([(turn @ contact[name])[:2] for name in CORNER_NAMES])
        rows = np.vstack([np.ones(4), over.T / 1000.0, [0.0, 1.0, 1.0, 0.0]])
        ground = np.linalg.solve(rows, weight * np.array([1.0, *(turn @ cg)[:2] / 1000.0, cross_weight]))
        loads = {}
        for name, load in zip(CORNER_NAMES, ground, strict=True):
            axle, side = name.split("_")
            corner = self.corners[name]
            corner.up = up
            s = corner.standing_as_drawn()
            others = G * self.unsprung_kg[name] * float(up @ self.unsprung_at(name, s, rate=True))
            if axle in self.thirds:
                at = {sd: self.corners[f"{axle}_{sd}"].riders["third"][0] for sd in SIDES}
                others += (1.0 if side == "left" else -1.0) * self.third_force(axle, at)[2] @ s.rate["third"]
            if not abs(s.length_rate) > SLOWEST:
                raise NotAtRest(f"{name}: the spring does not move as drawn")
            loads[name] = float(load - others) / -s.length_rate
            if not loads[name] >= 0.0:
                raise NotAtRest(f"{name}: the spring would have to pull with {-loads[name]} N as drawn")
        return loads

    def drawn_masses(self) -> list[tuple[Mass, float]]:
        """All masses as drawn, ballast as in the file."""
        unsprung = [
            (Mass(self.unsprung_kg[n], self.unsprung_at(n, s)), share_turned(n)) for n, s in self.as_drawn.items()
        ]
        return [(self.sprung, 0.0), *((mass, 0.0) for mass in self.ballast_drawn), *unsprung]

    def go_to_present(self, rack_mm: float = 0.0) -> None:
        """Every corner to its present settings at travel 0, the rack so far to the left: where the search begins."""
        for corner in self.corners.values():
            corner.set_now(rack_mm)

    # Energy --------------------------------------------------------------------------------------------------------

    def states(self, poses: Array) -> list[State]:
        """Energy and slopes with every contact on its pad, of poses (rows) near the first of them.

        A passed droop stop pulls back by `penalty`.
        """
        standing: dict[str, list[Standing]] = {}
        for name, corner in self.corners.items():
            up = [plumb_of(pitch, roll + share_turned(name) * twist)[0] for _height, pitch, roll, twist in poses]
            standing[name] = corner.stand(np.array(up), self.pads_mm[name] - poses[:, 0])
        return [self._state(pose, {name: s[i] for name, s in standing.items()}) for i, pose in enumerate(poses)]

    def _state(self, pose: Array, standing: dict[str, Standing]) -> State:
        height, pitch, roll, twist = pose
        energy, slope = 0.0, np.zeros(4)
        up = {0.0: plumb_of(pitch, roll)}

        def plumb(share: float) -> tuple[Array, Array, Array]:
            if share not in up:
                up[share] = plumb_of(pitch, roll + share * twist)
            return up[share]

        def height_slope(point: Array, share: float) -> Array:
            _u, by_pitch, by_roll = plumb(share)
            return np.array([1.0, by_pitch @ point, by_roll @ point, share * (by_roll @ point)])

        for mass, share in self.chassis_masses():
            energy += G * mass.kg * (height + plumb(share)[0] @ mass.at)
            slope += G * mass.kg * height_slope(mass.at, share)
        if self.twist_Nmm is not None:
            energy += 0.5 * self.twist_Nmm * twist**2
            slope[3] += self.twist_Nmm * twist

        load = {}
        for name, s in standing.items():
            share = share_turned(name)
            u = plumb(share)[0]
            strut, weight, cg = self.struts[name], G * self.unsprung_kg[name], self.unsprung_at(name, s)
            spring, _, rubber, _ = (float(v[0]) for v in strut(np.array([s.length_mm])))
            passed = max(0.0, s.length_mm - self.longest_mm(name))
            energy += stored_Nmm(strut.spring, strut.loose_mm - s.length_mm)
            energy += stored_Nmm(strut.rubber, strut.touch_mm - s.length_mm) + 0.5 * self.penalty * passed**2
            energy += weight * float(height + u @ cg)
            slope += weight * height_slope(cg, share)
            load[name] = (self.penalty * passed - spring - rubber) * s.length_rate
            load[name] += weight * float(u @ self.unsprung_at(name, s, rate=True))
        for axle in AXLES:
            energy += self._couple(axle, standing, load)
        length_slope = {}
        for name, s in standing.items():
            lifted = height_slope(s.contact, share_turned(name))  # the wheel falls by as much in the chassis
            slope -= load[name] * lifted
            length_slope[name] = -s.length_rate * lifted
        n = self.freedoms
        return State(pose, float(energy), slope[:n], load, {k: v[:n] for k, v in length_slope.items()}, standing)

    def _couple(self, axle: str, standing: dict[str, Standing], load: dict[str, float]) -> float:
        """Energy of what joins the two corners of an axle; its slopes go into their loads."""
        names = {side: f"{axle}_{side}" for side in SIDES}
        energy = 0.0
        if axle in self.bars and self.bars[axle].connected:
            bar = self.bars[axle]
            torque = self.bar_torque_Nmm(axle, standing)
            energy += 0.5 * torque**2 / bar.rate_Nmm if bar.rate_Nmm else 0.0
            for sign, (side, name) in zip((1.0, -1.0), names.items(), strict=True):
                end = self.link_end(name)
                load[name] += (
                    sign * torque * float(bar.angle(side, standing[name].at[end])[1] @ standing[name].rate[end])
                )
        if axle in self.thirds:
            at = {side: standing[name].at["third"] for side, name in names.items()}
            _force, stored, along = self.third_force(axle, at)
            energy += stored
            for sign, name in zip((1.0, -1.0), names.values(), strict=True):
                load[name] += sign * float(along @ standing[name].rate["third"])
        return energy

    def bar_torque_Nmm(self, axle: str, standing: dict[str, Standing]) -> float:
        """Rate times (left - right) arm angle; nothing where the bar is not connected."""
        bar = self.bars[axle]
        if not bar.connected:
            return 0.0
        left, right = (
            bar.angle(side, standing[f"{axle}_{side}"].at[self.link_end(f"{axle}_{side}")])[0] for side in SIDES
        )
        return bar.rate_Nmm * (left - right)

    def contacts_over(self, state: State) -> Array:
        """Contacts in plumb axes from below the chassis origin at pad height 0; rows as CORNER_NAMES."""
        height, pitch, roll, twist = state.pose
        turned = [
            turn_of(pitch, roll + share_turned(name) * twist) @ state.corner[name].contact for name in CORNER_NAMES
        ]
        return np.array(turned) + [0.0, 0.0, height]

    def longest_mm(self, name: str) -> float:
        return float(self.tables[name].get("damper", {}).get("longest_mm", np.inf))

    def shortest_mm(self, name: str) -> float:
        return float(self.tables[name].get("damper", {}).get("shortest_mm", 0.0))
