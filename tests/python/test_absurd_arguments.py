"""Every public call with arguments that make no sense: an error of ours that says so, and never anything else."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np
import pytest
import xarray as xr

import shimwise as sw

NAN = math.nan
Calls = dict[str, Callable[[Any], object]]


def absurd() -> Iterator[Any]:
    """None, numbers that are none or far off, words, containers of all that, arrays of another shape, other objects."""
    yield from (None, NAN, math.inf, -math.inf, 1e300, -1e300, 1e-300, 0, -1, 10**9, 10**400, True, 1j)
    yield from (
        "",
        "nan",
        "x",
        "front_left",
        "front_left.track rod",
        "\ud800",
        "a\0b",
        "\N{RACING CAR}",
        "x" * 9999,
        b"x",
    )
    yield from ([], (), {}, set(), range(0), [NAN], ["x"], [None], [[1.0], [2.0, 3.0]], {"x": 1}, {None: None})
    yield from ({"front_left": value} for value in (NAN, "x", None, 10**400))
    yield from ({"front_left.track rod": value} for value in (None, NAN, "1e400 turns longer", "+1 flat"))
    yield from ({"front_left.camber shim": value} for value in ([NAN], 1e-300, [1e-300]))
    yield from ({"toe": value} for value in (NAN, 1e300, None))
    yield from ({"rake": value} for value in ("x", math.inf, "+1e308 mm"))
    yield from ({"front_left.track_rod.inner": value} for value in ((NAN, 0, 0), (1e300, 0, 0), None))
    yield from (np.array([]), np.array([NAN]), np.array([[1.0, 2.0]]), np.array(["x"]), np.array([1j]))
    yield from (np.zeros((0, 3)), np.float32("nan"), "+1 mm")
    yield from (xr.DataArray([1.0, NAN], dims="q"), object(), len, Path("nowhere"), Path("\ud800"), sw)


def of_files(car: sw.Car) -> Calls:
    files = sw.demo_files()
    return {
        "load_car": sw.load_car,
        "load_readings": lambda a: sw.load_readings(a, car),
        "load_readings, car": lambda a: sw.load_readings(files.readings, a),
        "load_targets": lambda a: sw.load_targets(a, car),
        "load_targets, car": lambda a: sw.load_targets(files.targets, a),
        "skid": sw.skid,
        "skid, car": lambda a: sw.skid(files.skid, a),
        "skid, next": lambda a: sw.skid(files.skid, next_km=a),
        "skid, lasts": lambda a: sw.skid(files.skid, car, lasts_km=a),
        "skid, alone": lambda a: sw.skid(files.skid, gauge_alone=a),
        "skid, width": lambda a: sw.skid(files.skid).text(width=a),
    }


def of_cars(car: sw.Car) -> Calls:
    return {
        "adjuster": car.adjuster,
        "corner": car.corner,
        "with_settings": car.with_settings,
        "with_points": lambda a: car.with_points(a, moved="drawn"),
        "with_points, built": lambda a: car.with_points(a, moved="built"),
        "with_points, moved": lambda a: car.with_points({}, moved=a),
        "recipe": car.recipe,
        "recipe, keep": lambda a: car.recipe({"rake": 1.0}, keep=a),
        "recipe, turn": lambda a: car.recipe({"rake": 1.0}, turn=a),
        "recipe, pads": lambda a: car.recipe({"rake": 1.0}, pads_mm=a),
        "recipe, ballast": lambda a: car.recipe({"rake": 1.0}, ballast_kg=a),
        "recipe, rack": lambda a: car.recipe({"rake": 1.0}, rack_mm=a),
        "at_rest, pads": lambda a: car.at_rest(pads_mm=a),
        "at_rest, settings": lambda a: car.at_rest(settings=a),
        "at_rest, ballast": lambda a: car.at_rest(ballast_kg=a),
        "at_rest, tyres": lambda a: car.at_rest(on_tyres=a),
        "at_rest, rack": lambda a: car.at_rest(rack_mm=a),
        "at_rest, width": lambda a: car.at_rest().text(width=a),
        "on_solid_struts, pads": lambda a: car.on_solid_struts(pads_mm=a),
        "on_solid_struts, struts": lambda a: car.on_solid_struts(struts_mm=a),
        "effects": car.effects,
        "effects, rest": lambda a: car.effects("rest", pads_mm=a),
        "effects, spring": lambda a: car.effects("spring", pads_mm=a),
        "effects, rack": lambda a: car.effects("rest", rack_mm=a),
        "steering": lambda a: car.steering(rack_mm=a),
        "steering, travel": lambda a: car.steering(rack_mm=[0.0, 1.0], travel_mm=a),
        "ideal_outer_deg": lambda a: sw.ideal_outer_deg(a, 0.6),
        "ideal_outer_deg, track": lambda a: sw.ideal_outer_deg(5.0, a),
    }


def of_sweeps(car: sw.Car) -> Calls:
    def sweep(inputs: Any, **how: Any) -> object:
        found = sw.sweep(car, inputs, **({"outputs": ["front_left.toe"]} | how))
        assert np.isfinite(found.short_by_mm.values).all()
        assert np.isfinite(found["front_left.toe_deg"].values[found.status.values == 0]).all()
        return found

    rod, inner = "front_left.track rod", "front_left.track_rod.inner.z"
    return {
        "sweep, car": lambda a: sw.sweep(a, {rod: [0.0]}, outputs=["front_left.toe"]),
        "sweep, inputs": sweep,
        "sweep, outputs": lambda a: sw.sweep(car, {rod: [0.0]}, outputs=a),
        "sweep, hold": lambda a: sweep({rod: [0.0]}, hold=a),
        "sweep, moved": lambda a: sweep({inner: [155.0]}, moved=a),
        "sweep, change": lambda a: sweep({rod: [0.0]}, change=a),
        "sweep, threads": lambda a: sweep({rod: [0.0]}, threads=a),
        "sweep, out": lambda a: sweep({rod: [0.0]}, out=a),
        "sweep, executor": lambda a: sweep({rod: [0.0]}, executor=a),
        "sweep, progress": lambda a: sweep({rod: [0.0]}, progress=a),
        "sweep, sample": lambda a: sweep({rod: sw.Between(-0.1, 0.1)}, sample=a if not isinstance(a, int) else 5),
        "sweep, seed": lambda a: sweep({rod: sw.Between(-0.1, 0.1)}, sample=5, seed=a),
        "sweep, by": lambda a: sweep({rod: sw.Between(-0.1, 0.1)}, sample=5, by=a),
        "sweep, at_hand": lambda a: sweep({"front_left.camber shim": [[2.0]]}, at_hand=a),
        "sweep, derive": lambda a: sweep({rod: [0.0]}, derive=a),
        "sweep, derived": lambda a: sweep({rod: [0.0]}, derive={"one": lambda _: a}),
        "sweep, among": lambda a: sweep({rod: sw.Among(a)}, sample=5),
        "sweep, ends": lambda a: sweep({rod: sw.Between(-0.1, a)}, sample=5),
        "sensitivity, inputs": lambda a: sw.sensitivity(car, a, outputs="front_left.toe", sample=5),
        "sensitivity, sample": lambda a: sw.sensitivity(car, {rod: 1.0}, outputs="front_left.toe", sample=a),
        "points_within": lambda a: sw.points_within(car, a),
        "points_within, car": lambda a: sw.points_within(a, 0.5),
        "points_within, points": lambda a: sw.points_within(car, 0.5, a),
        "shim_options": lambda a: sw.shim_options(car, a),
        "shim_options, car": lambda a: sw.shim_options(a, rod),
        "sweep, rod": lambda a: sweep({rod: a}),
        "sweep, rods": lambda a: sweep({rod: [a, 0.0]}),
        "sweep, pack": lambda a: sweep({"front_left.camber shim": [a]}),
        "sweep, travel": lambda a: sweep({"travel_mm": a}),
        "sweep, rack": lambda a: sweep({"rack_mm": a}),
        "sweep, ballast": lambda a: sweep({"ballast.fuel": a}, hold="rest"),
        "sweep, pad": lambda a: sweep({"pad.front_left": a}, hold="rest"),
        "sweep, drawn": lambda a: sweep({inner: a}, moved="drawn"),
        "sweep, built": lambda a: sweep({inner: a}, moved="built", hold="rest"),
    }


def of_corners(car: sw.Car) -> Calls:
    corner = car.front_left
    return {
        "forces": lambda a: corner.forces(load_N=a),
        "forces, one": lambda a: corner.forces(load_N=(a, 0.0, 1.0)),
        "forces, travel": lambda a: corner.forces(load_N=(0.0, 0.0, 1.0), travel_mm=a),
        "forces, rack": lambda a: corner.forces(load_N=(0.0, 0.0, 1.0), rack_mm=a),
        "recipes": corner.recipes,
        "alignment": lambda a: corner.alignment(travel_mm=a),
        "alignment, rack": lambda a: corner.alignment(rack_mm=a),
        "curves": lambda a: corner.curves(travel_mm=a),
        "curves, outputs": lambda a: corner.curves(outputs=a),
        "joints": lambda a: corner.joints(travel_mm=a),
        "effects": corner.effects,
        "effects, travel": lambda a: corner.effects(travel_mm=a),
        "effects_per_travel": corner.effects_per_travel,
        "effects_per_travel, rack": lambda a: corner.effects_per_travel(rack_mm=a),
    }


OPTIONS = ("keep", "free", "turn", "forbid", "force", "tie", "prefer", "within_minutes", "model_share", "doubts")


def of_plans(car: sw.Car, plan: sw.Plan) -> Calls:
    files = sw.demo_files()
    measured, targets = sw.load_readings(files.readings, car).reduce(), sw.load_targets(files.targets, car)
    return {
        "plan, car": lambda a: sw.plan(a, measured, targets),
        "plan, measured": lambda a: sw.plan(car, a, targets),
        "plan, targets": lambda a: sw.plan(car, measured, a),
        **{f"plan, {name}": lambda a, name=name: sw.plan(car, measured, targets, **{name: a}) for name in OPTIONS},
        "plan, one tie": lambda a: sw.plan(car, measured, targets, tie=[["front_left.track rod", a]]),
        "plan, one force": lambda a: sw.plan(car, measured, targets, force={"front_left.track rod": a}),
        "everything": lambda a: plan.text(everything=a),
        "expect": lambda a: car.expect(measured, a),
        "expect, measured": lambda a: car.expect(a, {"front_left.track rod": 1.0}),
        "choice": lambda a: plan[a],
        "card": plan.card,
        "car_after": plan.car_after,
        "settings_after": plan.settings_after,
        "as_dict": plan.as_dict,
        "text": plan.text,
        "width": lambda a: plan.text(width=a),
    }


def over_weeks(car: sw.Car) -> Calls:
    readings = sw.load_readings(sw.demo_files().readings, car)
    with TemporaryDirectory() as folder:
        baseline = sw.accept(car, readings, "invented", Path(folder) / "b.toml")
    return {
        "compare, car": lambda a: sw.compare(a, readings, readings),
        "compare, old": lambda a: sw.compare(car, a, readings),
        "compare, new": lambda a: sw.compare(car, readings, a),
        "accept, car": lambda a: sw.accept(a, readings, "invented", "no folder/b.toml"),
        "accept, readings": lambda a: sw.accept(car, a, "invented", "no folder/b.toml"),
        "accept, reason": lambda a: sw.accept(car, readings, a, "no folder/b.toml"),
        "accept, replaces": lambda a: sw.accept(car, readings, "invented", "no folder/b.toml", replaces=a),
        "load_baseline": lambda a: sw.load_baseline(a, car),
        "load_baseline, car": lambda a: sw.load_baseline(baseline.file, a),
        "history": sw.history,
        "restore, car": lambda a: sw.restore(a, baseline),
        "restore, baseline": lambda a: sw.restore(car, a),
    }


def of_points(car: sw.Car) -> Calls:
    def fit(**how: Any) -> object:
        given: dict[str, Any] = {"car": car, "corner": "front_left", "bounds_mm": {"track_rod.inner.z": (-1.0, 1.0)}}
        return sw.fit_points(**(given | {"travel_mm": [0.0, 1.0]} | how))

    names = ("car", "corner", "bounds_mm", "travel_mm", "output", "target", "moved", "shims_mm")
    return {f"fit_points, {name}": lambda a, name=name: fit(**{name: a}) for name in names} | {
        "fit_points, one bound": lambda a: fit(bounds_mm={"track_rod.inner.z": a}),
        "point_errors, car": lambda a: sw.point_errors(a, "front_left"),
        "point_errors, corner": lambda a: sw.point_errors(car, a),
        "point_errors, error": lambda a: sw.point_errors(car, "front_left", error_mm=a),
        "point_errors, hold": lambda a: sw.point_errors(car, "front_left", hold=a),
        "point_errors, bump": lambda a: sw.point_errors(car, "front_left", bump_mm=a),
    }


def of_whole_numbers() -> Calls:
    closest: dict[str, Any] = {"A": [[2.0]], "b": [3.2], "allowed": [range(3)], "count": 2, "node_limit": 9}
    touched: dict[str, Any] = {"A": [[2.0]], "low": 1.0, "high": 3.0, "allowed": [range(3)], "price": 1.0}
    return {
        **{f"closest_integers, {k}": lambda a, k=k: sw.closest_integers(**(closest | {k: a})) for k in closest},
        **{f"fewest_touched, {k}": lambda a, k=k: sw.fewest_touched(**(touched | {k: a})) for k in touched},
        "closest_integers, one value": lambda a: sw.closest_integers(**(closest | {"allowed": [a]})),
        "fewest_touched, one value": lambda a: sw.fewest_touched(**(touched | {"allowed": [a]})),
    }


def of_plots(car: sw.Car) -> Calls:
    return {
        "geometry": sw.plots.geometry,
        "curves": sw.plots.curves,
        "bump_steer": sw.plots.bump_steer,
        "draw_curves": sw.plots.draw_curves,
        "curves, travel": lambda a: sw.plots.curves(car.front_left, travel_mm=a) if a is not None else None,
        "save": lambda a: sw.plots.save(a, "x.png"),
    }


def broken(calls: Calls) -> list[str]:
    found = []
    for name, call in calls.items():
        for argument in absurd():
            try:
                call(argument)
            except (sw.InputError, sw.OutOfReach, TypeError):
                pass
            except Exception as error:
                found.append(f"{name}({repr(argument)[:60]}): {type(error).__name__}: {error}")
    return found


@pytest.mark.parametrize("room", ["files", "cars", "sweeps", "corners", "plans", "weeks", "points", "whole numbers"])
def test_absurd_arguments_get_an_error_of_ours(car: sw.Car, plan: sw.Plan, room: str) -> None:
    calls = {
        "files": lambda: of_files(car),
        "cars": lambda: of_cars(car),
        "sweeps": lambda: of_sweeps(car),
        "corners": lambda: of_corners(car),
        "plans": lambda: of_plans(car, plan),
        "weeks": lambda: over_weeks(car),
        "points": lambda: of_points(car),
        "whole numbers": of_whole_numbers,
    }[room]()
    assert not (found := broken(calls)), "\n".join(found)


def test_absurd_arguments_of_pictures_get_an_error_of_ours(car: sw.Car) -> None:
    pytest.importorskip("matplotlib")
    calls = of_plots(car)
    assert not (found := broken(calls)), "\n".join(found)
