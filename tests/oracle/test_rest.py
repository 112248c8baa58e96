"""Checks on the oracle of a car at rest: closed forms, balance, other ways to the same minimum, mirror images."""

from __future__ import annotations

import copy
import sys
import tomllib
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import minimize

sys.path.insert(0, str(Path(__file__).parent))

from car_table import CORNER_NAMES, corner_tables, mirrored, read_car
from corner import rotation
from random_cars import PADS_MM, car_text, random_car, why_no_rest
from rest import Search, found_rest, rest, stiffness
from rest_car import G, NotAtRest, plumb_of, share_turned, turn_of
from rest_corner import stored_Nmm
from strut import Law

DEMO = Path(__file__).parents[2] / "python" / "shimwise" / "data" / "wren.toml"
HALF_BASE_MM, HALF_TRACK_MM = 1200.0, 700.0
FIRST = [0, 1, 2, 3]  # twist, droop stops, scales, rests as drawn


def loads(found):
    """In the order of CORNER_NAMES."""
    return np.array([found.load_N()[name] for name in CORNER_NAMES])


def ideal(rate=5e5, weight_N=10000.0, x_mm=0.0, y_mm=0.0, rear_rate=None, radius_mm=250.0, **top):
    """Level, equal, parallel wishbones, upright springs over the wheels, centre of gravity in the ground plane."""
    wheel = {"radius_mm": radius_mm}
    car = {
        "mass": {
            "total_kg": weight_N / G,
            "cg_mm": [x_mm - HALF_BASE_MM, y_mm, -30.0],
            "unsprung_kg": {"front": 0.0, "rear": 0.0},
        },
        "setup_wheel": {"front": wheel, "rear": wheel},
        **top,
    }
    for name, x, k in (("front_left", 0.0, rate), ("rear_left", -2 * HALF_BASE_MM, rear_rate or rate)):
        arms = {
            f"{arm}_wishbone": {"front": [x + 100.0, 300.0, z], "rear": [x - 100.0, 300.0, z], "outer": [x, 600.0, z]}
            for arm, z in (("upper", 320.0), ("lower", 120.0))
        }
        car[name] = arms | {
            "wheel": {"centre": [x, HALF_TRACK_MM, radius_mm - 30.0], "toe_deg": 0.0, "camber_deg": 0.0},
            "track_rod": {"inner": [x + 80.0, 300.0, 220.0], "outer": [x + 80.0, 600.0, 220.0]},
            "spring": {
                "outer": [x, HALF_TRACK_MM, 250.0],
                "outer_on": "upright",
                "chassis": [x, HALF_TRACK_MM, 500.0],
                "rate_N_per_mm": k,
                "load_at_drawn_N": weight_N / 4,
            },
        }
    return car


@pytest.fixture(scope="module")
def cars():
    return {number: tomllib.loads(random_car(number)) for number in FIRST}


@pytest.fixture(scope="module")
def rested(cars):
    """Model and state of each on uneven pads."""
    return {number: found_rest(car, PADS_MM) for number, car in cars.items()}


# Closed forms ---------------------------------------------------------------------------------------------------------


def test_four_equal_springs_on_a_rectangle():
    """W/4 (1 + x x_i / a^2 + y y_i / b^2): Garcia, Wood, Barrera-Mora, Applied Mathematics 6 (2015) 599."""
    _, found = found_rest(ideal(weight_N=1000.0, x_mm=0.2 * HALF_BASE_MM, y_mm=0.2 * HALF_TRACK_MM))
    assert np.all(np.abs(loads(found) / [350.0, 250.0, 250.0, 150.0] - 1) < 1e-6)


@pytest.mark.parametrize(("front", "rear", "change"), [(5e5, 5e5, 50.0), (6e5, 4e5, 48.0)])
def test_one_corner_raised(front, rear, change):
    """lambda s with s = (1, -1, -1, 1) / track, lambda = delta s_j / sum(s_i^2 / k_i)."""
    _, found = found_rest(ideal(rate=front, rear_rate=rear), {"front_left": 4e-4})
    assert np.all(np.abs(loads(found) - 2500.0 - change * np.array([1, -1, -1, 1])) < 2500e-6)


@pytest.mark.parametrize(("front", "rear", "slope"), [(50.0, 50.0, 12.5), (60.0, 40.0, 12.0)])
def test_slope_of_loads_by_a_pad_with_real_rates(front, rear, slope):
    """On a wheel of no size: the contact of a large one goes fore and aft as the car pitches, and load with it."""
    car, h = ideal(rate=front, rear_rate=rear, radius_mm=1e-6), 0.2
    at = {k: loads(found_rest(car, {"front_left": k * h})[1]) for k in (-2, -1, 1, 2)}
    found = (at[-2] - 8 * at[-1] + 8 * at[1] - at[2]) / (12 * h)
    assert np.all(np.abs(found / (slope * np.array([1, -1, -1, 1])) - 1) < 1e-9)


def test_a_chassis_that_twists_is_in_series_with_the_springs():
    """1 / lambda gains 1 / (twist rate): each axle's pair of loads lambda / track has the moment lambda."""
    k, track = 5e5, 2 * HALF_TRACK_MM
    per_rad_Nmm = 0.8 * k * track**2 / 4
    places = {"ahead": 100.0, "front": 0.0, "mid": -HALF_BASE_MM, "rear": -2 * HALF_BASE_MM, "behind": -3000.0}
    points = {f"{name}_left": {"at_mm": [x, 500.0, 0.0]} for name, x in places.items()}
    car = ideal(rate=k, chassis_twist_Nm_per_deg=per_rad_Nmm / 1000 / np.degrees(1.0), ride_height_points=points)
    found = rest(car, {"front_left": 4e-4})
    lam = 4e-4 / track / (4 / (track**2 * k) + 1 / per_rad_Nmm)
    assert np.all(
        np.abs(np.array([c.load_N for c in found.corner.values()]) - 2500 - lam / track * np.array([1, -1, -1, 1]))
        < 2e-3
    )
    assert abs(found.twist_deg / np.degrees(lam / per_rad_Nmm) - 1) < 1e-6
    for name, share in (("ahead", 0.5), ("front", 0.5), ("mid", 0.0), ("rear", -0.5), ("behind", -0.5)):
        lean = (found.ride_height_mm[f"{name}_left"] - found.ride_height_mm[f"{name}_right"]) / 1000.0
        assert abs(lean - np.radians(found.ground_roll_deg + share * found.twist_deg)) < 1e-12, name
    rigid = rest(ideal(chassis_twist_Nm_per_deg=1e15), {"front_left": 4e-4})
    assert abs(rigid.corner["front_left"].load_N - 2550.0) < 2500e-6


def test_ground_is_the_best_plane_of_the_pads():
    """One pad of a rectangle 4 high: the plane is at 3, 1, 1, -1; on equal springs the chassis is parallel to it."""
    found = rest(ideal(), {"front_left": 4e-4})
    assert abs(np.radians(found.roll_deg) / (2e-4 / (2 * HALF_TRACK_MM)) - 1) < 1e-5
    assert abs(np.radians(found.pitch_deg) / (-2e-4 / (2 * HALF_BASE_MM)) - 1) < 1e-5
    assert abs(found.ground_roll_deg) < 1e-11
    assert abs(found.ground_pitch_deg) < 1e-11
    assert abs(found.height_mm - 30.0 - 2e-4) < 1e-8
    assert abs(found.ground_height_mm - 30.0) < 1e-8


def test_a_plate_that_leans_turns_the_ground_and_moves_load():
    """Pads on a plane that leans about x: in the ground frame only load moves, by weight height / track of the lean."""
    tilt = 1e-4
    car = ideal()
    car["mass"]["cg_mm"][2] = 370.0  # 400 mm over the ground
    pads = {name: tilt * HALF_TRACK_MM * (1 if "left" in name else -1) for name in CORNER_NAMES}
    found = rest(car, pads)
    down = 10000.0 * 400.0 * tilt / (2 * HALF_TRACK_MM)  # left side up: load goes right
    left = found.corner["front_left"].load_N + found.corner["rear_left"].load_N
    assert abs(left - 5000.0 + down) < 1e-3 * down
    assert abs(np.radians(found.roll_deg) - tilt) < 0.01 * tilt
    assert abs(np.radians(found.ground_roll_deg)) < 0.01 * tilt
    assert abs(found.corner["front_left"].ground["camber_deg"]) < 0.01 * np.degrees(tilt)


# Balance --------------------------------------------------------------------------------------------------------------


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


# Mirror images --------------------------------------------------------------------------------------------------------


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


# Words of the file ----------------------------------------------------------------------------------------------------


def test_a_car_that_rests_as_drawn_stands_as_drawn():
    car = read_car(DEMO)
    for axle in ("front", "rear"):
        car[f"{axle}_left"]["spring"].pop("load_at_drawn_N")
        car[f"{axle}_left"]["spring"]["rests_as_drawn"] = True
        car[f"{axle}_bar"]["connected"] = True
    car["front_third"]["gap_mm"] = -2.0
    found = rest(car)
    assert abs(found.cross_weight - 0.5) < 1e-10
    assert found.third_force_N["front"] > 100.0
    assert abs(found.roll_deg) < 1e-9
    for axle in ("front", "rear"):
        left, right = (found.corner[f"{axle}_{side}"] for side in ("left", "right"))
        assert abs(left.travel_mm) < 1e-8
        assert abs(right.travel_mm) < 1e-8
        assert left.load_N > right.load_N + 5.0  # centre of gravity 4 mm to the left
        assert abs(found.bar_torque_Nm[axle]) < 1e-8
    told = copy.deepcopy(car)
    for axle in ("front", "rear"):
        for side in ("left", "right"):
            load = found.corner[f"{axle}_{side}"].spring_load_N
            told.setdefault(f"{axle}_{side}", {}).setdefault("spring", {})["load_at_drawn_N"] = load
        told[f"{axle}_left"]["spring"].pop("rests_as_drawn")
    again = rest(told, {"rear_left": 2.0})
    assert abs(again.corner["rear_left"].load_N - rest(car, {"rear_left": 2.0}).corner["rear_left"].load_N) < 1e-6


def test_scales_give_the_centre_of_gravity_that_they_were_read_with():
    car = read_car(DEMO)
    before = rest(car)
    on_scales = copy.deepcopy(car)
    on_scales["mass"]["cg_height_mm"] = on_scales["mass"].pop("cg_mm")[2]
    on_scales["mass"]["scales_kg"] = {name: corner.weight_kg for name, corner in before.corner.items()}
    after = rest(on_scales)
    for name, corner in before.corner.items():
        assert abs(after.corner[name].load_N / corner.load_N - 1) < 1e-9
    assert abs(after.height_mm - before.height_mm) < 1e-8
    warped = copy.deepcopy(on_scales)  # what springs and settings do not allow stays out: only moments count
    for name, sign in zip(CORNER_NAMES, (1, -1, -1, 1), strict=True):
        warped["mass"]["scales_kg"][name] += sign * 3.0
    shifted = rest(warped)
    kg = warped["mass"]["scales_kg"]
    y = np.array([c.contact_mm[1] for c in shifted.corner.values()])
    difference = np.array([c.weight_kg - kg[name] for name, c in shifted.corner.items()])
    assert abs(difference @ y) < 1e-6
    assert np.max(np.abs(difference)) > 2.0


def test_a_car_that_rests_as_drawn_with_scales_has_their_cross_weight(cars):
    car = copy.deepcopy(cars[3])
    kg = {"front_left": 150.0, "front_right": 147.0, "rear_left": 128.0, "rear_right": 134.0}
    car["mass"]["cg_height_mm"] = car["mass"].pop("cg_mm")[2]
    car["mass"]["scales_kg"] = kg
    found = rest(car)
    for name, corner in found.corner.items():
        assert abs(corner.weight_kg / found.total_kg / (kg[name] / sum(kg.values())) - 1) < 1e-9


def test_ballast_and_settings_of_a_call_are_those_of_a_file(cars):
    car = cars[0]
    called = rest(car, None, {"front_left.track rod": 0.5, "rear_right.camber shim": [2.0, 0.5]}, {"driver": 20.0})
    told = copy.deepcopy(car)
    told |= corner_tables(told)
    for name, adjuster, key, value in (
        ("front_left", "track rod", "now_turns", 0.5),
        ("rear_right", "camber shim", "fitted_mm", [2.0, 0.5]),
    ):
        (there,) = (a for a in told[name]["adjuster"] if a["name"] == adjuster)
        there[key] = value
    gone = car["ballast"][0]["now_kg"] - 20.0
    mass, at = told["mass"], np.array(told["ballast"][0]["at_mm"])
    cg = (mass["total_kg"] * np.array(mass["cg_mm"]) - gone * at) / (mass["total_kg"] - gone)
    mass["total_kg"], mass["cg_mm"], told["ballast"][0]["now_kg"] = mass["total_kg"] - gone, list(cg), 20.0
    same = rest(told)
    assert abs(called.total_kg - same.total_kg) < 1e-9
    for name, corner in called.corner.items():
        assert abs(corner.load_N / same.corner[name].load_N - 1) < 1e-9
        assert abs(corner.ground["toe_deg"] - same.corner[name].ground["toe_deg"]) < 1e-9


def test_a_load_outside_and_a_strut_out_of_its_travel_are_refused_by_name():
    with pytest.raises(NotAtRest, match="rear_right: the spring would have to pull"):
        rest(ideal(weight_N=1000.0, x_mm=0.6 * HALF_BASE_MM, y_mm=0.6 * HALF_TRACK_MM))
    short = ideal(rate=50.0)
    short["front_left"]["damper"] = {"shortest_mm": 249.0, "longest_mm": 300.0}
    short["front_left"]["spring"]["load_at_drawn_N"] = 2000.0
    with pytest.raises(NotAtRest, match="front_left: the damper is"):
        rest(short)


def test_the_work_in_a_strut_is_the_area_under_its_law():
    law = Law(np.array([0.0, 5.0, 8.0]), np.array([0.0, 400.0, 1100.0]), 700.0 / 3)
    assert stored_Nmm(law, -1.0) == 0.0
    assert abs(stored_Nmm(law, 10.0) - (1000.0 + 2250.0 + 2 * 1100.0 + 700.0 / 3 * 2)) < 1e-9
    for squeeze in (0.1, 4.9, 6.0, 11.0):
        slope = (stored_Nmm(law, squeeze + 1e-3) - stored_Nmm(law, squeeze - 1e-3)) / 2e-3
        assert abs(slope - float(law(np.array([squeeze]))[0][0])) < 1e-6


def test_pose_is_pitch_after_roll_and_plumb_is_its_last_row():
    up, by_pitch, by_roll = plumb_of(0.3, -0.2)
    assert np.all(turn_of(0.3, -0.2)[2] == up)
    assert (turn_of(0.1, 0.0) @ [1.0, 0.0, 0.0])[2] < 0.0  # nose down
    assert (turn_of(0.0, 0.1) @ [0.0, 1.0, 0.0])[2] > 0.0  # left side up
    h = 1e-5
    assert np.all(np.abs((plumb_of(0.3 + h, -0.2)[0] - plumb_of(0.3 - h, -0.2)[0]) / (2 * h) - by_pitch) < 1e-9)
    assert np.all(np.abs((plumb_of(0.3, -0.2 + h)[0] - plumb_of(0.3, -0.2 - h)[0]) / (2 * h) - by_roll) < 1e-9)


def test_random_cars_have_every_kind_of_part(cars, size):
    """Drawn again they are the same; the first ones have all kinds; each rests clear of kinks."""
    texts = [car_text(car) for car in cars.values()]
    assert texts[1] == random_car(FIRST[1])
    joined = "\n".join(texts)
    for word in (
        "rests_as_drawn",
        "scales_kg",
        "free_length_mm",
        "load_at_drawn_N",
        "helper",
        "bump_rubber",
        "drop_link = {",
        "front_bar",
        "rear_bar",
        "blades_Nm_per_deg",
        "_third]",
        "chassis_twist_Nm_per_deg",
        "unsprung_cg_mm",
        'outer_on = "upright"',
        'outer_on = "upper_wishbone"',
        'outer_on = "lower_wishbone"',
    ):
        assert word in joined, word
    assert found_rest(cars[1])[1].pull_N.keys() == {"front_left", "front_right"}
    for number in range(size(1, 50)):
        assert why_no_rest(tomllib.loads(random_car(number))) == "", number
