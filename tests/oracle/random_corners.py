"""Seeded random corners around plausible double-wishbone geometry, written as complete car files.

All data are invented. Points are drawn evenly from the boxes below (mm, left side, origin at the axle line). A corner
that does not assemble over +-30 mm of wheel travel, or comes near a toggle there, is drawn again and counted.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np

from car_table import mirrored, overridden
from corner import Corner, NotAssembled
from toml_text import toml_block, toml_corner

Table = dict[str, Any]

TRAVEL_MM = 30.0
RACK_MM = 12.0
WHEELBASE_MM = 2450.0
CLEAR_OF_TOGGLE = 0.12  # a triple product over its lengths, everywhere in the travel; the file's own limit is 0.02
MOTION_RATIO = (0.2, 2.5)
CLEAR_OF_UPRIGHT_DEG = 0.1  # the contact centre jumps by half the disc's width where the wheel passes upright
MOST_TOE_DEG = 25.0

HARD_BOXES = {
    "upper_wishbone": {
        "front": ([80, 220, 305], [170, 310, 365]),
        "rear": ([-180, 220, 295], [-80, 310, 355]),
        "outer": ([-25, 545, 315], [8, 600, 365]),
    },
    "lower_wishbone": {
        "front": ([100, 170, 95], [210, 260, 145]),
        "rear": ([-210, 170, 90], [-100, 260, 140]),
        "outer": ([-4, 580, 95], [20, 625, 128]),
    },
}
TRACK_ROD_BOXES = {
    "ahead": {"inner": ([50, 210, 125], [100, 275, 195]), "outer": ([65, 570, 125], [105, 615, 185])},
    "behind": {"inner": ([-110, 210, 125], [-55, 275, 195]), "outer": ([-110, 570, 125], [-65, 615, 185])},
}
# Where the pushrod's outer end sits, the rocker's axis point, and its two points from there.
PUSHROD_BOXES = {
    "lower_wishbone": {
        "outer": ([-20, 500, 115], [20, 575, 150]),
        "axis_point": ([-20, 260, 375], [30, 310, 415]),
        "to_inner": ([-12, 32, 10], [12, 52, 30]),
        "to_spring": ([-12, -8, 50], [12, 18, 70]),
        "spring": ([-40, 30, 440], [40, 110, 490]),
    },
    "upper_wishbone": {  # a pull rod down to a rocker by the floor
        "outer": ([-20, 470, 315], [20, 550, 365]),
        "axis_point": ([-20, 235, 135], [30, 275, 170]),
        "to_inner": ([-12, 36, -50], [12, 56, -30]),
        "to_spring": ([-12, -15, 45], [12, 15, 65]),
        "spring": ([-40, 40, 180], [40, 90, 240]),
    },
}
PUSHROD_BOXES["upright"] = PUSHROD_BOXES["lower_wishbone"] | {"outer": ([-20, 565, 120], [20, 610, 170])}
SPRING_BOXES = {  # spring straight on its carrier, no rocker
    "lower_wishbone": {"outer": ([-20, 470, 115], [20, 550, 150]), "chassis": ([-30, 280, 400], [30, 360, 470])},
    "upper_wishbone": {"outer": ([-20, 460, 330], [20, 540, 370]), "chassis": ([-30, 300, 500], [30, 380, 580])},
    "upright": {"outer": ([-20, 560, 130], [20, 610, 190]), "chassis": ([-30, 300, 430], [30, 380, 500])},
}


@dataclass
class RandomCorner:
    """One corner as its left table, what a right table overrides, and the side that is compared."""

    left: Table
    right_overrides: Table
    setup_wheel: Table
    ride_height_mm: float
    axle: str
    side: str
    seed: list[int]
    redrawn: int = 0
    reasons: list[str] = field(default_factory=list)

    @property
    def name(self) -> str:
        return f"{self.axle}_{self.side}"

    def table(self) -> Table:
        """The compared side in true coordinates."""
        return self.left if self.side == "left" else overridden(mirrored(self.left), self.right_overrides)


def seed_of(test: str, index: int) -> list[int]:
    """From the test's name and the case's number: printed on failure, enough to draw the case again."""
    return [*test.encode(), index]


def _draw(rng: np.random.Generator, box: tuple[list[float], list[float]]) -> np.ndarray:
    return rng.uniform(np.array(box[0], dtype=float), np.array(box[1], dtype=float))


def _point(value: np.ndarray) -> list[float]:
    """Rounded to 0.001 mm, as a drawing has it; the file then holds the very numbers that the oracle uses."""
    return [round(float(number), 3) for number in value]


def _pick(rng: np.random.Generator, *choices: Any) -> Any:
    return choices[int(rng.integers(len(choices)))]


def _thread(name: str, changes: str, purpose: str, ends: str, turns: float, **threads: Any) -> Table:
    engaged = {} if changes == "spring_platform" else {"engaged_mm": 30.0, "least_engaged_mm": 12.0}
    return {
        "name": name,
        "changes": changes,
        "purpose": purpose,
        **threads,
        "ends": ends,
        "locks": "anywhere",
        "counted_in": "quarter_flat",
        "now_turns": round(turns, 3),
        **engaged,
        "limits_turns": [-6.0, 6.0],
        "settable_turns": 0.02,
        "minutes": 4,
    }


def _stack(
    rng: np.random.Generator, name: str, moves: list[str], on: str, purpose: str, direction: np.ndarray
) -> Table:
    return {
        "name": name,
        "moves": moves,
        "on": on,
        "purpose": purpose,
        "direction": _point(direction),
        "drawn_with_mm": 3.0,
        "fitted_mm": [_pick(rng, 0.5, 1.0, 2.0) for _ in range(int(rng.integers(1, 4)))],
        "box_mm": [0.5, 0.5, 1.0, 2.0],
        "limits_mm": [0.0, 8.0],
        "thickness_uncertainty_mm": 0.02,
        "minutes": 12,
    }


def _adjusters(rng: np.random.Generator, table: Table) -> list[Table]:
    """One adjuster of every kind that the corner can carry, each away from drawn."""
    ends = _pick(rng, "left_and_right", "one")
    inboard = np.array([0.0, -1.0, 0.0])
    adjusters = [
        _thread("track rod", "track_rod", "toe", "left_and_right", rng.uniform(-1.2, 1.2), thread="M8x1.25"),
        _thread(
            "lower rear leg",
            "lower_wishbone.rear_leg",
            "caster",
            "same_hand",
            rng.uniform(-3, 3),
            thread="M12x1.75",
            second_thread="M12x1.25",
        ),
        _thread("upper front leg", "upper_wishbone.front_leg", "caster", ends, rng.uniform(-1, 1), thread="3/8-24"),
        _thread("upper rear leg", "upper_wishbone.rear_leg", "camber", "one", rng.uniform(-1, 1), pitch_mm=1.5),
        _thread("platform", "spring_platform", "corner_weight", "one", rng.uniform(-3, 3), pitch_mm=2.0),
    ]
    if "pushrod" in table:
        turns = rng.uniform(-1.2, 1.2)
        adjusters.append(_thread("pushrod", "pushrod", "ride_height", "left_and_right", turns, thread="1/2-20"))
    bracket = ["upper_wishbone.outer", "track_rod.outer"]
    if table.get("pushrod", {}).get("outer_on") == "upright":
        bracket = ["lower_wishbone.outer", "pushrod.outer"]
    oblique = inboard + rng.uniform(-0.2, 0.2, 3)
    adjusters += [
        _stack(rng, "camber shim", ["upper_wishbone.outer"], "upright", "camber", inboard),
        _stack(rng, "bracket shim", bracket, "upright", "camber", oblique),
        _stack(
            rng,
            "pickup shim",
            [f"{_pick(rng, 'upper_wishbone', 'lower_wishbone')}.{end}" for end in ("front", "rear")],
            "chassis",
            "caster",
            np.array([_pick(rng, 0.0, 1.0), _pick(rng, 1.0, -1.0), 0.0]) + rng.uniform(-0.3, 0.3, 3),
        ),
    ]
    order = rng.permutation(len(adjusters))
    return [adjusters[i] for i in order]


def _geometry(rng: np.random.Generator, axle: str) -> Table:
    where = _pick(rng, "ahead", "behind")
    table: Table = {
        part: {end: _point(_draw(rng, box)) for end, box in boxes.items()} for part, boxes in HARD_BOXES.items()
    }
    table["track_rod"] = {end: _point(_draw(rng, box)) for end, box in TRACK_ROD_BOXES[where].items()}
    table["track_rod"]["inner_moves"] = "rack" if axle == "front" else "fixed"
    body = _pick(rng, "lower_wishbone", "upper_wishbone", "upright")
    strut = {"rate_N_per_mm": 90.0, "load_at_drawn_N": 1150.0}
    if rng.random() < 0.8:
        boxes = PUSHROD_BOXES[body]
        axis_point = _draw(rng, boxes["axis_point"])
        table["pushrod"] = {
            "outer": _point(_draw(rng, boxes["outer"])),
            "inner": _point(axis_point + _draw(rng, boxes["to_inner"])),
            "outer_on": body,
        }
        table["rocker"] = {
            "axis_point": _point(axis_point),
            "axis_direction": _point(np.array([_pick(rng, 1.0, -1.0), 0.0, 0.0]) + rng.uniform(-0.5, 0.5, 3)),
            "spring": _point(axis_point + _draw(rng, boxes["to_spring"])),
        }
        table["spring"] = {"chassis": _point(_draw(rng, boxes["spring"])), **strut}
        eyes = (table["rocker"]["spring"], table["spring"]["chassis"])
    else:
        ends = {end: _point(_draw(rng, box)) for end, box in SPRING_BOXES[body].items()}
        table["spring"] = {"outer": ends["outer"], "outer_on": body, "chassis": ends["chassis"], **strut}
        eyes = (ends["outer"], ends["chassis"])
    drawn = float(np.linalg.norm(np.subtract(*eyes)))
    table["damper"] = {"shortest_mm": round(drawn - 80.0, 1), "longest_mm": round(drawn + 80.0, 1)}
    return table


def _shifted(table: Table, x_mm: float) -> Table:
    """Every point moved along x; directions stay."""
    moved: Table = {}
    for key, value in table.items():
        if isinstance(value, dict):
            moved[key] = _shifted(value, x_mm)
        elif isinstance(value, list) and len(value) == 3 and key not in ("axis_direction", "direction"):
            moved[key] = [round(value[0] + x_mm, 3), value[1], value[2]]
        else:
            moved[key] = value
    return moved


def _right_overrides(rng: np.random.Generator, left: Table) -> Table:
    """A right table of its own in half of the cases: a point as a whole, keys of a sub-table, an adjuster by name."""
    if rng.random() < 0.5:
        return {}
    x, y, z = left["track_rod"]["outer"]
    return {
        "wheel": {"toe_deg": round(float(rng.uniform(-0.5, 0.5)), 3)},
        "track_rod": {"outer": _point(np.array([x, -y, z]) + rng.uniform(-3, 3, 3))},
        "adjuster": [{"name": "track rod", "now_turns": round(float(rng.uniform(-1, 1)), 3)}],
    }


def candidate_corner(rng: np.random.Generator, axle: str, seed: list[int]) -> RandomCorner:
    """One draw, unchecked. The wheel centre stands at the height that puts the contact at the ride height."""
    left = _geometry(rng, axle)
    wheel = {
        "radius_mm": round(float(rng.uniform(245, 275)), 1),
        "width_mm": _pick(rng, 0.0, 8.0, 10.0),
        "offset_mm": _pick(rng, 0.0, 0.0, 12.0, -7.5),
        "flag_span_mm": 520.0,
    }
    ride_height = round(float(rng.uniform(30, 50)), 1)
    camber = round(float(_pick(rng, rng.uniform(-5, -1.5), rng.uniform(1.5, 4))), 3)
    toe = round(float(rng.uniform(-1, 1)), 3)
    inclination = np.arctan(np.tan(np.radians(camber)) / np.sqrt(1 + np.tan(np.radians(toe)) ** 2))
    height = (
        wheel["radius_mm"] * np.cos(inclination)
        + wheel["width_mm"] / 2 * np.sin(abs(inclination))
        + wheel["offset_mm"] * np.sin(inclination)
        - ride_height
    )
    centre = _point(np.array([rng.uniform(-6, 6), rng.uniform(630, 680), height]))
    left["wheel"] = {"centre": centre, "toe_deg": toe, "camber_deg": camber}
    left["adjuster"] = _adjusters(rng, left)
    if axle == "rear":
        left = _shifted(left, -WHEELBASE_MM)
    side = _pick(rng, "left", "right")
    return RandomCorner(left, _right_overrides(rng, left), wheel, ride_height, axle, side, seed)


def why_unfit(candidate: RandomCorner) -> str:
    """Empty where the corner, with its settings, assembles well clear of toggles over its travel and rack."""
    corner = Corner(candidate.table(), candidate.setup_wheel, RACK_DIRECTION, candidate.side)
    racks = (-RACK_MM, 0.0, RACK_MM) if candidate.axle == "front" else (0.0,)
    signs = np.sign(corner.triples(np.zeros((1, corner.size)), corner.parts(np.zeros(len(corner.adjusters)))))
    for rack in racks:
        try:
            q, parts = corner.sweep(np.linspace(-TRAVEL_MM, TRAVEL_MM, 13), rack)
        except NotAssembled:
            return "does not assemble"
        if not np.min(corner.triples(q, parts) * signs) > CLEAR_OF_TOGGLE:
            return "near a toggle"
        found = corner.outputs(q, parts)
        ratio = found["motion_ratio"]
        if not (np.min(ratio) > MOTION_RATIO[0] and np.max(ratio) < MOTION_RATIO[1]):
            return "motion ratio"
        if not np.min(np.abs(found["inclination_deg"])) > CLEAR_OF_UPRIGHT_DEG:
            return "passes upright"
        if len(set(np.sign(found["inclination_deg"]))) != 1:
            return "passes upright"
        if not np.max(np.abs(found["toe_deg"])) < MOST_TOE_DEG:
            return "steers too far"
    return ""


def random_corner(test: str, index: int, axle: str) -> RandomCorner:
    """The corner of this test and index, drawn until it is fit; `redrawn` counts the others."""
    seed = seed_of(test, index)
    rng = np.random.default_rng(seed)
    reasons: list[str] = []
    while True:
        candidate = candidate_corner(rng, axle, seed)
        reason = why_unfit(candidate)
        if not reason:
            candidate.redrawn = len(reasons)
            candidate.reasons = reasons
            return candidate
        reasons.append(reason)


# The complete car file -----------------------------------------------------------------------------------------------

RACK_DIRECTION = [0.0, 1.0, 0.0]


def random_car(test: str, index: int) -> tuple[str, list[RandomCorner]]:
    """Car file number `index`: corners 2 index (front) and 2 index + 1 (rear), and the text of the file."""
    corners = [random_corner(test, 2 * index, "front"), random_corner(test, 2 * index + 1, "rear")]
    return car_text(*corners), corners


def car_text(front: RandomCorner, rear: RandomCorner) -> str:
    """A complete, plausible car file around two random corners; the other two mirror them."""
    x_cg = -0.55 * WHEELBASE_MM
    head: list[tuple[str, Table]] = [
        (
            "[mass]",
            {"total_kg": 498.0, "cg_mm": [x_cg, 4.0, 285.0], "unsprung_kg": {"front": 14.5, "rear": 17.0}},
        ),
        ("[setup_wheel]", {"front": front.setup_wheel, "rear": rear.setup_wheel}),
        ("[strings]", {"bars_apart_mm": 3900.0, "on": "car", "end_uncertainty_mm": 0.3}),
        (
            "[ride_height_points]",
            {
                "front_left": {"at_mm": [-180.0, 310.0, 0.0], "from": "floor"},
                "rear_left": {"at_mm": [100.0 - WHEELBASE_MM, 330.0, 0.0], "from": "floor"},
            },
        ),
        ("[rake]", {"front": "front_left", "rear": "rear_left"}),
        ("[rack]", {"direction": RACK_DIRECTION, "travel_mm": [-40.0, 40.0], "mm_per_turn": 38.0}),
        (
            "[instruments]",
            {
                "flag_ruler": {"resolution_mm": 0.2, "level_uncertainty_deg": 0.1},
                "camber_gauge": {
                    "resolution_deg": 0.02,
                    "repeatability_deg": 0.01,
                    "zero_error_deg": 0.0,
                    "zero_uncertainty_deg": 0.03,
                },
                "height_gauge": {"resolution_mm": 0.2},
                "scale": {
                    "resolution_kg": 0.1,
                    "repeatability_kg": 0.1,
                    "zero_uncertainty_kg": 0.2,
                    "span_uncertainty_percent": 0.1,
                },
                "pad_level": {"resolution_mm": 0.05, "repeatability_mm": 0.05},
            },
        ),
        (
            "[settling]",
            {
                "warp_kg": 0.15,
                "ride_height_mm": 0.1,
                "lateral_mm": 0.15,
                "toe_deg": 0.005,
                "camber_deg": 0.005,
            },
        ),
    ]
    blocks = ['format = "shimwise-car/1"\nname = "Drawn by lot"\n']
    blocks += [toml_block(header, table) for header, table in head]
    for corner in (front, rear):
        blocks.append(toml_corner(f"{corner.axle}_left", corner.left))
        if corner.side == "right" and corner.right_overrides:
            blocks.append(toml_corner(f"{corner.axle}_right", corner.right_overrides))
    return "\n".join(blocks)
