"""Forces of a corner from Python and the command line."""

from __future__ import annotations

import json
import subprocess
import sys

import numpy as np
import pandas as pd
import pytest

import shimwise as sw

CORNERS = ["front_left", "front_right", "rear_left", "rear_right"]
LOAD = (-400.0, 250.0, 1300.0)


def run(*words: str, code: int = 0) -> str:
    car = str(sw.demo_files().car)
    done = subprocess.run(
        [sys.executable, "-m", "shimwise.cli", "forces", car, *words], capture_output=True, text=True, check=False
    )
    assert done.returncode == code, done.stdout + done.stderr
    assert "Traceback" not in done.stdout + done.stderr
    return done.stdout + done.stderr


def spoken(name: str) -> str:
    return name.replace(".", " ").replace("_", " ")


@pytest.mark.parametrize("corner", CORNERS)
def test_the_chassis_takes_the_load_and_its_moment(car: sw.Car, corner: str) -> None:
    state = {"travel_mm": 12.0, "rack_mm": 6.0}
    forces = car.corners[corner].forces(load_N=LOAD, **state)
    at = car.corners[corner].joints(**state)
    force, moment = -np.array(LOAD), -np.cross(forces.core.contact_mm, LOAD)
    taken = dict(forces.on_chassis_N.iterrows())
    for joint, on_chassis in taken.items():
        force += on_chassis
        moment += np.cross(at[str(joint)].values, on_chassis)
    for wishbone, along in forces.along_pickups_N.items():
        front, rear = at[f"{wishbone}.front"].values, at[f"{wishbone}.rear"].values
        on_chassis = along * (front - rear) / np.linalg.norm(front - rear)
        force += on_chassis
        moment += np.cross(front, on_chassis)
    moment += forces.rocker_moment_Nmm
    size = float(np.linalg.norm(LOAD))
    assert float(np.linalg.norm(force)) <= 1e-9 * size
    assert float(np.linalg.norm(moment)) <= 1e-6 * size
    assert forces.core.out_of_balance_N <= 1e-9 * size


@pytest.mark.parametrize("corner", CORNERS)
def test_what_presses_the_spring_times_the_motion_ratio_is_the_vertical_load(car: sw.Car, corner: str) -> None:
    forces = car.corners[corner].forces(load_N=(0.0, 0.0, 1000.0), travel_mm=-8.0)
    ratio = float(car.corners[corner].alignment(travel_mm=-8.0).motion_ratio)
    assert -forces.axial_N["spring"] * ratio == pytest.approx(1000.0, abs=1e-8)


def test_tables_are_labelled(car: sw.Car) -> None:
    forces = car.front_left.forces(load_N=LOAD)
    assert isinstance(forces.axial_N, pd.Series)
    # the pushrod stands on the lower wishbone, whose legs bend
    legs = ["upper_wishbone.front_leg", "upper_wishbone.rear_leg"]
    assert list(forces.axial_N.index) == [*legs, "track_rod", "pushrod", "spring"]
    assert list(forces.on_upright_N.index) == ["upper_wishbone.outer", "lower_wishbone.outer", "track_rod.outer"]
    assert list(forces.on_upright_N.columns) == ["x", "y", "z"]
    assert list(forces.along_pickups_N.index) == ["upper_wishbone", "lower_wishbone"]
    assert forces.rocker_moment_Nmm is not None
    rod = forces.on_upright_N.loc["track_rod.outer"]
    np.testing.assert_allclose(forces.on_chassis_N.loc["track_rod.inner"], -rod, rtol=0.0, atol=1e-12)
    np.testing.assert_allclose(np.linalg.norm(rod), abs(forces.axial_N["track_rod"]), rtol=1e-12)
    assert forces.as_dict()["axial_N"] == forces.axial_N.to_dict()
    assert repr(forces) == "<forces for -400 N forward, 250 N left, 1300 N up at the contact>"


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        ({"load_N": (0.0, 1.0)}, "needs three numbers: forward, left, up"),
        ({"load_N": (0.0, float("nan"), 1.0)}, "load_N: holds a number that is not finite"),
        ({"load_N": LOAD, "travel_mm": float("inf")}, "travel_mm: holds a number that is not finite"),
    ],
)
def test_bad_arguments_get_one_sentence(car: sw.Car, words: dict[str, object], sentence: str) -> None:
    with pytest.raises(sw.InputError, match=sentence):
        car.front_left.forces(**words)  # type: ignore[arg-type]


def test_a_travel_out_of_reach_is_refused(car: sw.Car) -> None:
    with pytest.raises(sw.OutOfReach, match=r"front_left: .* out of reach by .* mm"):
        car.front_left.forces(load_N=LOAD, travel_mm=400.0)
    assert "cannot be reached: front_left" in run("--corner", "front_left", "--travel", "400", code=1)


def test_the_table_fits_and_says_what_was_taken() -> None:
    told = run()
    assert max(len(line) for line in told.splitlines()) <= 80
    assert "…" not in told
    assert "front left: 1000 N up at the contact" in told
    assert "No --load was given: 1000 N up was taken" in " ".join(told.split())
    assert "lower wishbone legs" in told
    assert "not of a drive shaft" in " ".join(told.split())
    asked = run("--load", "-300,0,1200", "--corner", "rear_right", "--travel", "5")
    assert "rear right: 300 N rearward, 1200 N up at the contact" in asked
    assert "No --load" not in asked
    assert "Travel 5 mm (+ = wheel up), rack 0 mm" in asked
    assert "front left" not in asked


def test_the_table_shows_the_numbers_of_json(car: sw.Car) -> None:
    words = ["--load", "0,500,1200", "--corner", "front_right", "--rack", "4"]
    content = json.loads(run(*words, "--json"))
    assert content["frame"] == "chassis"
    assert content["shimwise"] == sw.__version__
    found = content["corners"]["front_right"]
    assert found == car.front_right.forces(load_N=(0.0, 500.0, 1200.0), rack_mm=4.0).as_dict()
    lines = {" ".join(line.split()) for line in run(*words).splitlines()}
    for name, force in found["axial_N"].items():
        assert f"{spoken(name)} {force:+.0f} {'tension' if force > 0.0 else 'compression'}" in lines
    for name, force in (found["on_upright_N"] | found["on_chassis_N"]).items():
        mark = " *" if name.endswith(("wishbone.front", "wishbone.rear")) else ""
        shown = [f"{part:+.0f}" if round(part) else "0" for part in force]
        assert f"{spoken(name)}{mark} {' '.join(shown)} {np.linalg.norm(force):.0f}" in lines


@pytest.mark.parametrize("load", ["500", "1,2", "1,2,three", "1,2,3,4", "nan,0,0"])
def test_a_load_that_is_none_is_refused(load: str) -> None:
    told = run("--load", load, code=2)
    assert "three numbers" in told or "not finite" in told
