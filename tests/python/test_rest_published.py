"""Published statics through the public call, on car files that are four vertical springs or come near to them.

Tags: SEEN = read in a public source; DERIVED = closed form, two independent ways; RECALL = from memory, then
recomputed.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

import shimwise as sw

CORNERS = ("front_left", "front_right", "rear_left", "rear_right")
G = 9.80665
STIFF = 5e5  # N/mm: the car moves by thousandths of a mm, and geometry adds nothing that counts
REAL = (90.0, 110.0)
POINT = 1e-6  # mm, radius of a wheel whose contact does not roll along under it when the car pitches

Written = Callable[..., sw.Car]


def axle(name: str, x: float, car: Mapping[str, Any]) -> str:
    """Parallel level equal wishbones: the wheel goes up and down; a vertical spring on the upright, ratio 1."""
    y, radius, part = car["half_track"], car["radius"], car["spring_at"]
    inner, outer = y - 400.0, y - 20.0
    on, foot, level = ("upright", outer, 320.0) if part == 1.0 else ("lower_wishbone", inner + 380.0 * part, 100.0)
    load = "rests_as_drawn = true" if car["load_N"] is None else f"load_at_drawn_N = {car['load_N']!r}"

    def wishbone(z: float) -> str:
        return f"front = [{x + 100.0}, {inner}, {z}], rear = [{x - 100.0}, {inner}, {z}], outer = [{x}, {outer}, {z}]"

    return f"""
[{name}]
wheel = {{ centre = [{x}, {y}, {radius!r}], toe_deg = 0.0, camber_deg = 0.0 }}
upper_wishbone = {{ {wishbone(300.0)} }}
lower_wishbone = {{ {wishbone(100.0)} }}
track_rod = {{ inner = [{x - 80.0}, {inner}, 200.0], outer = [{x - 80.0}, {outer}, 200.0], inner_moves = "fixed" }}

[{name}.spring]
outer = [{x}, {foot}, {level}]
outer_on = "{on}"
chassis = [{x}, {foot}, {level + 400.0}]
rate_N_per_mm = {car["rates"][name]!r}
{load}
"""


@pytest.fixture
def written(tmp_path: Path) -> Written:
    """A car file of four springs: written(total_kg, wheelbase, half_track, cg or scales, ...); x is 0 in front."""

    def write(
        total_kg: float,
        wheelbase: float,
        half_track: float,
        *,
        cg: tuple[float, float, float] | None = None,
        scales: tuple[float, ...] = (),
        rates: tuple[float, float] = (STIFF, STIFF),
        load_N: float | None = None,
        radius: float = 250.0,
        spring_at: float = 1.0,
        twist: float | None = None,
        tyre: float | None = None,
    ) -> sw.Car:
        readings = ", ".join(f"{corner} = {kg}" for corner, kg in zip(CORNERS, scales, strict=False))
        mass = f"scales_kg = {{ {readings} }}\ncg_height_mm = 0.0" if scales else f"cg_mm = {list(cg or ())!r}"
        car = {
            "half_track": half_track,
            "radius": radius,
            "spring_at": spring_at,
            "rates": dict(zip(("front_left", "rear_left"), rates, strict=True)),
            "load_N": load_N,
        }
        on_tyre = f"{{ loaded_radius_mm = {radius!r}, rate_N_per_mm = {tyre!r} }}"
        text = f"""# Invented.
format = "shimwise-car/1"
name = "Four springs"
{"" if twist is None else f"chassis_twist_Nm_per_deg = {twist!r}"}

[mass]
total_kg = {total_kg!r}
{mass}
unsprung_kg = {{ front = 0.0, rear = 0.0 }}

[setup_wheel]
front = {{ radius_mm = {radius!r} }}
rear = {{ radius_mm = {radius!r} }}

{"" if tyre is None else f"[tyre]{chr(10)}front = {on_tyre}{chr(10)}rear = {on_tyre}"}
{axle("front_left", 0.0, car)}{axle("rear_left", -wheelbase, car)}"""
        path = tmp_path / "four_springs.toml"
        path.write_text(text, encoding="utf-8")
        return sw.load_car(path)

    return write


def loads_N(rest: sw.Rest) -> list[float]:
    return [rest.weights_kg[corner] * G for corner in CORNERS]


def per_mm_of_front_left_pad(car: sw.Car, **how: Any) -> list[float]:
    """N/mm at the four corners."""
    rows = {(row.variable.key, row.per_words): row.change for row in car.rest_effects(**how).rows}
    return [rows["pad.front_left", "mm"][f"{corner}.weight_kg"] * G for corner in CORNERS]


def test_equal_springs_on_a_rectangle(written: Written) -> None:
    # F_i = W/4 (1 + x x_i/a2 + y y_i/b2), DERIVED; theory: Garcia, Wood, Barrera-Mora, Applied Mathematics 6 (2015)
    # 599. W = 1000, x/a = y/b = 0.2. (360, 240, 240, 160 would balance, too: it differs in the warp mode.)
    car = written(1000.0, 2600.0, 700.0, cg=(-1300.0 + 260.0, 140.0, 0.0), load_N=250.0 * G)
    weights = list(car.at_rest().weights_kg.values())
    assert weights == pytest.approx([350.0, 250.0, 250.0, 150.0], rel=1e-6)


@pytest.mark.parametrize(("rates", "by_N"), [((5e5, 5e5), 50.0), ((6e5, 4e5), 48.0)])
def test_one_corner_raised(written: Written, rates: tuple[float, float], by_N: float) -> None:
    # The loads change by lambda s, s = (1, -1, -1, 1)/track, lambda = delta s_j / sum(s_i2 / k_i), DERIVED:
    # 4e-4 mm under springs of 5e5 N/mm are 4 mm under 50 N/mm; W = 10000 N in the middle.
    car = written(10000.0 / G, 2600.0, 750.0, cg=(-1300.0, 0.0, 0.0), load_N=2500.0, rates=rates)
    loads = loads_N(car.at_rest(pads_mm={"front_left": 4e-4}))
    assert loads == pytest.approx([2500.0 + by_N, 2500.0 - by_N, 2500.0 - by_N, 2500.0 + by_N], rel=1e-6)
    assert [loads[0] + loads[1], loads[2] + loads[3]] == pytest.approx([5000.0, 5000.0], rel=1e-7)


@pytest.mark.parametrize(("rates", "by_N"), [((50.0, 50.0), 12.5), ((60.0, 40.0), 12.0)])
def test_one_corner_raised_under_real_rates(written: Written, rates: tuple[float, float], by_N: float) -> None:
    # The same as a derivative where the car stands even, DERIVED: 12.5 and 12 N per mm.
    car = written(10000.0 / G, 2600.0, 750.0, cg=(-1300.0, 0.0, 0.0), load_N=2500.0, rates=rates, radius=POINT)
    assert per_mm_of_front_left_pad(car) == pytest.approx([by_N, -by_N, -by_N, by_N], rel=1e-9)


def test_a_wheel_s_rate_by_the_place_of_its_spring(written: Written) -> None:
    # kw = ks (c/b)^2: Barton & Fieldhouse 2018, eqs 3.29 to 3.33, SEEN. A quarter of it shows as warp.
    car = written(10000.0 / G, 2600.0, 750.0, cg=(-1300.0, 0.0, 0.0), load_N=5000.0, rates=(80.0, 80.0), spring_at=0.5)
    assert loads_N(car.at_rest()) == pytest.approx([2500.0] * 4, rel=1e-12)
    loads = per_mm_of_front_left_pad(car)
    assert [loads[0] - loads[1], loads[3] - loads[2]] == pytest.approx([10.0, 10.0], rel=1e-9)  # 4 x 80 (1/2)^2 / 8


def test_a_chassis_that_twists_is_in_series_with_its_springs(written: Written) -> None:
    # 1/N = 4/k + track^2/K, K the torsional rate per radian, DERIVED (warp of four springs and a torsion spring).
    track, per_deg = 1500.0, 900.0
    torsion = per_deg * 1000.0 * 180.0 / math.pi
    car = written(
        10000.0 / G, 2600.0, track / 2.0, cg=(-1300.0, 0.0, 0.0), load_N=2500.0, rates=(50.0, 50.0), radius=POINT,
        twist=per_deg,
    )  # fmt: skip
    by_N = 1.0 / (4.0 / 50.0 + track**2 / torsion)
    assert 0.6 < by_N / 12.5 < 0.95
    assert per_mm_of_front_left_pad(car) == pytest.approx([by_N, -by_N, -by_N, by_N], rel=1e-9)


def test_tyres_are_in_series_with_the_springs(written: Written) -> None:
    # 1/N = 4 (1/k + 1/k_tyre), DERIVED.
    car = written(
        10000.0 / G, 2600.0, 750.0, cg=(-1300.0, 0.0, 0.0), load_N=2500.0, rates=(50.0, 50.0), radius=POINT, tyre=200.0
    )
    by_N = 1.0 / (4.0 * (1.0 / 50.0 + 1.0 / 200.0))
    assert per_mm_of_front_left_pad(car, on_tyres=True) == pytest.approx([by_N, -by_N, -by_N, by_N], rel=1e-9)


def test_three_scales(written: Written) -> None:
    # FAA-H-8083-1, weight and balance, SEEN: nose wheel 340 of 2006 lb, 78 in ahead of the main wheels: the centre of
    # gravity 13.220338983 in ahead of these. A car on three scales: the two front ones share the nose wheel's.
    wheelbase = 78.0 * 25.4
    scales = (170.0, 170.0, 833.0, 833.0)
    read = written(2006.0, wheelbase, 700.0, scales=scales, rates=REAL).at_rest()
    assert list(read.weights_kg.values()) == pytest.approx(scales, rel=1e-9)
    assert read.front_share_percent / 100.0 * 78.0 == pytest.approx(13.220338983, abs=1e-9)
    placed = written(2006.0, wheelbase, 700.0, cg=((13.220338983 - 78.0) * 25.4, 0.0, 0.0), rates=REAL).at_rest()
    assert list(placed.weights_kg.values()) == pytest.approx(scales, rel=1e-9)


def test_a_load_outside_is_refused_by_the_name_of_its_corner(written: Written) -> None:
    # Four equal supports at (+-3, +-2), 100 at (2, 1): 54, 29, -4, 21, SEEN in an engineering forum; 54.166667,
    # 29.166667, -4.166667 at (-3, -2), 20.833333.
    def loaded(x: float, y: float) -> sw.Car:
        return written(100.0, 2400.0, 800.0, cg=(-1200.0 + 400.0 * x, 400.0 * y, 0.0), load_N=25.0 * G)

    with pytest.raises(sw.OutOfReach) as refusal:
        loaded(2.0, 1.0).at_rest()
    assert str(refusal.value) == (
        "rear_right: the spring would have to pull with 40.9 N (4.17 kg); the file has no droop stop there "
        "(damper.longest_mm)"
    )
    # The loads are linear in the place: those half way tell the published four.
    half = list(loaded(1.0, 0.5).at_rest().weights_kg.values())
    published = [54.0 + 1.0 / 6.0, 29.0 + 1.0 / 6.0, 20.0 + 5.0 / 6.0, -4.0 - 1.0 / 6.0]
    assert [2.0 * kg - 25.0 for kg in half] == pytest.approx(published, rel=1e-6)


FOUR_SCALES = (290.0, 330.0, 210.0, 220.0)
EXAM_X, EXAM_Y, EXAM_H = 230.714285714, -42.857142857, 834.683430153


def test_four_scales(written: Written) -> None:
    # A published exam problem, inputs and x SEEN, y DERIVED: wheelbase 2550, track 1800 mm; x 230.714285714 mm ahead
    # of mid wheelbase, y 42.857142857 mm to the right, cross weight 0.5142857142857.
    read = written(1050.0, 2550.0, 900.0, scales=FOUR_SCALES, rates=REAL).at_rest()
    assert list(read.weights_kg.values()) == pytest.approx(FOUR_SCALES, rel=1e-9)
    assert read.cross_weight_percent == pytest.approx(51.42857142857, abs=1e-9)
    placed = written(1050.0, 2550.0, 900.0, cg=(EXAM_X - 1275.0, EXAM_Y, 0.0), rates=REAL).at_rest()
    assert placed.front_share_percent == pytest.approx(100.0 * 620.0 / 1050.0, abs=1e-9)
    assert placed.left_share_percent == pytest.approx(100.0 * 500.0 / 1050.0, abs=1e-9)
    assert placed.cross_weight_percent == pytest.approx(50.0, abs=1e-9)  # springs that rest as drawn


def test_a_raised_axle(written: Written) -> None:
    # The same problem, height DERIVED: 680 kg on the rear axle with the front raised 1500 mm: 834.683430153 mm above
    # the axle line. ISO 10392: h = (rear raised - rear level) wheelbase / (total tan(lifting angle)).
    radius = 300.0
    car = written(
        1050.0, 2550.0, 900.0, cg=(EXAM_X - 1275.0, 0.0, radius + EXAM_H), load_N=1050.0 / 4.0 * G, rates=(5e7, 5e7),
        radius=radius,
    )  # fmt: skip
    # 1500 mm are more than a pad may be off the common zero: half of it up in front, half of it down behind.
    raised = car.at_rest(
        pads_mm={"front_left": 750.0, "front_right": 750.0, "rear_left": -750.0, "rear_right": -750.0}
    ).weights_kg
    assert raised["rear_left"] + raised["rear_right"] == pytest.approx(680.0, rel=1e-6)
    for lift in (400.0, 900.0):
        weights = car.at_rest(pads_mm={"front_left": lift, "front_right": lift}).weights_kg
        more = weights["rear_left"] + weights["rear_right"] - 430.0
        height = more * 2550.0 / (1050.0 * math.tan(math.asin(lift / 2550.0)))
        assert height == pytest.approx(EXAM_H, rel=1e-6)
