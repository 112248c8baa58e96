"""One state of a sweep as a parsed car file in which it is set, and what stands beside a file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from car_table import CORNER_NAMES, Table, corner_tables
from corner import Corner
from reference import corner_in
from rest import Search, set_masses
from rest_car import RestCar
from rest_outputs import Rest, outputs_of
from vectors import Array


class Swept(NamedTuple):
    """A car so set and as it was weighed, which is with its points so but its own settings; what stands beside it."""

    car: Table
    weighed: Table
    pads_mm: dict[str, float]
    ballast_kg: dict[str, float]
    travel_mm: float
    rack_mm: float

    def rest(self) -> Rest:
        """The car at rest; raises NotAtRest or NotAssembled where there is no such state."""
        model = RestCar(self.car, {}, self.ballast_kg)
        set_masses(model, self.weighed)
        model.go_to_present(self.rack_mm)
        model.pads_mm |= self.pads_mm
        found = Search(model).rest()
        return outputs_of(model, found.state, found.load_N(), found.pull_N)

    def inside_dampers(self) -> bool:
        """Whether every strut as drawn is inside the range of its damper: else there is no such car."""
        for name, table in corner_tables(self.car).items():
            drawn = corner_in(self.car, name)
            inner, outer = (drawn.drawn[end] for end in drawn.spring_ends)
            damper = table.get("damper", {})
            length_mm = float(np.linalg.norm(inner - outer))
            if not damper.get("shortest_mm", 0.0) <= length_mm <= damper.get("longest_mm", np.inf):
                return False
        return True

    def outputs(self, as_given: Table, name: str, hold: str) -> dict[str, Array]:
        """Outputs of a corner with that held which the car as given has at this travel, its rack centred."""
        corner = corner_in(self.car, name)
        if hold == "wheel":
            return corner.outputs(*corner.sweep([self.travel_mm], self.rack_mm))
        given: Corner = corner_in(as_given, name)
        value = float(given.held(given.place(*given.sweep([self.travel_mm])), hold)[0][0])
        q, parts = corner.present(rack_mm=self.rack_mm)
        return corner.outputs(corner.follow(q, parts, hold, value), parts)


def swept(car: Table, by: Mapping[str, float], moved: str) -> Swept:
    """The file with everything changed from as it stands by the name that a sweep has for it."""
    tables, weighed = corner_tables(car), corner_tables(car)
    settings = {f"{corner}.{one['name']}" for corner, table in tables.items() for one in table.get("adjuster", [])}
    pads = dict.fromkeys(CORNER_NAMES, 0.0)
    ballast = {item["name"]: float(item["now_kg"]) for item in car.get("ballast", [])}
    held = {"travel_mm": 0.0, "rack_mm": 0.0}
    for key, change in by.items():
        first, _, name = key.partition(".")
        if first == "pad":
            pads[name] += change
        elif first == "ballast":
            ballast[name] += change
        elif first in tables:
            for of in (tables,) if key in settings else (tables, weighed):
                _change(of[first], name, change, moved)
        else:
            held[key] += change
    return Swept(car | tables, car | weighed, pads, ballast, **held)


def _change(table: Table, name: str, by: float, moved: str) -> None:
    """An adjuster, or a coordinate: of the drawing, or of a part off its drawing, which is a shim there."""
    for adjuster in table.get("adjuster", []):
        if adjuster["name"] == name:
            if "moves" in adjuster:
                adjuster["fitted_mm"] = [sum(adjuster.get("fitted_mm", [])) + by]
            else:
                adjuster["now_turns"] = adjuster.get("now_turns", 0.0) + by
            return
    part, end, axis = name.split(".")
    if moved == "drawn":
        table[part][end]["xyz".index(axis)] += by
        return
    direction = np.eye(3)["xyz".index(axis)].tolist()
    shim = {"name": name, "moves": f"{part}.{end}", "direction": direction, "drawn_with_mm": 0.0, "fitted_mm": [by]}
    table.setdefault("adjuster", []).append(shim)
