"""Checks on the oracle of a car at rest: balance, other ways to the same minimum, mirror images."""

from __future__ import annotations

import copy
import sys
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import minimize

sys.path.insert(0, str(Path(__file__).parent))

from car_table import CORNER_NAMES, corner_tables, mirrored
from ideal_car import FIRST, loads
from random_cars import PADS_MM
from rest import Search, found_rest, rest, stiffness
from rest_car import G, share_turned, turn_of
from vectors import rotation


@pytest.mark.parametrize("number", FIRST)
def test_loads_balance_the_weight_about_the_present_contacts(rested, number):
    model, found = rested[number]
    _height, pitch, roll, twist = found.state.pose
    rear = np.mean([model.corners[name].drawn["wheel.centre"][0] for name in ("rear_left", "rear_right")])
    masses = [(m.kg, m.at, np.interp(m.at[0], [rear, 0.0], [-0.5, 0.5])) for m in [model.sprung, *model.ballast]]
    for name, s in found.state.corner.items():
        masses.append((model.unsprung_kg[name], model.unsprung_at(name, s), share_turned(name)))
    weight = G * sum(kg for kg, _at, _share in masses)
    moment = G * sum(kg * (turn_of(pitch, roll + share * twist) @ at)[:2] for kg, at, share in masses)
    N = loads(found)
    assert abs(model.total_kg * G / weight - 1) < 1e-12
    assert abs(N.sum() / weight - 1) < 1e-11
    contacts = model.contacts_over(found.state)
    assert np.all(np.abs(N @ contacts[:, :2] - moment) < 1e-9 * weight)
    assert np.all(np.abs(contacts[:, 2] - [model.pads_mm[name] for name in CORNER_NAMES]) < 1e-10)
    for name, s in found.state.corner.items():
        over = s.length_mm - model.longest_mm(name)
        assert over < 0.0 or (name in found.pull_N and abs(over) < 1e-9)
    assert all(pull > 0.0 for pull in found.pull_N.values())
    assert np.min(np.linalg.eigvalsh(stiffness(model, found))) > 0.0


@pytest.mark.parametrize("number", FIRST)
def test_slopes_are_differences_of_the_energy(rested, number):
    """Away from rest, where every slope counts; four-point differences."""
    model, found = rested[number]
    search, h = Search(model), 0.05
    z = found.state.pose[: model.freedoms] * search.scale + np.array([0.7, -1.1, 0.9, 0.4])[: model.freedoms]
    for i, step in enumerate(h * np.eye(len(z))):
        V = [search.energy(z + k * step) for k in (-2, -1, 1, 2)]
        assert abs((V[0] - 8 * V[1] + 8 * V[2] - V[3]) / (12 * h) - search.slope(z)[i]) < 2e-6, i
    assert np.max(np.abs(search.slope(z))) > 10.0
    matrix = np.stack([s.slope / search.scale - search.slope(z) for s in search.beside(z)]) / 1e-4
    assert np.max(np.abs(matrix - matrix.T)) < 1e-3 * np.max(np.abs(matrix))


@pytest.mark.parametrize("number", FIRST)
def test_loads_are_slopes_of_the_minimum_by_pad_heights(rested, number):
    """Re-solved with one pad raised and lowered, another corner of each car."""
    model, found = rested[number]
    search, h, name = Search(model), 0.02, CORNER_NAMES[number % 4]
    z, V = found.state.pose[: model.freedoms] * search.scale, {}
    for k in (-2, -1, 1, 2):
        model.pads_mm[name] = PADS_MM.get(name, 0.0) + k * h
        V[k] = search.near(z, found.pull_N).state.energy_Nmm
    model.pads_mm[name] = PADS_MM.get(name, 0.0)
    assert abs((V[-2] - 8 * V[-1] + 8 * V[1] - V[2]) / (12 * h) / found.load_N()[name] - 1) < 1e-8


def test_another_minimiser_without_slopes_finds_the_same_rest(rested, size):
    """SciPy's SLSQP on energies alone, droop stops as inequalities, from another start."""
    for number in [1, 0][: size(1, 2)]:
        model, found = rested[number]
        search = Search(model)
        rested_z = found.state.pose[: model.freedoms] * search.scale

        def slack(z, model=model, search=search):
            stops = [name for name in CORNER_NAMES if np.isfinite(model.longest_mm(name))]
            return [-search.past_mm(search.state(z), name) for name in stops]

        again = minimize(
            lambda z, search=search: search.energy(z) / 1000.0,
            rested_z + np.array([3.0, -2.0, 1.5, 1.0])[: len(rested_z)],
            method="SLSQP",
            jac="3-point",
            constraints=[{"type": "ineq", "fun": slack}],
            options={"ftol": 1e-15, "maxiter": 200, "finite_diff_rel_step": 1e-5},
        )
        assert np.max(np.abs(again.x - rested_z)) < 1e-3, number
        assert abs(again.fun * 1000.0 - found.state.energy_Nmm) < 1e-4, number
        assert bool(found.pull_N) == (number == 1)


@pytest.mark.parametrize("number", [0, 1, 3])
def test_bar_arms_hold_their_drop_links(rested, number):
    """Each arm, turned by its angle about the bearings (rotation vector), is a drop link away from its other end."""
    model, found = rested[number]
    tables = corner_tables(model.file)
    for axle, bar in model.bars.items():
        ends = {side: model.file[f"{axle}_bar"].get(side) for side in ("left", "right")}
        ends["right"] = ends["right"] or mirrored(ends)["left"]
        left, right = (np.array(ends[side]["bearing"]) for side in ("left", "right"))
        axis, angle = (left - right) / np.linalg.norm(left - right), {}
        for side in ("left", "right"):
            name = f"{axle}_{side}"
            point = model.link_end(name)
            drawn = np.array(
                tables[name]["rocker"]["drop_link"] if "rocker" in point else tables[name]["drop_link"]["outer"]
            )
            (adjuster,) = (a for a in tables[name]["adjuster"] if a["name"] == "drop link")
            angle[side] = bar.angle(side, found.state.corner[name].at[point])[0]
            arm = left + rotation(angle[side] * axis[None])[0] @ (np.array(ends[side]["arm"]) - left)
            link = np.linalg.norm(np.array(ends[side]["arm"]) - drawn) + 2.0 * adjuster["now_turns"]  # M6x1, two hands
            assert abs(np.linalg.norm(arm - found.state.corner[name].at[point]) - link) < 1e-10, name
            assert 1e-4 < abs(angle[side]) < 0.7, name
        if bar.connected:
            table = model.file[f"{axle}_bar"]
            per_deg = table["blades_Nm_per_deg"][table["blade"]] if "blade" in table else table["rate_Nm_per_deg"]
            torque = per_deg * np.degrees(angle["left"] - angle["right"])
            assert abs(model.bar_torque_Nmm(axle, found.state.corner) / 1000.0 - torque) < 1e-9
    assert any(bar.connected for bar in model.bars.values())


def test_heights_and_angles_over_level_pads_are_those_to_the_contacts_plane(cars):
    """A rigid chassis: in chassis axes, without its pose. Points given on the right win over mirror images."""
    _model, found = found_rest(cars[1])
    out = rest(cars[1])
    contacts = np.array([s.contact for s in found.state.corner.values()])
    level, by_x, by_y = np.linalg.lstsq(np.column_stack([np.ones(4), contacts[:, :2]]), contacts[:, 2], rcond=None)[0]
    normal = np.array([-by_x, -by_y, 1.0]) / np.sqrt(1 + by_x**2 + by_y**2)
    given = cars[1]["ride_height_points"]
    points = {name: np.array(item["at_mm"]) for name, item in given.items()}
    points.setdefault("front_right", points["front_left"] * [1, -1, 1])
    points.setdefault("rear_right", points["rear_left"] * [1, -1, 1])
    assert out.ride_height_mm.keys() == points.keys()
    for name, point in points.items():
        assert abs(out.ride_height_mm[name] - (point - [0, 0, level]) @ normal) < 1e-9
    front, rear = cars[1]["rake"]["front"], cars[1]["rake"]["rear"]
    middle = {n: points[n] * 0.5 + points[n.replace("_left", "_right")] * 0.5 for n in (front, rear)}
    rise = (middle[rear] - middle[front]) @ normal
    assert abs(out.rake_mm - rise) < 1e-9
    assert abs(np.sin(np.radians(out.rake_deg)) - rise / np.linalg.norm(middle[rear] - middle[front])) < 1e-12
    x = np.array([1.0, 0.0, 0.0]) - normal[0] * normal
    frame = np.array([x / np.linalg.norm(x), np.cross(normal, x) / np.linalg.norm(x), normal])
    for name, corner in out.corner.items():
        e = frame @ found.state.corner[name].axis
        y = e[1] if "left" in name else -e[1]
        assert abs(np.degrees(np.arctan2(e[0], y)) - corner.ground["toe_deg"]) < 1e-10
        assert abs(np.degrees(np.arctan2(-e[2], y)) - corner.ground["camber_deg"]) < 1e-10
        assert abs(corner.ground["camber_deg"] - corner.chassis["camber_deg"]) > 1e-4
    assert abs(out.height_mm + level / np.sqrt(1 + by_x**2 + by_y**2)) < 1e-9


def mirror_image(car):
    """The whole car with left and right changed over, every corner and point given."""
    tables = corner_tables(car)
    image = copy.deepcopy(car)
    for axle in ("front", "rear"):
        for side in ("left", "right"):
            image[f"{axle}_{side}"] = mirrored(tables[other(f"{axle}_{side}")])
        for part in (f"{axle}_bar", f"{axle}_third"):
            if part in car:
                left = car[part]["left"]
                right = car[part].get("right", mirrored({"p": left})["p"])
                image[part] |= mirrored({"left": right, "right": left})
    image["mass"] = {k: v if k == "unsprung_cg_mm" else mirrored({k: v})[k] for k, v in car["mass"].items()}
    if "scales_kg" in car["mass"]:
        kg = car["mass"]["scales_kg"]
        image["mass"]["scales_kg"] = {other(name): kg[name] for name in kg}
    image["ballast"] = [mirrored(item) for item in car["ballast"]]
    image.pop("ride_height_points")
    image.pop("rake")
    return image


def other(name):
    axle, side = name.split("_")
    return f"{axle}_{'right' if side == 'left' else 'left'}"


@pytest.mark.parametrize("number", FIRST)
def test_a_mirror_image_rests_as_the_mirror_image(cars, number):
    one, image = (
        rest(cars[number], PADS_MM),
        rest(mirror_image(cars[number]), {other(k): v for k, v in PADS_MM.items()}),
    )
    assert abs(one.height_mm - image.height_mm) < 1e-9
    assert abs(one.pitch_deg - image.pitch_deg) < 1e-10
    assert abs(one.roll_deg + image.roll_deg) < 1e-10
    assert abs(one.twist_deg + image.twist_deg) < 1e-10
    assert abs(one.roll_deg) > 1e-3
    for name, corner in one.corner.items():
        there = image.corner[other(name)]
        assert abs(corner.load_N / there.load_N - 1) < 1e-9
        assert abs(corner.stop_pull_N - there.stop_pull_N) < 1e-6
        for key, value in corner.ground.items():
            assert abs(value - there.ground[key]) < 1e-9, key
    for axle, torque in one.bar_torque_Nm.items():
        assert abs(torque + image.bar_torque_Nm[axle]) < 1e-8
    assert one.third_force_N.keys() == image.third_force_N.keys()
    for axle, force in one.third_force_N.items():
        assert abs(force - image.third_force_N[axle]) < 1e-6
