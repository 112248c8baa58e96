"""The car at rest at settings drawn inside the limits of its adjusters: the library against the oracle.

Every tenth draw is a corner of the box of limits, the first two of each car all at least and all at most. The oracle
takes a fifth of a second for a state, so it looks at a share of the drawn ones:

- Where the car stands: one in `LOOKED_AT` and both ends of the box. The oracle's own corners are led to the library's
  posture, and its own Newton's method on its own slopes must stay there, at a minimum that nothing refuses; one in ten
  of these it looks for from its own start, too. Of all others, loads carry the weight, dampers are between their stops
  and closed stops pull.
- Where it does not: all. The oracle must refuse the car as well, and an amount that both know is the same. A car with a
  wheel at the end of its linkage may rest in another place that the oracle comes to: one in ten thousand, `MISSED`.
- A wheel that the library has standing on a part of its width is all looked at: the oracle's own disc is narrowed to
  that circle, and must lean by the angle at which the full one's contact jumps.
"""

from __future__ import annotations

import re
import sys
import tomllib
from collections import Counter
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))

import shimwise as sw
from car_table import CORNER_NAMES, corner_tables, read_car
from corner import NotAssembled, _shares
from random_cars import car_text, random_car
from rest import Search, by_scales, set_masses, stiffness
from rest_car import G, NotAtRest, RestCar
from shimwise import _core

LOOKED_AT = 50
LENGTH_MM = 1e-7
OF_THE_WEIGHT = 1e-8
ROUNDING_N = 1e-3  # of the oracle's balance near the end of a linkage, where a load is made thousands of times
UPRIGHT_DEG = 0.02  # from upright the contact jumps
LEAN_DEG = 1e-9
ON_EDGE = 1e-5  # of the half width
POSTURE_DEG = 0.01
LED_ELSEWHERE = 0.005  # of those looked at
MISSED = 1e-4  # of all: near the ends of linkages the oracle's descent may come to a rest that ours leads past
ANOTHER_MM = 1.0  # two places to stand are at least so far apart
ANOTHER = 0.02  # of those that the oracle finds from its own start
AT_MOST_N = 0.1  # by which a force in both refusals differs


def limits_of(car):
    """Lowest and highest setting of every adjuster that has limits."""
    found = {}
    for corner, table in corner_tables(car).items():
        for adjuster in table.get("adjuster", []):
            for key in ("limits_turns", "limits_mm"):
                if key in adjuster:
                    found[f"{corner}.{adjuster['name']}"] = (key == "limits_mm", *adjuster[key])
    return found


def drawn_settings(rng, limits, number):
    """Turns, or a pack of one shim."""
    share = rng.random(len(limits))
    if number < 2:
        share[:] = number
    elif number % 10 == 9:
        share = np.round(share)
    at = {
        key: float(low + part * (high - low)) for part, (key, (_, low, high)) in zip(share, limits.items(), strict=True)
    }
    return {key: ([mm] if mm >= 0.001 else []) if limits[key][0] else mm for key, mm in at.items()}


def library_rest(core, settings, pads_mm=(0.0, 0.0, 0.0, 0.0)):
    changed = _core.Settings()
    changed.car = core.name
    changed.turns = {key: turns for key, turns in settings.items() if not isinstance(turns, list)}
    changed.shims_mm = {key: pack for key, pack in settings.items() if isinstance(pack, list)}
    model = _core.rest_model(_core.with_settings(core, changed))
    state = _core.rest(model, list(pads_mm))
    outputs = _core.rest_outputs(model)
    return state, dict(zip((o.name for o in outputs), state.row(outputs), strict=True))


def oracle_model(car, settings):
    model = RestCar(car, settings, {})
    set_masses(model, car)
    return model


def lead_to(corner, length_mm):
    """Settings and spring length together, in short steps from the drawing."""
    ends = corner.spring_ends
    drawn_mm = float(np.linalg.norm(np.subtract(*(corner.drawn[end] for end in ends))))
    farthest = max(float(np.max(np.abs(corner.now_mm))), abs(length_mm - drawn_mm))
    corner.up = np.array([0.0, 0.0, 1.0])
    q = np.zeros((1, corner.size))
    for share in _shares(farthest):
        parts = corner.parts(share * corner.now_mm)
        q = corner._step(q, parts, "spring", drawn_mm + share * (length_mm - drawn_mm))
    corner.q, corner.present_parts = q, parts


def tried(search):
    """What the oracle finds, or nothing and why not."""
    try:
        return search(), ""
    except (NotAtRest, NotAssembled) as error:
        return None, str(error)


def from_its_own_start(model):
    def search():
        model.go_to_present()
        return Search(model).rest()

    return tried(search)


def same_rest(model, found, state, values):
    """Pose, lengths, loads and closed stops."""
    assert off_mm(model, found, state) < LENGTH_MM
    for name, load_N in found.load_N().items():
        assert abs(values[f"{name}.weight_kg"] * G - load_N) < OF_THE_WEIGHT * model.total_kg * G, name
        assert abs(values[f"{name}.spring_length_mm"] - found.state.corner[name].length_mm) < LENGTH_MM, name
    assert {n for n, c in by_name(state) if c.on_droop_stop} == set(found.pull_N)


def in_posture(car, settings, state, values):
    """The oracle's car with its corners as the library's stand, and where discs stand on their width."""
    model = oracle_model(car, settings)
    for name, corner in model.corners.items():
        lead_to(corner, values[f"{name}.spring_length_mm"])
    return model, narrow(model, state)


def pose_of(model, state):
    pose = (state.pose.height_mm, state.pose.pitch_rad, state.pose.roll_rad, state.pose.twist_rad)
    return np.array(pose[: model.freedoms])


def off_mm(model, found, state):
    lever = np.array([1.0, 1000.0, 1000.0, 1000.0])[: model.freedoms]
    return np.max(np.abs((found.state.pose[: model.freedoms] - pose_of(model, state)) * lever))


def stays_at_rest(car, settings, state, values):
    """The oracle's own rest, from the library's posture; False where it is led to another one."""
    model, on_width = in_posture(car, settings, state, values)
    search = Search(model)
    pulls = {n: c.stop_pull_N for n, c in by_name(state) if c.on_droop_stop}
    found, why_not = tried(lambda: search.near(pose_of(model, state) * search.scale, pulls))
    if found is None:
        off = re.fullmatch(r"out of balance by (\S+) N", why_not)
        if off and float(off[1]) < ROUNDING_N:
            return True
        assert not off or any(led_elsewhere(model.corners[n], c) for n, c in by_name(state)), why_not
        return False
    same_rest(model, found, state, values)
    for name, to_lower_edge in on_width.items():
        lean_rad = np.arcsin(found.state.corner[name].axis @ model.corners[name].up)
        assert abs(abs(np.degrees(lean_rad)) - UPRIGHT_DEG) < LEAN_DEG, name
        assert 0.0 <= -np.sign(lean_rad) * to_lower_edge + ON_EDGE <= 1.0 + 2 * ON_EDGE, name
    free = stiffness(model, found)
    if free.size:  # near a linkage's end its differences are rough, and do not come out symmetrical
        assert np.min(np.linalg.eigvalsh((free + free.T) / 2)) > -np.max(np.abs(free - free.T))
    return True


def led_elsewhere(corner, at):
    """Two postures of a corner may have the same spring length."""
    x, y, _z = corner.place(corner.q, corner.present_parts).axis[0]
    return abs(np.degrees(np.arctan2(x, abs(y))) - at.in_chassis[0]) > POSTURE_DEG


def by_name(state):
    return zip(CORNER_NAMES, state.corners, strict=True)


def narrow(model, state):
    """Discs to the circles that they stand on; these outboard, in half widths."""
    shares = {}
    for name, at in by_name(state):
        corner = model.corners[name]
        if at.on_width_mm is not None:
            shares[name] = at.on_width_mm / corner.half_width_mm
            corner.half_width_mm, corner.offset_mm = 0.0, corner.offset_mm + at.on_width_mm
    return shares


def is_found(car, settings, state, values):
    """The oracle's own rest from its own start; its search may fail where a corner does not close at the start.

    A car whose springs are loose may stand in two ways, millimetres apart: the library's is then the deeper one.
    """
    model = oracle_model(car, settings)
    found, _why_not = from_its_own_start(model)
    if found is None:
        return "nothing found"
    if off_mm(model, found, state) < ANOTHER_MM:
        same_rest(model, found, state, values)
        return "found"
    assert stays_at_rest(car, settings, state, values)
    led = Search(in_posture(car, settings, state, values)[0])
    assert led.energy(pose_of(model, state) * led.scale) < found.state.energy_Nmm
    return "another found"


def stands_by_itself(total_kg, state, values):
    assert abs(sum(values[f"{name}.weight_kg"] for name in CORNER_NAMES) / total_kg - 1.0) < 1e-10
    for name, corner in by_name(state):
        assert values[f"{name}.weight_kg"] >= 0.0, name
        assert corner.to_shortest_mm >= 0.0, name
        assert corner.to_droop_stop_mm >= -1e-8, name
        assert corner.stop_pull_N >= 0.0, name


def check_refused(car, settings, why):
    """Whether the oracle does not let it stand either."""
    model = oracle_model(car, settings)
    found, why_not = from_its_own_start(model)
    if found is None:
        ours, theirs = (re.search(pattern, text) for pattern, text in zip(HELD_DOWN, (why, why_not), strict=True))
        if ours and theirs and ours[1] == theirs[1]:
            assert abs(float(ours[2]) - float(theirs[2])) < AT_MOST_N, (why, why_not)
    return found is None


HELD_DOWN = (r"^(\w+): the wheel is off its pad: .* with (\S+) N", r"^(\w+): the wheel is off its pad, (\S+) N")
SENTENCES = (
    r"the wheel is off its pad: it would have to be held down with \S+ N \(\S+ kg\)",
    r"the damper is \S+ mm past its shortest \(damper.shortest_mm\)",
    r"the damper would be past its shortest \(damper.shortest_mm\): there it would have to push with \S+ N \(\S+ kg\)",
    r"the wheel is \S+ mm off its pad at the end of its travel: beyond that .* does not reach .*",
    r"the wheel is at the end of its travel with \S+ N \(\S+ kg\) on it: beyond that .* does not reach .*",
    r"the car does not stand stably",
    r"the energy falls on and on",
    r"the held contact height is (out of reach by|at the very end of its range) .*",
    r"no rest is found: the setup wheel stands so upright that its contact jumps between .*",
)


def sensible(why, total_kg):
    """One of the sentences; no wheel is farther off than any travel, and none has more on it than a leaning car."""
    sentence = why.split(": ", 1)[1]
    assert any(re.fullmatch(form, sentence) for form in SENTENCES), why
    for amount in re.findall(r"(\S+) mm (?:past|off)", why):
        assert 0.0 < float(amount) < 150.0, why
    for amount in re.findall(r"\((\S+) kg\)", why):
        assert 0.0 <= float(amount) < 3.0 * total_kg, why


def drawn_car(number, folder):
    """The demo car, or a random one with its centre of gravity told: scales are read again at other settings."""
    if number < 0:
        return read_car(sw.demo_files().car), _core.load_car(str(sw.demo_files().car))
    car = tomllib.loads(random_car(number))
    if "scales_kg" in car["mass"]:
        car["mass"]["cg_mm"] = [float(mm) for mm in by_scales(car)[0]]
        car["mass"] = {key: value for key, value in car["mass"].items() if key not in ("scales_kg", "cg_height_mm")}
    path = folder / f"car_{number}.toml"
    path.write_text(car_text(car))
    return car, _core.load_car(str(path))


def test_a_car_stands_inside_its_limits_as_the_oracle_has_it_or_is_refused_as_by_the_oracle(size, tmp_path):
    """Cars and settings are the same every time."""
    cars = [-1, *range(size(5, 50))]
    of_each = size(50, 100_000 // len(cars) + 1)
    count = Counter()
    for number in cars:
        car, core = drawn_car(number, tmp_path)
        limits, rng = limits_of(car), np.random.default_rng([2026, 1 + number])
        for draw in range(of_each):
            settings = drawn_settings(rng, limits, draw)
            try:
                state, values = library_rest(core, settings)
            except sw.OutOfReach as error:
                count["refused"] += 1
                sensible(str(error), car["mass"]["total_kg"])
                count["missed"] += not check_refused(car, settings, str(error))
                continue
            count["stand"] += 1
            stands_by_itself(car["mass"]["total_kg"], state, values)
            on_width = any(corner.on_width_mm is not None for corner in state.corners)
            count["on width"] += on_width
            if on_width or draw < 2 or draw % LOOKED_AT == 9:
                count["looked at"] += 1
                count["led elsewhere"] += not stays_at_rest(car, settings, state, values)
                if count["looked at"] % 10 == 0:
                    count[is_found(car, settings, state, values)] += 1
    print(dict(count))
    assert count["stand"] > 0.8 * len(cars) * of_each
    assert count["found"] > 0
    assert count["another found"] <= ANOTHER * (count["found"] + count["another found"])
    assert count["led elsewhere"] <= LED_ELSEWHERE * count["looked at"]
    assert count["missed"] <= MISSED * len(cars) * of_each


def test_a_wheel_off_its_pad_at_the_end_of_its_travel_is_as_far_off_as_the_sentence_says(tmp_path):
    """With its pad a tenth of that higher it is off by what is left, with a tenth more than that it is not off."""
    car, core = drawn_car(4, tmp_path)
    limits, rng = limits_of(car), np.random.default_rng(4)

    def said(settings, pads_mm):
        try:
            library_rest(core, settings, pads_mm)
        except sw.OutOfReach as error:
            return re.fullmatch(r"(\w+): the wheel is (\S+) mm off its pad at the end of its travel: .*", str(error))
        return None

    seen = 0
    for draw in range(300):
        settings = drawn_settings(rng, limits, draw)
        off = said(settings, [0.0] * 4)
        if off is None:
            continue
        corner, off_mm = CORNER_NAMES.index(off[1]), float(off[2])
        for share in (0.1, 1.1):
            again = said(settings, [share * off_mm if place == corner else 0.0 for place in range(4)])
            assert (again is not None) == (share < 1.0), (off[0], share)
            if again:
                assert abs(float(again[2]) - (1.0 - share) * off_mm) < 0.1, off[0]
        seen += 1
    assert seen > 2
