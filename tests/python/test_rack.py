"""The car at rest with its front wheels steered: laws, the rack's row, refusals."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pandas as pd
import pytest

import shimwise as sw

CORNERS = ["front_left", "front_right", "rear_left", "rear_right"]
OTHER_SIDE = {"left": "right", "right": "left"}
PADS_MM = {"front_left": 1.5, "rear_right": -1.0}
FLOOR: dict[str, Any] = {"pads_mm": PADS_MM, "ballast_kg": {"fuel": 30.0}}

Edited = Callable[..., sw.Car]


def without_rack(edited: Edited) -> sw.Car:
    section = "[rack]\ndirection = [0.0, 1.0, 0.0]\ntravel_mm = [-32.0, 32.0]\nmm_per_turn = 38.0\n"
    return edited((section, ""), ('inner_moves = "rack"', 'inner_moves = "fixed"'))


def mirrored(name: str) -> str:
    """The same value of the car's mirror image."""
    corner, dot, value = name.partition(".")
    for side, other in OTHER_SIDE.items():
        if corner == "ride_height":
            value, done = value.replace(f"_{side}_mm", f"_{other}_mm"), f"_{side}_mm" in value
        else:
            corner, done = corner.replace(f"_{side}", f"_{other}"), f"_{side}" in corner and bool(dot)
        if done:
            break
    return f"{corner}{dot}{value}"


def test_a_rack_at_its_centre_changes_no_bit(car: sw.Car) -> None:
    assert car.at_rest(rack_mm=0.0).values == car.at_rest().values
    assert car.at_rest(rack_mm=0, on_tyres=True, **FLOOR).values == car.at_rest(on_tyres=True, **FLOOR).values


@pytest.mark.parametrize("rack_mm", [-32.0, -10.0, 12.0, 32.0])
@pytest.mark.parametrize("floor", [{}, FLOOR | {"on_tyres": True}], ids=["level", "pads, ballast, tyres"])
def test_steered_wheels_carry_the_car(car: sw.Car, rack_mm: float, floor: dict[str, Any]) -> None:
    ahead, rest = car.at_rest(**floor), car.at_rest(rack_mm=rack_mm, **floor)
    assert rest.total_kg == pytest.approx(ahead.total_kg, abs=1e-9)
    assert sum(rest.weights_kg.values()) == pytest.approx(rest.total_kg, abs=1e-9)
    left = 1.0 if rack_mm > 0.0 else -1.0
    toe = {corner: rest.value(f"{corner}.toe_deg") - ahead.value(f"{corner}.toe_deg") for corner in CORNERS}
    assert -left * toe["front_left"] > 2.0  # toe + = toe-in: the left wheel's falls as it turns to the left
    assert left * toe["front_right"] > 2.0
    assert abs(toe["rear_left"]) < 0.1
    # with caster the wheel inside the turn goes down: it lifts its own corner, and loads its diagonal
    inside, outside = ("front_left", "front_right") if left > 0.0 else ("front_right", "front_left")
    assert rest.weights_kg[inside] > ahead.weights_kg[inside]
    assert rest.weights_kg[outside] < ahead.weights_kg[outside]


def test_a_car_of_like_sides_steered_to_the_left_is_the_mirror_of_one_to_the_right(edited: Edited) -> None:
    car = edited(("cg_mm = [-1420.0, 4.0, 285.0]", "cg_mm = [-1420.0, 0.0, 285.0]"))
    pads = {"front_left": 2.0, "rear_right": -1.0}
    left = car.at_rest(rack_mm=17.0, pads_mm=pads).values
    right = car.at_rest(rack_mm=-17.0, pads_mm={"front_right": 2.0, "rear_left": -1.0}).values
    odd = ("roll_deg", "front_difference_kg", "rear_difference_kg", "thrust_angle_deg")
    for name, value in left.items():
        there = right[mirrored(name)]
        if name in ("cross_weight_percent", "left_share_percent"):
            there = 100.0 - there
        assert value == pytest.approx(-there if name in odd else there, abs=1e-8), name
    assert left["front_left.toe_deg"] != pytest.approx(left["front_right.toe_deg"], abs=1.0)


@pytest.mark.parametrize("state", [{}, FLOOR | {"rack_mm": -14.0}, {"on_tyres": True, "rack_mm": 9.0}])
def test_the_racks_row_is_the_slope_of_rest(car: sw.Car, state: dict[str, Any]) -> None:
    table = car.effects("rest", **state)
    row, at_mm, h = table.loc[("rack", "mm")], state.get("rack_mm", 0.0), 0.02
    up, down = (pd.Series(car.at_rest(**state | {"rack_mm": at_mm + by}).values) for by in (h, -h))
    difference = ((up - down) / (2.0 * h) - row).abs()
    assert (difference <= 1e-6 * row.abs().max()).all()
    assert row["front_left.toe_deg"] < -0.2
    assert row[[f"{corner}.weight_kg" for corner in CORNERS]].sum() == pytest.approx(0.0, abs=1e-9)
    assert table.attrs["rack_mm"] == at_mm
    assert table.attrs["at"] == car.at_rest(**state).values


def test_the_racks_row_per_turn_is_that_of_the_steering_wheel(car: sw.Car, edited: Edited) -> None:
    table = car.effects("rest")
    assert list(table.loc["rack"].index) == ["turn", "mm"]
    assert ((table.loc[("rack", "turn")] - 38.0 * table.loc[("rack", "mm")]).abs() < 1e-12).all()
    amounts = {row.per.name: row.amount for row in car.rest_effects().rows if row.variable.key == "rack"}
    assert amounts == {"turn": 38.0, "mm": 1.0}
    assert list(edited(("mm_per_turn = 38.0", "")).effects("rest").loc["rack"].index) == ["mm"]
    assert "rack" not in without_rack(edited).effects("rest").index.get_level_values("adjuster")


def test_on_solid_struts_the_rack_counts_too(car: sw.Car) -> None:
    assert car.on_solid_struts(rack_mm=0.0).values == car.on_solid_struts().values
    row = car.effects("spring", rack_mm=8.0).loc[("rack", "mm")]
    up, down = (pd.Series(car.on_solid_struts(rack_mm=8.0 + by).values) for by in (0.02, -0.02))
    assert (((up - down) / 0.04 - row).abs() <= 1e-6 * row.abs().max()).all()


def test_tyres_are_those_of_the_car_straight_ahead(car: sw.Car) -> None:
    """Their loaded radius belongs to the loads that they carry before the wheels are steered."""

    def loads_a_diagonal(tyres: bool) -> float:
        ahead, steered = (car.at_rest(on_tyres=tyres, rack_mm=rack_mm) for rack_mm in (0.0, 25.0))
        return steered.cross_weight_percent - ahead.cross_weight_percent

    assert loads_a_diagonal(True) / loads_a_diagonal(False) == pytest.approx(0.8, abs=0.15)


def test_a_recipe_holds_for_what_the_car_stands_on(car: sw.Car) -> None:
    state = FLOOR | {"rack_mm": 11.0}
    recipe = car.recipe({"front_height": "+2 mm"}, **state)
    before, after = car.at_rest(**state), car.at_rest(settings=recipe.turns, **state)
    front = [after.ride_heights_mm[c] - before.ride_heights_mm[c] for c in ("front_left", "front_right")]
    assert sum(front) / 2.0 == pytest.approx(2.0, abs=1e-6)
    assert after.cross_weight_percent == pytest.approx(before.cross_weight_percent, abs=1e-6)
    changes = recipe.changes()
    assert changes["now"].to_dict() == before.values
    told = recipe.as_dict()
    assert (told["rack_mm"], told["ballast_kg"]) == (11.0, {"driver": 75.0, "fuel": 30.0})
    assert recipe.turns != car.recipe({"front_height": "+2 mm"}).turns
    words = " ".join(repr(recipe).split())
    assert "pads front left +1.5, rear right -1 mm (+ = higher), rack 11 mm to the left, driver 75 kg, fuel 30" in words


def test_results_say_where_the_rack_is(car: sw.Car, edited: Edited) -> None:
    for rack_mm, words in ((None, "at centre"), (-3.5, "3.5 mm to the right"), (12.0, "12 mm to the left")):
        rest = car.at_rest(rack_mm=rack_mm)
        assert f"On setup wheels, pads level, rack {words}, driver 75 kg, fuel 12 kg." in " ".join(repr(rest).split())
        assert rest.as_dict()["rack_mm"] == (rack_mm or 0.0)
    none = without_rack(edited)
    assert "rack" not in repr(none.at_rest())
    assert none.at_rest().as_dict()["rack_mm"] is None
    assert none.effects("rest").attrs["rack_mm"] is None


@pytest.mark.parametrize(
    ("rack_mm", "sentence"),
    [
        (32.5, "rack_mm = 32.5: goes beyond rack.travel_mm = [-32, 32]"),
        (-33.0, "rack_mm = -33: goes beyond rack.travel_mm = [-32, 32]"),
        (float("nan"), "rack_mm = nan: needs a finite number"),
        (float("inf"), "rack_mm = inf: needs a finite number"),
        ("2", "rack_mm = '2': needs a finite number"),
        ({"front": 2.0}, "rack_mm = {'front': 2.0}: needs a finite number"),
    ],
)
def test_a_bad_rack_gets_one_sentence(car: sw.Car, rack_mm: Any, sentence: str) -> None:
    calls: list[Callable[..., object]] = [
        car.at_rest,
        car.on_solid_struts,
        lambda **state: car.effects("rest", **state),
        lambda **state: car.effects("spring", **state),
        lambda **state: car.recipe({"rake": 1.0}, **state),
    ]
    for call in calls:
        with pytest.raises(sw.InputError) as refusal:
            call(rack_mm=rack_mm)
        assert str(refusal.value) == sentence


def test_a_car_without_rack_is_not_steered(edited: Edited) -> None:
    with pytest.raises(sw.InputError, match=r"rack_mm = 2: Wren has no rack \(the file has no \[rack\]\)"):
        without_rack(edited).at_rest(rack_mm=2.0)
    fixed = edited(('inner_moves = "rack"', 'inner_moves = "fixed"'))
    with pytest.raises(sw.InputError, match=r"rack_mm = 2: no track rod of Wren is on the rack \(inner_moves\)"):
        fixed.at_rest(rack_mm=2.0)


@pytest.mark.parametrize("hold", ["contact", "wheel"])
def test_a_corner_by_itself_is_asked_for_its_own_rack(car: sw.Car, hold: str) -> None:
    with pytest.raises(sw.InputError, match='pads and rack need hold = "rest" or "spring"'):
        car.effects(hold, rack_mm=2.0)
