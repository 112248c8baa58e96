"""The car on solid struts: a best plane over the pads, and what is left to rock."""

from __future__ import annotations

import numpy as np
import pytest

import shimwise as sw
from shimwise import _core

CORNERS = tuple(_core.CornerId.__members__)
WARP = np.array([1.0, -1.0, -1.0, 1.0])


@pytest.fixture(scope="module")
def car() -> sw.Car:
    return sw.demo_car()


def test_as_drawn_on_level_pads_nothing_rocks(car: sw.Car) -> None:
    solid = car.on_solid_struts()
    assert solid.rocking_mm == pytest.approx(0.0, abs=1e-9)
    assert max(map(abs, solid.over_pads_mm.values())) < 1e-9
    for name, toe in zip(CORNERS, solid.about_chassis["toe_deg"], strict=True):
        assert toe == pytest.approx(0.10 if name.startswith("front") else 0.15, abs=1e-9)  # as the file draws it


def test_a_packed_pad_is_shared_by_the_plane_and_the_rest_rocks(car: sw.Car) -> None:
    """Four gaps of a plane are one multiple of the pattern + - - +, weighted by the contacts' places."""
    solid = car.on_solid_struts(pads_mm={"front_left": 2.0})
    gaps = np.array(list(solid.over_pads_mm.values()))
    assert gaps.sum() == pytest.approx(0.0, abs=1e-9)
    assert (np.sign(gaps) == -WARP).all()
    assert solid.rocking_mm == pytest.approx(WARP @ gaps, abs=1e-12)
    assert solid.rocking_mm == pytest.approx(-2.0, abs=0.03)  # nearly a rectangle: what one wheel lacks
    lifted = car.on_solid_struts(pads_mm=dict.fromkeys(CORNERS, 2.0))
    assert lifted.ride_heights_mm == pytest.approx(car.on_solid_struts().ride_heights_mm, abs=1e-9)


def test_a_longer_pushrod_lifts_its_corner_and_rocks_the_car(car: sw.Car) -> None:
    turned = car.on_solid_struts(settings={"front_left.pushrod": "+1 turn"})
    level = car.on_solid_struts()
    heights = {name: mm - level.ride_heights_mm[name] for name, mm in turned.ride_heights_mm.items()}
    assert heights["front_left"] > heights["front_right"] > 0.0
    assert turned.rocking_mm < 0.0  # its wheel is pushed down: front left and rear right stand on their pads


def test_no_weight_is_promised(car: sw.Car) -> None:
    solid = car.on_solid_struts()
    assert not [name for name in solid.values if "weight" in name or "load" in name or "difference" in name]
    with pytest.raises(sw.InputError, match="no such value"):
        solid.value("cross_weight_percent")


@pytest.mark.parametrize("pads_mm", [{}, {"front_right": 1.5, "rear_left": -0.5}], ids=["level", "uneven"])
def test_the_table_is_differences_of_solved_cars(car: sw.Car, pads_mm: dict[str, float]) -> None:
    table = car.effects("spring", pads_mm=pads_mm)
    assert table.attrs["hold"] == "spring"
    assert table.attrs["frame"] == "ground"
    for key in ("front_left.pushrod", "front_left.camber shim", "rear_right.toe link"):
        lead = car.adjuster(key).setting
        step = 0.01

        def at(mm: float, key: str = key, lead: object = lead) -> dict[str, float]:
            now = lead.fitted_mm if isinstance(lead, _core.Stack) else lead.now_turns  # type: ignore[attr-defined]
            setting = [*now, mm] if isinstance(lead, _core.Stack) else now + mm / lead.lead_mm  # type: ignore[attr-defined]
            return car.on_solid_struts(pads_mm=pads_mm, settings={key: setting}).values

        if isinstance(lead, _core.Stack):  # a pack only grows: three values one way
            zero, one, two = car.on_solid_struts(pads_mm=pads_mm).values, at(step), at(2 * step)
            slopes = {out: (4 * one[out] - 3 * zero[out] - two[out]) / (2 * step) for out in zero}
        else:
            more, less = at(step), at(-step)
            slopes = {out: (more[out] - less[out]) / (2 * step) for out in more}
        row = table.loc[(key, "mm")]
        for out, slope in slopes.items():
            largest = table.xs("mm", level="per")[out].abs().max()
            assert row[out] == pytest.approx(slope, abs=1e-5 * largest + 1e-7), f"{key}: {out}"
    for corner in CORNERS:
        high, low = (
            car.on_solid_struts(pads_mm=pads_mm | {corner: pads_mm.get(corner, 0.0) + mm}).values
            for mm in (0.01, -0.01)
        )
        row = table.loc[(f"pad.{corner}", "mm")]
        for out in high:
            assert row[out] == pytest.approx((high[out] - low[out]) / 0.02, abs=1e-6), f"pad {corner}: {out}"


def test_struts_of_other_lengths(car: sw.Car) -> None:
    longer = car.on_solid_struts(struts_mm=dict.fromkeys(CORNERS, 226.0))
    assert longer.ride_heights_mm["front_left"] < car.on_solid_struts().ride_heights_mm["front_left"]
    with pytest.raises(sw.InputError, match=r"struts_mm: 'frontleft': Wren has no such strut"):
        car.on_solid_struts(struts_mm={"frontleft": 200.0})
    with pytest.raises(sw.OutOfReach, match=r"front_left: the held spring length is out of reach by"):
        car.on_solid_struts(struts_mm={"front_left": 500.0})
    with pytest.raises(sw.InputError, match="need hold"):
        car.effects("spring", ballast_kg={"fuel": 3.0})
