"""Points that give a wanted curve: found again where one exists, bounded, and in real shims."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import shimwise as sw

TRAVEL = np.linspace(-30.0, 30.0, 31)


def rms(values: object) -> float:
    return float(np.sqrt(np.mean(np.square(values))))


def bump_steer(car: sw.Car) -> float:
    return rms(car.front_left.curves(travel_mm=TRAVEL).bump_steer_deg_per_mm)


@pytest.mark.parametrize("moved", ["drawn", "built"])
def test_a_curve_that_exists_is_found_again(car: sw.Car, moved: str) -> None:
    wanted = car.with_points({"front_left.track_rod.inner": (0.0, 1.5, -2.5)}, moved=moved)
    target = wanted.front_left.curves(travel_mm=TRAVEL).toe_deg.values
    fit = sw.fit_points(
        car,
        "front_left",
        {"track_rod.inner.y": (-6.0, 6.0), "track_rod.inner.z": (-6.0, 6.0)},
        travel_mm=TRAVEL,
        output="toe_deg",
        target=target,
        moved=moved,
    )
    assert fit.by_mm == pytest.approx({"track_rod.inner.y": 1.5, "track_rod.inner.z": -2.5}, abs=1e-4)
    assert fit.rms_after < 1e-6 < fit.rms_before
    assert fit.at_bound == []


def test_zero_bump_steer_is_nearer_than_anything_beside_it(car: sw.Car) -> None:
    fit = sw.fit_points(car, "front_left", {"track_rod.inner.z": (-8.0, 8.0)}, travel_mm=TRAVEL)
    assert fit.rms_before == pytest.approx(bump_steer(car), rel=1e-9)
    assert fit.rms_after == pytest.approx(bump_steer(fit.car), rel=1e-9)
    assert fit.rms_after < 0.6 * fit.rms_before
    z = fit.by_mm["track_rod.inner.z"]
    for beside in (-0.05, 0.05):
        near = car.with_points({"front_left.track_rod.inner": (0.0, 0.0, z + beside)}, moved="drawn")
        assert bump_steer(near) > fit.rms_after


def test_a_bound_that_stops_it_is_said(car: sw.Car) -> None:
    free = sw.fit_points(car, "front_left", {"track_rod.inner.z": (-8.0, 8.0)}, travel_mm=TRAVEL)
    most = abs(free.by_mm["track_rod.inner.z"]) / 2
    fit = sw.fit_points(car, "front_left", {"track_rod.inner.z": (-most, most)}, travel_mm=TRAVEL)
    assert fit.at_bound == ["track_rod.inner.z"]
    assert abs(fit.by_mm["track_rod.inner.z"]) == pytest.approx(most, abs=1e-6)
    assert free.rms_after < fit.rms_after < fit.rms_before
    assert "stopped by its bounds: track_rod.inner.z" in repr(fit)


def test_shims_are_chosen_by_their_curve_out_of_one_box(car: sw.Car) -> None:
    bounds = {"track_rod.inner.z": (-8.0, 8.0), "track_rod.outer.z": (-8.0, 8.0)}
    box = [1.0, 0.5, 2.0]
    fit = sw.fit_points(car, "front_left", bounds, travel_mm=TRAVEL, shims_mm=box)
    used = sorted(abs(mm) for pack in fit.shims_mm.values() for mm in pack)
    left = sorted(box)
    for mm in used:
        left.remove(mm)  # fails where a shim is used twice
    assert fit.rms_in_shims is not None
    assert fit.car_in_shims is not None
    assert fit.rms_in_shims == pytest.approx(bump_steer(fit.car_in_shims), rel=1e-9)
    assert fit.rms_after <= fit.rms_in_shims
    # Nothing that the box can stack, on either side of each point, comes nearer.
    packs = range(1 << len(box))
    total = {pack: sum(mm for bit, mm in enumerate(box) if pack >> bit & 1) for pack in packs}
    tried = [(total[a], total[b]) for a in packs for b in packs if not a & b]  # a & b: the same shim twice
    for inner, outer in {(s * a, t * b) for a, b in tried for s in (-1, 1) for t in (-1, 1)}:
        moved = car.with_points(
            {"front_left.track_rod.inner": (0.0, 0.0, inner), "front_left.track_rod.outer": (0.0, 0.0, outer)},
            moved="drawn",
        )
        assert bump_steer(moved) >= fit.rms_in_shims - 1e-12


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        ({"corner": "front"}, "corner = 'front': needs one of front_left"),
        ({"bounds_mm": {}}, "needs at least one coordinate"),
        ({"bounds_mm": {"track_rod.inner": (-1, 1)}}, "'track_rod.inner': needs point.axis"),
        ({"bounds_mm": {"track_rod.iner.z": (-1, 1)}}, 'did you mean "track_rod.inner"?'),
        ({"bounds_mm": {"track_rod.inner.z": (1, 2)}}, "track_rod.inner.z = (1, 2): needs a range in mm that holds 0"),
        ({"bounds_mm": {"track_rod.inner.z": (-1, 1, 2)}}, "needs a range in mm that holds 0, such as (-8, 8)"),
        ({"bounds_mm": {"track_rod.inner.z": ("a", 1)}}, "needs a range in mm that holds 0"),
        ({"bounds_mm": {"wheel.centre.y": (-900, 0)}, "output": "half_track_mm"}, "with wheel.centre.y -"),
        ({"travel_mm": []}, "travel_mm: needs one finite travel or more"),
        ({"travel_mm": [0.0, float("nan")]}, "travel_mm: needs one finite travel or more"),
        ({"output": "toe"}, "output = 'toe': needs one of toe_deg"),
        ({"target": [0.0, 1.0]}, "target: needs one finite number, or one for each of 31 travels"),
        ({"shims_mm": [0.0]}, "a shim is thicker than 0 mm"),
        ({"moved": "pushed"}, "moved = 'pushed': needs one of drawn, built"),
    ],
)
def test_bad_input_gets_one_sentence(car: sw.Car, arguments: dict[str, object], sentence: str) -> None:
    call = {"corner": "front_left", "bounds_mm": {"track_rod.inner.z": (-1.0, 1.0)}, "travel_mm": TRAVEL} | arguments
    with pytest.raises(sw.InputError) as error:
        sw.fit_points(car, **call)  # type: ignore[arg-type]
    assert sentence in str(error.value)


def test_every_column_of_a_car_that_lacks_some_is_the_one_that_is_fitted(tmp_path: Path) -> None:
    """Without tyre and with springs that rest as drawn, rows of a block and columns of a Dataset part."""
    text = sw.demo_files().car.read_text()
    for load in ("load_at_drawn_N = 1120.0", "load_at_drawn_N = 1818.0"):
        text = text.replace(load, "rests_as_drawn = true")
    file = tmp_path / "bare.toml"
    file.write_text(text.replace(text[text.index("[tyre]") : text.index("[strings]")], ""))
    bare = sw.load_car(file)
    curves = bare.front_left.curves(travel_mm=TRAVEL)
    for column in curves:
        fit = sw.fit_points(bare, "front_left", {"wheel.centre.x": (-1e-9, 1e-9)}, travel_mm=TRAVEL, output=str(column))
        assert fit.rms_before == pytest.approx(rms(curves[column].values), rel=1e-9, abs=1e-12), column


def test_where_not_all_packs_are_tried_it_is_said(car: sw.Car) -> None:
    box = [0.1, 0.2, 0.3, 0.5, 0.7, 1.1, 1.3, 1.9, 2.3]
    bounds = {"track_rod.inner.z": (-8.0, 8.0), "track_rod.outer.z": (-8.0, 8.0)}
    fit = sw.fit_points(car, "front_left", bounds, travel_mm=TRAVEL[::6], shims_mm=box)
    assert not fit.all_tried
    assert "best of 500 tried" in repr(fit)
    few = sw.fit_points(car, "front_left", bounds, travel_mm=TRAVEL[::6], shims_mm=[1.0, 2.0])
    assert few.all_tried
    assert "all combinations tried" in repr(few)
