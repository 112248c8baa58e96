"""Checks on the oracle's forces: every body's balance from what is reported, virtual work, a truss solved by hand."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))

from corner import Corner
from forces import ARMS, forces
from random_corners import RACK_DIRECTION, random_corner
from vectors import unit
from virtual_work import virtual_work

LOADS = [(0.0, 0.0, 2600.0), (900.0, -1800.0, 2600.0), (-2100.0, 400.0, -300.0)]
STATES = [(0.0, 0.0), (-22.0, 9.0), (18.0, -6.0)]


@pytest.fixture(scope="module")
def states():
    """Corners by lot, so many that every body carries the strut in one, with and without rocker."""
    found = []
    for index in range(12):
        case = random_corner("test_forces", index, ("front", "rear")[index % 2])
        corner = Corner(case.table(), case.setup_wheel, RACK_DIRECTION, case.side)
        travel, rack = STATES[index % 3]
        q, parts = corner.sweep([travel], rack)
        placed = corner.place(q, parts)
        at = {name: point[0] for name, point in placed.at.items()}
        found.append((f"{case.seed[-1]} at {travel}, {rack}", corner, q, parts, at, placed.contact[0]))
    return found


def carrier_of(corner):
    return corner.pushrod_on if corner.has_rocker else corner.spring_on


def balance(pushes, about, moment=0.0):
    """Sum of forces, and of moments per 100 mm, of (point, force) pairs."""
    total = sum(force for _, force in pushes)
    turning = sum(np.cross(point - about, force) for point, force in pushes) + moment
    return np.max(np.abs([*total, *turning / 100.0]))


def strut_ends(corner):
    """Member that the carrier feels, its end there and its other end."""
    return (
        ("pushrod", "pushrod.outer", "pushrod.inner")
        if corner.has_rocker
        else (
            "spring",
            "spring.outer",
            "spring.chassis",
        )
    )


def test_each_kind_of_corner_is_among_the_states(states):
    kinds = {(corner.has_rocker, carrier_of(corner)) for _, corner, *_ in states}
    print(kinds)
    assert {carrier for _, carrier in kinds} == {"upright", *ARMS}
    assert {rocker for rocker, _ in kinds} == {True, False}


def test_each_body_balances_by_itself(states):
    for label, corner, _q, _parts, at, contact in states:
        carrier = carrier_of(corner)
        member, end, far = strut_ends(corner)
        for load in LOADS:
            found = forces(corner, at, contact, load)
            small = 1e-9 * max(np.max(np.abs(force)) for force in found.on_chassis.values())
            pull = found.axial[member] * unit(at[far] - at[end])

            pushes = [(at[name], force) for name, force in found.on_upright.items()]
            assert balance([*pushes, (contact, np.array(load))], contact) < small, (label, "upright")
            assert ("strut on upright", end in found.on_upright) == ("strut on upright", carrier == "upright")
            rod = found.axial["track_rod"] * unit(at["track_rod.inner"] - at["track_rod.outer"])
            assert np.all(np.abs(found.on_upright["track_rod.outer"] - rod) < small), label

            for arm in ARMS:
                axis = unit(at[f"{arm}.rear"] - at[f"{arm}.front"])
                pushes = [(at[f"{arm}.{e}"], -found.on_chassis[f"{arm}.{e}"]) for e in ("front", "rear")]
                pushes += [(at[f"{arm}.front"], -found.along_pickups[arm] * axis)]
                pushes += [(at[f"{arm}.outer"], -found.on_upright[f"{arm}.outer"])]
                if arm == carrier:
                    pushes.append((at[end], pull))
                else:
                    legs = sum(
                        found.axial[f"{arm}.{e}_leg"] * unit(at[f"{arm}.{e}"] - at[f"{arm}.outer"])
                        for e in ("front", "rear")
                    )
                    assert np.all(np.abs(found.on_upright[f"{arm}.outer"] - legs) < small), (label, arm)
                assert balance(pushes, at["wheel.centre"]) < small, (label, arm)
                for e in ("front", "rear"):
                    assert abs(found.on_chassis[f"{arm}.{e}"] @ axis) < small, (label, arm)
            assert (carrier in ARMS) == (len([name for name in found.axial if name.endswith("_leg")]) == 2), label

            if corner.has_rocker:
                spring = found.axial["spring"] * unit(at["spring.chassis"] - at["rocker.spring"])
                pushes = [(at["pushrod.inner"], -pull), (at["rocker.spring"], spring)]
                pushes.append((at["rocker.axis_point"], -found.on_chassis["rocker.axis_point"]))
                left = balance(pushes, at["rocker.axis_point"], -found.rocker_moment)
                assert left < small, (label, "rocker")
                assert abs(found.rocker_moment @ corner.rocker_axis) < 100 * small, label


def test_chassis_takes_the_whole_load(states):
    for label, corner, _q, _parts, at, contact in states:
        found = forces(corner, at, contact, LOADS[1])
        pushes = [(at[name], force) for name, force in found.on_chassis.items()]
        for arm in ARMS:
            axis = unit(at[f"{arm}.rear"] - at[f"{arm}.front"])
            pushes.append((at[f"{arm}.rear"], found.along_pickups[arm] * axis))
        pushes.append((contact, -np.array(LOADS[1])))
        most = max(np.max(np.abs(force)) for force in found.on_chassis.values())
        assert balance(pushes, contact, found.rocker_moment) < 1e-9 * most, label


def test_forces_are_the_virtual_work_of_solved_positions(states):
    for label, corner, q, parts, at, contact in states:
        one, other = forces(corner, at, contact, LOADS[1]), virtual_work(corner, q, parts, LOADS[1])
        most = max(np.max(np.abs(force)) for force in one.on_chassis.values())
        for part in ("axial", "on_upright", "on_chassis", "along_pickups"):
            balanced, worked = getattr(one, part), getattr(other, part)
            assert balanced.keys() == worked.keys(), (label, part)
            for name, value in balanced.items():
                assert np.all(np.abs(value - worked[name]) < 1e-7 * most), (label, part, name)
        assert np.all(np.abs(one.rocker_moment - other.rocker_moment) < 1e-5 * most), label


def test_a_load_straight_up_squeezes_the_strut_by_the_motion_ratio(states):
    for label, corner, q, parts, at, contact in states:
        ratio = corner.outputs(q, parts)["motion_ratio"][0]
        found = forces(corner, at, contact, (0.0, 0.0, 1000.0))
        assert abs(found.axial["spring"] + 1000.0 / ratio) < 1e-9 * 1000.0 / ratio, label


def test_level_arms_and_an_upright_strut_by_hand():
    """Strut in line with the joints, wheel 50 mm outboard of them: the strut takes the weight, the arms the couple.

    It turns the top of the upright inboard. Arms 200 mm apart: under 1000 N the upper one is pushed and the lower one
    pulled by 250 N. The legs stand at 45 degrees: each carries 125 sqrt 2.
    """
    table = {
        "wheel": {"centre": [0.0, 650.0, 225.0], "toe_deg": 0.0, "camber_deg": 0.0},
        "upper_wishbone": {"front": [300, 300, 320], "rear": [-300, 300, 320], "outer": [0, 600, 320]},
        "lower_wishbone": {"front": [300, 300, 120], "rear": [-300, 300, 120], "outer": [0, 600, 120]},
        "track_rod": {"inner": [80, 300, 220], "outer": [80, 600, 220]},
        "spring": {"outer": [0, 600, 150], "outer_on": "upright", "chassis": [0, 600, 450]},
    }
    corner = Corner(table, {"radius_mm": 255.0}, RACK_DIRECTION, "left")
    placed = corner.place(np.zeros((1, 6)), corner.parts([]))
    at = {name: point[0] for name, point in placed.at.items()}
    found = forces(corner, at, placed.contact[0], (0.0, 0.0, 1000.0))
    leg = -125.0 * np.sqrt(2.0)
    expected = {"spring": -1000.0, "track_rod": 0.0, "upper_wishbone.front_leg": leg, "upper_wishbone.rear_leg": leg}
    expected |= {"lower_wishbone.front_leg": -leg, "lower_wishbone.rear_leg": -leg}
    assert found.axial.keys() == expected.keys()
    for name, value in expected.items():
        assert abs(found.axial[name] - value) < 1e-9, name
    assert np.all(np.abs(found.on_chassis["upper_wishbone.front"] - [0.0, -125.0, 0.0]) < 1e-9)
    assert np.all(np.abs(found.on_chassis["spring.chassis"] - [0.0, 0.0, 1000.0]) < 1e-9)
    pulled = forces(corner, at, placed.contact[0], (500.0, 0.0, 0.0))
    assert abs(sum(pulled.along_pickups.values()) + 500.0) < 1e-9  # forward is against front -> rear


def test_a_mechanism_is_refused():
    """Equations that no reaction can meet are an error, not an answer: the strut turned along the rocker's axis."""
    case = next(c for c in (random_corner("test_forces", i, "rear") for i in range(20)) if "rocker" in c.left)
    corner = Corner(case.table(), case.setup_wheel, RACK_DIRECTION, case.side)
    placed = corner.place(*corner.present())
    at = {name: point[0] for name, point in placed.at.items()}
    at["spring.chassis"] = at["rocker.spring"] + 100.0 * corner.rocker_axis
    with pytest.raises(ValueError, match="out of balance"):
        forces(corner, at, placed.contact[0], (0.0, 0.0, 1000.0))
