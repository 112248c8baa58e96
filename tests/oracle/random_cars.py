"""Seeded random cars that come to rest: `random_car(seed)` is the text of a car file; all data are invented.

Corners are drawn as in `random_corners`, each axle its own, the right side partly overridden. Which kinds of part a car
has follows from its seed, so that the first eight cars have all of them. A draw that does not rest well inside its
travel, clear of every kink of its springs, is drawn again.
"""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np

from car_table import CORNER_NAMES, Table, corner_tables
from corner import Corner, NotAssembled
from random_corners import (
    CLEAR_OF_TOGGLE,
    MOST_TOE_DEG,
    MOTION_RATIO,
    RACK_DIRECTION,
    WHEELBASE_MM,
    RandomCorner,
    _pick,
    _point,
    _thread,
    candidate_corner,
)
from rest import Found, Search, found_rest, set_masses, stiffness
from rest_car import AXLES, G, NotAtRest, RestCar
from toml_text import toml_block, toml_corner

MOST_TRAVEL_MM = 25.0
LEAST_LOAD_N = 60.0  # at a contact
LEAST_SPRING_N = 15.0
CLEAR_MM = 0.05  # of kinks: rows of a force law, a third element's gap, a droop stop
STOPS = [["front_left", "front_right"], ["rear_right"], ["front_left"], ["rear_left", "front_right"]]
PADS_MM = {"front_left": 2.4, "rear_left": -1.7, "rear_right": 0.8}  # on which it must rest as well

Generator = np.random.Generator


def _in(rng: Generator, low: float, high: float, digits: int = 1) -> float:
    return round(float(rng.uniform(low, high)), digits)


def _near(rng: Generator, point: Any, by: Any, spread: float = 6.0) -> list[float]:
    return _point(np.asarray(point) + by + rng.uniform(-spread, spread, 3))


# Corners --------------------------------------------------------------------------------------------------------------


def _axle(rng: Generator, axle: str, seed: list[int], *, direct: bool) -> tuple[Table, Table, Table]:
    """Left table, right overrides and setup wheel of two corners that are both fit; without rockers where `direct`."""
    while True:
        case = candidate_corner(rng, axle, seed)
        if direct and "rocker" in case.left:
            continue
        x, y, z = case.left["track_rod"]["outer"]
        right: Table = {"track_rod": {"outer": _near(rng, [x, -y, z], 0.0, 2.0)}} if rng.random() < 0.6 else {}
        right["adjuster"] = [{"name": "track rod", "now_turns": _in(rng, -1, 1, 3)}]
        if "pushrod" in case.left and rng.random() < 0.7:
            (turns,) = (a["now_turns"] for a in case.left["adjuster"] if a["name"] == "pushrod")
            right["adjuster"].append({"name": "pushrod", "now_turns": round(turns + _in(rng, -0.3, 0.3, 2), 3)})
        if all(_fits(replace(case, side=side, right_overrides=right)) for side in ("left", "right")):
            return case.left, right, case.setup_wheel


def _fits(case: RandomCorner) -> bool:
    """True where the corner, with its settings, stays clear of toggles, upright and extreme ratios over its travel."""
    corner = Corner(case.table(), case.setup_wheel, RACK_DIRECTION, case.side)
    drawn = corner.triples(np.zeros((1, corner.size)), corner.parts(np.zeros(len(corner.adjusters))))
    try:
        q, parts = corner.sweep([-MOST_TRAVEL_MM, 0.0, MOST_TRAVEL_MM])
    except NotAssembled:
        return False
    found = corner.outputs(q, parts)
    lean, ratio = found["inclination_deg"], found["motion_ratio"]
    return bool(
        np.min(corner.triples(q, parts) * np.sign(drawn)) > CLEAR_OF_TOGGLE
        and np.min(np.abs(lean)) > 1.0  # the ground leans too
        and np.ptp(np.sign(lean)) == 0.0
        and MOTION_RATIO[0] < np.min(ratio) <= np.max(ratio) < MOTION_RATIO[1]
        and np.max(np.abs(found["toe_deg"])) < MOST_TOE_DEG
    )


def _bar(rng: Generator, table: Table, right: Table) -> Table:
    """A connected bar across the axle, its drop links' ends on the rockers or else on the springs' body."""
    if "rocker" in table:
        end = _near(rng, table["rocker"]["axis_point"], [0.0, -48.0, 0.0])
        table["rocker"]["drop_link"] = end
        arm = _near(rng, end, [0.0, 0.0, -65.0])
    else:
        end = _near(rng, table["spring"]["outer"], [25.0, -20.0, 0.0])
        table["drop_link"] = {"outer": end, "outer_on": table["spring"]["outer_on"]}
        arm = _near(rng, end, [0.0, 0.0, 130.0])
    table["adjuster"].append(
        _thread("drop link", "drop_link", "bar_free", "left_and_right", rng.uniform(-0.8, 0.8), thread="M6x1")
    )
    right["adjuster"].append({"name": "drop link", "now_turns": _in(rng, -0.8, 0.8, 3)})
    bar: Table = {"left": {"bearing": _near(rng, arm, [_pick(rng, 95.0, -95.0), -35.0, 0.0]), "arm": arm}}
    if rng.random() < 0.3:
        x, y, z = arm
        bx, by, bz = bar["left"]["bearing"]
        bar["right"] = {"bearing": [bx, -by, bz], "arm": _near(rng, [x, -y, z], 0.0, 3.0)}
    if rng.random() < 0.4:
        bar["blades_Nm_per_deg"] = {"soft": _in(rng, 0.5, 2), "hard": _in(rng, 3, 6)}
        bar["blade"] = _pick(rng, "soft", "hard")
    else:
        bar["rate_Nm_per_deg"] = _in(rng, 1, 6)
    return bar | {"connected": bool(rng.random() < 0.85)}


def _third(rng: Generator, table: Table) -> Table:
    left = _near(rng, table["rocker"]["axis_point"], [0.0, 2.0, 55.0])
    third = {"left": left, "rate_N_per_mm": _in(rng, 15, 50), "gap_mm": _in(rng, -4, 3)}
    if rng.random() < 0.3:
        third["right"] = _near(rng, [left[0], -left[1], left[2]], 0.0, 3.0)
    return third | ({"carries": "pull"} if rng.random() < 0.3 else {})


# Struts ---------------------------------------------------------------------------------------------------------------


def _struts(rng: Generator, car: Table, stops: list[str], *, as_drawn: bool) -> None:
    """Rates for a wheel rate of 25 to 60 N/mm; loads near the ones that carry the car as drawn; stops where named."""
    model = RestCar(car, {}, {})
    model.set_cg(np.array(car["mass"]["cg_mm"]))
    needed = model.loads_as_drawn(0.5)
    for axle in AXLES:
        left, right = car[f"{axle}_left"], car[f"{axle}_right"]
        ratio = abs(model.as_drawn[f"{axle}_left"].length_rate)
        rate = round(rng.uniform(25, 60) / ratio**2, 1)
        left["spring"]["rate_N_per_mm"] = rate
        eyes = np.subtract(
            *(model.corners[f"{axle}_left"].drawn[end] for end in model.corners[f"{axle}_left"].spring_ends)
        )
        drawn_mm = float(np.linalg.norm(eyes))
        helper = rng.random() < 0.4
        if helper:
            closes = _in(rng, 8, 25)
            share = _pick(rng, rng.uniform(0.1, 0.5), rng.uniform(0.1, 0.5), rng.uniform(1.5, 2.0))
            left["helper"] = {
                "rate_N_per_mm": round(share * needed[f"{axle}_left"] / closes, 2),
                "closes_at_mm": closes,
            }
        if rng.random() < 0.6:
            mm, N = np.cumsum(rng.uniform(2, 5, 3)), np.cumsum(rng.uniform(50, 500, 3))
            rows = [[round(float(a), 2), round(float(b), 1)] for a, b in zip(mm, N, strict=True)]
            left["bump_rubber"] = {"gap_mm": _in(rng, 0.2, 12, 2), "force_N_at_mm": [[0.0, 0.0], *rows]}
        for name, table in ((f"{axle}_left", left), (f"{axle}_right", right)):
            if name in stops:
                more = rng.uniform(0.3, 0.6) * needed[name]
                longest = float(np.ceil(10 * (drawn_mm + rng.uniform(0.1, 1.5)))) / 10
            else:
                more = rng.uniform(-8, 5) * ratio * rate
                longest = round(drawn_mm + rng.uniform(25, 60), 1)
            table["damper"] = {"shortest_mm": round(drawn_mm - 75.0, 1), "longest_mm": longest}
            if as_drawn:
                continue
            spring = table.setdefault("spring", {})
            load = max(needed[name] + more, 0.3 * needed[name])
            spring.pop("rests_as_drawn", None)
            if helper or rng.random() < 0.6:
                spring["load_at_drawn_N"] = round(load, 1)
            else:
                spring["seat_gap_mm"] = _in(rng, 15, 45)
                spring["free_length_mm"] = round(drawn_mm + load / rate - spring["seat_gap_mm"], 2)


# The car --------------------------------------------------------------------------------------------------------------


def _candidate(rng: Generator, number: int, seed: list[int]) -> Table:
    """One draw, unchecked, as a parsed car file."""
    as_drawn = number % 5 == 3
    car: Table = {"format": "shimwise-car/1", "name": f"Lot {number}"}
    if number % 3 == 0:
        car["chassis_twist_Nm_per_deg"] = _in(rng, 400, 6000, 0)
    cg = _point(np.array([-rng.uniform(0.45, 0.6) * WHEELBASE_MM, rng.uniform(-20, 20), rng.uniform(240, 330)]))
    car["mass"] = {
        "total_kg": _in(rng, 450, 620),
        "cg_mm": cg,
        "unsprung_kg": {"front": _in(rng, 11, 17), "rear": _in(rng, 13, 20)},
    }
    car["ballast"] = [
        {"name": "driver", "at_mm": _near(rng, [-1250.0, 0.0, 250.0], 0.0, 40.0), "now_kg": _in(rng, 55, 90)},
        {"name": "lead", "at_mm": _near(rng, [-600.0, 0.0, 60.0], 0.0, 700.0)[:2] + [60.0], "now_kg": _in(rng, 0, 20)},
    ]
    car["setup_wheel"] = {}
    car["ride_height_points"] = {
        "front_left": {"at_mm": _near(rng, [-150.0, 300.0, 10.0], 0.0, 9.0), "from": "floor"},
        "rear_left": {"at_mm": _near(rng, [-2250.0, 320.0, 10.0], 0.0, 9.0), "from": "floor"},
        "nose": {"at_mm": _near(rng, [420.0, 0.0, 30.0], 0.0, 9.0), "from": "skid"},
    }
    if rng.random() < 0.4:
        point = _near(rng, [-2230.0, -310.0, 10.0], 0.0, 9.0)
        car["ride_height_points"]["rear_right"] = {"at_mm": point, "from": "floor"}
    car["rake"] = {"front": _pick(rng, "front_left", "front_left", "nose"), "rear": "rear_left"}
    car["rack"] = {"direction": RACK_DIRECTION, "travel_mm": [-40.0, 40.0], "mm_per_turn": 38.0}
    for axle in AXLES:
        direct = axle == "rear" and number % 4 == 3
        left, right, wheel = _axle(rng, axle, seed, direct=direct)
        car["setup_wheel"][axle] = wheel
        left["spring"] = {key: value for key, value in left["spring"].items() if key != "load_at_drawn_N"}
        left["spring"]["rests_as_drawn"] = True
        if not as_drawn and rng.random() < 0.5:  # which is on level pads, so with four level contacts
            right["wheel"] = {"toe_deg": round(left["wheel"]["toe_deg"] + _in(rng, -0.3, 0.3, 3), 3)}
        if direct or rng.random() < 0.75:
            car[f"{axle}_bar"] = _bar(rng, left, right)
        if "rocker" in left and rng.random() < 0.4:
            car[f"{axle}_third"] = _third(rng, left)
        car[f"{axle}_left"], car[f"{axle}_right"] = left, right
    if number % 2 == 1:
        car["mass"]["unsprung_cg_mm"] = {
            axle: _near(rng, car[f"{axle}_left"]["wheel"]["centre"], [0.0, -30.0, 5.0]) for axle in AXLES
        }
    _struts(rng, car, STOPS[number // 4 % 4] if number % 4 == 1 and not as_drawn else [], as_drawn=as_drawn)
    return car


def _on_scales(rng: Generator, car: Table, found: Found) -> None:
    """Scale readings of the car at rest instead of its centre of gravity, to 0.1 kg, off by as much as scales are."""
    kg = np.array(list(found.load_N().values())) / G + rng.uniform(-0.5, 0.5, 4)
    car["mass"]["cg_height_mm"] = car["mass"].pop("cg_mm")[2]
    car["mass"]["scales_kg"] = {name: round(float(w), 1) for name, w in zip(CORNER_NAMES, kg, strict=True)}


def why_no_rest(car: Table) -> str:
    """Empty where the car rests inside its travel, clear of kinks, level and on uneven pads."""
    try:
        model, level = found_rest(car)
        reason = _why_unfit(model, level)
        model.pads_mm |= PADS_MM
        return reason or _why_unfit(model, Search(model).rest())
    except (NotAtRest, NotAssembled) as error:
        return str(error)


def _why_unfit(model: RestCar, found: Found) -> str:
    if not min(found.load_N().values()) > LEAST_LOAD_N:
        return "light wheel"
    if not np.min(np.linalg.eigvalsh(stiffness(model, found))) > 0.0:
        return "no minimum"
    for name, s in found.state.corner.items():
        if not abs(s.at["wheel.centre"][2] - model.corners[name].drawn["wheel.centre"][2]) < MOST_TRAVEL_MM:
            return "travels too far"
        strut, squeeze = model.struts[name], model.struts[name].loose_mm - s.length_mm
        if not float(strut.spring(np.array([squeeze]))[0][0]) > LEAST_SPRING_N:
            return "loose spring"
        knots = [*(squeeze - strut.spring.millimetres), *(strut.touch_mm - s.length_mm - strut.rubber.millimetres)]
        if name in found.pull_N:
            if not found.pull_N[name] > LEAST_SPRING_N:
                return "a stop that hardly pulls"
        else:
            knots.append(model.longest_mm(name) - s.length_mm)
        if not min(abs(knot) for knot in knots) > CLEAR_MM:
            return "a kink"
    for axle in model.thirds:
        at = [found.state.corner[f"{axle}_{side}"].at["third"] for side in ("left", "right")]
        if not abs(model.third_squeeze_mm(axle, at[0] - at[1])) > CLEAR_MM:
            return "a third element that just touches"
    return ""


def drawn_car(number: int) -> tuple[str, list[str]]:
    """Text of car file `number`, and why earlier draws were not fit."""
    seed = [*b"cars at rest", number]
    rng = np.random.default_rng(seed)
    reasons: list[str] = []
    while True:
        try:
            car = _candidate(rng, number, seed)
            reason = why_no_rest(car)
            if not reason and number % 4 == 2:
                _on_scales(rng, car, found_rest(car)[1])
                reason = why_no_rest(car)
        except (NotAtRest, NotAssembled) as error:
            reason = str(error)
        if not reason:
            text = car_text(car)
            if tomllib.loads(text) != car:
                raise AssertionError(f"car {number} is not what its file says")
            return text, reasons
        reasons.append(reason)


@cache
def random_car(seed: int) -> str:
    """Text of a car file, valid and at rest by this oracle; the same for the same seed."""
    return drawn_car(seed)[0]


def weighed_car(number: int) -> tuple[Table, Table, dict[str, Any]]:
    """Car `number` by its scale readings; the same with its bars the other way; settings it was not weighed with.

    It rests as weighed, with the settings, and with both, clear of every kink.
    """
    rng = np.random.default_rng([*b"weighed", number])
    drawn = tomllib.loads(random_car(number))
    found = found_rest(drawn)[1]
    while True:
        car = copy.deepcopy(drawn)
        if "scales_kg" not in car["mass"]:
            _on_scales(rng, car, found)
        other_bars = copy.deepcopy(car)
        for axle in AXLES:
            if f"{axle}_bar" in car:
                other_bars[f"{axle}_bar"]["connected"] = not car[f"{axle}_bar"]["connected"]
        settings = _turned_since(rng, car)
        try:
            states = [changed_since(car, *since) for since in ((car, {}), (car, settings), (other_bars, settings))]
        except (NotAtRest, NotAssembled):
            continue
        if not any(_why_unfit(*state) for state in states):
            return car, other_bars, settings


def changed_since(
    weighed: Table, car: Table, settings: Mapping[str, Any], ballast_kg: Mapping[str, float] | None = None
) -> tuple[RestCar, Found]:
    """Model and state of a car with other bars, settings or ballast than it was weighed with."""
    model = RestCar(car, settings, ballast_kg or {})
    set_masses(model, weighed)
    model.go_to_present()
    return model, Search(model).rest()


def _turned_since(rng: Generator, car: Table) -> dict[str, Any]:
    """Some threads by up to half a turn, and some packs of shims."""
    settings: dict[str, Any] = {}
    for corner, table in corner_tables(car).items():
        for adjuster in table["adjuster"]:
            key = f"{corner}.{adjuster['name']}"
            if rng.random() < 0.5:
                continue
            if "moves" in adjuster:
                settings[key] = _pick(rng, [0.5], [1.0], [2.0, 0.5], [2.0, 1.0])
            else:
                settings[key] = round(adjuster["now_turns"] + _in(rng, -0.5, 0.5, 2), 3)
    return settings


def car_text(car: Table) -> str:
    """TOML of a parsed car file."""
    corners = {name: car[name] for name in CORNER_NAMES if name in car}
    plain = {key: value for key, value in car.items() if not isinstance(value, (dict, list))}
    blocks = [toml_block("# Invented, drawn by lot.", plain)]
    blocks += [toml_block("[[ballast]]", item) for item in car.get("ballast", [])]
    blocks += [toml_block(f"[{k}]", v) for k, v in car.items() if isinstance(v, dict) and k not in corners]
    blocks += [toml_corner(name, table) for name, table in corners.items()]
    return "\n".join(blocks)
