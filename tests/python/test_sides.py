"""Left from right and front from rear, on a car that is another one at every corner: against figures found anew."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import shimwise as sw
from shimwise import _core

CORNERS = list(_core.CornerId.__members__)
OWN_SPRINGS = """
[front_right]
spring = { rate_N_per_mm = 96.0 }
rocker = { drop_link = [8.0, -215.0, 395.0] }

[rear_right]
spring = { rate_N_per_mm = 121.0 }
rocker = { drop_link = [-2330.0, -215.0, 405.0] }

[instruments]
"""
RISE_MM = 0.01
BARS = [("front", (108.0, 200.0, 330.0), 235.0), ("rear", (-2430.0, 200.0, 335.0), 240.0)]  # by the car file, left


@pytest.fixture(scope="module")
def lopsided(tmp_path_factory: pytest.TempPathFactory) -> sw.Rest:
    """A spring and a drop link for every corner, mass to the left, both bars on and wound up by the pads."""
    text = sw.demo_files().car.read_text(encoding="utf-8")
    for old, new in (
        ("[instruments]", OWN_SPRINGS),
        ("connected = false", "connected = true"),
        ("cg_mm = [-1420.0, 4.0, 285.0]", "cg_mm = [-1420.0, 24.0, 285.0]"),
    ):
        assert old in text
        text = text.replace(old, new)
    path: Path = tmp_path_factory.mktemp("lopsided") / "car.toml"
    path.write_text(text, encoding="utf-8")
    return sw.load_car(path).at_rest(pads_mm={"front_left": 4.0, "rear_right": -2.0})


def loads_N(rest: sw.Rest, rises_mm: dict[str, float]) -> np.ndarray:
    """What the pads carry once some are raised under the chassis, which is held where it was."""
    pads = [height + rises_mm.get(corner, 0.0) for corner, height in rest.stand.pads_mm.items()]
    return np.array(_core.rest_energy(rest.stand.model, rest.state.pose, pads).load_N)


@pytest.mark.parametrize("corner", CORNERS)
@pytest.mark.parametrize(("motion", "other"), [("single", 0.0), ("bump", 1.0), ("roll", -1.0)])
def test_a_wheel_rate_is_how_the_load_of_this_wheel_grows(
    lopsided: sw.Rest, corner: str, motion: str, other: float
) -> None:
    axle, side = corner.split("_")
    opposite = f"{axle}_{'right' if side == 'left' else 'left'}"
    up, down = (
        loads_N(lopsided, {corner: rise, opposite: other * rise})[CORNERS.index(corner)] for rise in (RISE_MM, -RISE_MM)
    )
    rates = lopsided.wheel_rates["total_N_per_mm"].unstack("motion")[motion]
    assert rates[corner] == pytest.approx((up - down) / (2.0 * RISE_MM), rel=1e-6)
    others = rates.drop(corner)
    assert (others - rates[corner]).abs().min() >= 0.2, "the corners are too much alike to be told apart"


def test_what_pulls_at_a_bar_is_the_drop_link_of_that_side(lopsided: sw.Rest) -> None:
    pulls = {corner: abs(lopsided.forces(corner).axial_N["drop_link"]) for corner in CORNERS}
    apart = np.diff(sorted(pulls.values()))
    assert apart.min() >= 0.1, "the drop links pull too much alike to be told apart"
    for axle, bar in lopsided.bar_forces_N.items():
        for side in ("left", "right"):
            pull = float(np.linalg.norm(bar.loc[f"arm {side}"]))
            assert pull == pytest.approx(pulls[f"{axle}_{side}"], abs=1e-9), (axle, side)


@pytest.mark.parametrize(("axle", "bearing_mm", "arm_y_mm"), BARS)
def test_a_bar_hands_what_pulls_at_its_arms_to_the_bearings(
    lopsided: sw.Rest, axle: str, bearing_mm: tuple[float, float, float], arm_y_mm: float
) -> None:
    bar = lopsided.bar_forces_N[axle]
    bars = dict(zip(("front", "rear"), _core.rest_forces(lopsided.stand.model, lopsided.state).bars, strict=True))
    found = bars[axle]
    assert found is not None
    ends = found.arm_mm
    assert [end[1] for end in ends] == pytest.approx([arm_y_mm, -arm_y_mm], abs=1e-9)
    bearings = [np.array(bearing_mm), np.array(bearing_mm) * [1.0, -1.0, 1.0]]
    middle = (bearings[0] + bearings[1]) / 2.0
    rows = {"arm left": ends[0], "arm right": ends[1], "bearing left": bearings[0], "bearing right": bearings[1]}
    force = {row: bar.loc[row].to_numpy() for row in rows}
    moment = {row: np.cross(at - middle, force[row]) for row, at in rows.items()}
    for acting in (force, moment):  # across the axis, which lies along y
        given = (acting["arm left"] + acting["arm right"])[[0, 2]]
        taken = (acting["bearing left"] + acting["bearing right"])[[0, 2]]
        np.testing.assert_allclose(taken, given, rtol=0.0, atol=1e-6)
    assert np.linalg.norm(force["arm left"] - force["arm right"]) >= 1.0, "the bar is not wound up"
