"""Sheets compared, simulated on the nonlinear car: how often noise is called change, and how often change is seen.

Two places and two teams: what nothing has changed is called change at 95 % in 1 of 20, value by value; the power for a
change of 1, 2 and 3 standard deviations is that of the normal distribution; what a sheet says of driver, fuel and pads
explains what they do, and what it does not say is left over. Instruments with a last digit so coarse that a value has
a handful of possible differences cannot keep 1 in 20 value by value: of these, the mean over all values does.
"""

from __future__ import annotations

import sys
import tomllib
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.stats import binom, norm

sys.path.insert(0, str(Path(__file__).parent))

import shimwise as sw
from random_cars import random_car
from slip_sheets import known_car
from weekends import WHEELS, Table, Visit, Weekend

SEED, BAND, LEVEL = 15, 0.999, 0.05
FINER = 50.0  # last digits that the scatter hides
DEVIATION = 0.05  # of standardised differences from 1, at full size
CARS = {
    "demo": lambda: tomllib.loads(sw.demo_files().car.read_text(encoding="utf-8")),
    "random 3": lambda: tomllib.loads(random_car(3)),
}


@pytest.fixture(params=CARS)
def weekend(request: pytest.FixtureRequest) -> Weekend:
    return Weekend(fine(known_car(CARS[request.param]())), np.random.default_rng(SEED))


def fine(table: Table) -> Table:
    """The same with instruments as sure as before, whose hand scatters where their last digit was."""
    for instrument in table["instruments"].values():
        for key in [key for key in instrument if key.startswith("resolution")]:
            digit, hand = instrument[key], key.replace("resolution", "repeatability")
            instrument[hand] = float(np.hypot(instrument.get(hand, 0.0), digit / np.sqrt(12.0)))
            instrument[key] = digit / FINER
    return table


def pair(weekend: Weekend, old: Visit, new: Visit) -> sw.Compared:
    return sw.compare(weekend.car, *(weekend.readings(weekend.sheet(visit)) for visit in (old, new)))


def band(count: int, share: float = LEVEL, together: int = 1) -> tuple[float, float]:
    """Shares of so many between which 99.9 % of binomial draws lie; of so many values together (Bonferroni)."""
    low, high = binom.interval(1.0 - (1.0 - BAND) / together, count, share)
    return low / count, high / count


def shares(found: list[sw.Compared], which: str) -> dict[str, float]:
    keys = [value.key for value in found[0].core.differences.values]
    called = [set(getattr(one, which)) for one in found]
    return {key: float(np.mean([key in one for one in called])) for key in keys}


def demand_level(found: list[sw.Compared], which: str) -> None:
    """Every value is called change in 1 of 20 pairs."""
    count, called = len(found), shares(found, which)
    low, high = band(count)
    print(f"{count} pairs, {which}: {min(called.values()):.3f} to {max(called.values()):.3f}; {low:.3f} to {high:.3f}")
    assert all(low <= share <= high for share in called.values()), called


def test_nothing_changed_at_one_place(weekend: Weekend, size: Callable[[int, int], int]) -> None:
    found = []
    for _ in range(size(200, 2000)):
        team, pads_mm = weekend.team("A"), weekend.pads(1.0)
        days = (Visit(team, day, "barn", pads_mm) for day in ("2026-05-02", "2026-05-09"))
        found.append(pair(weekend, *days))
        assert found[-1].core.differences.shared == ["the strings", "the camber gauge", "the scales"]
    demand_level(found, "changed")
    demand_level(found, "unexplained")
    ps = [one.core.p for one in found]
    low, high = band(len(ps))
    assert low <= np.mean(np.array(ps) < LEVEL) <= high


def test_nothing_changed_by_coarse_digits(size: Callable[[int, int], int]) -> None:
    weekend = Weekend(known_car(CARS["demo"]()), np.random.default_rng(SEED))
    count = size(200, 2000)
    found = []
    for _ in range(count):
        team, pads_mm = weekend.team("A"), weekend.pads(1.0)
        found.append(pair(weekend, *(Visit(team, day, "barn", pads_mm) for day in ("2026-05-02", "2026-05-09"))))
    called = shares(found, "changed")
    print(f"{count} pairs, coarse digits: {min(called.values()):.3f} to {max(called.values()):.3f}")
    low, high = band(count)
    assert low <= np.mean(list(called.values())) <= high
    z = np.array([[value.by / value.uncertainty for value in one.core.differences.values] for one in found])
    assert np.abs(z.std(axis=0) - 1.0).max() <= DEVIATION * np.sqrt(2000 / count)


def test_nothing_changed_between_two_places_and_teams(weekend: Weekend, size: Callable[[int, int], int]) -> None:
    """The pads are others and were read: what they do is explained; no instrument is shared."""
    found = []
    for _ in range(size(200, 2000)):
        old = Visit(weekend.team("A"), "2026-05-02", "barn", weekend.pads(1.0))
        new = Visit(weekend.team("B"), "2026-05-02", "paddock", weekend.pads(3.0))
        found.append(pair(weekend, old, new))
        assert found[-1].core.differences.shared == []
    demand_not_more_than_noise(found)
    assert np.mean(list(shares(found, "changed").values())) > 2.0 * LEVEL  # pads do something


def test_one_team_with_one_set_sees_more_than_two(weekend: Weekend) -> None:
    """What both share cancels: the very same sheets, read with the gauges of two teams, are less sure."""
    sheet = weekend.sheet(Visit(weekend.team("A"), "2026-05-02"))
    other = sheet | {"at": "2026-05-09"}
    one = sw.compare(weekend.car, weekend.readings(sheet), weekend.readings(other)).frame()
    other |= {"instruments": dict.fromkeys(("strings", "camber_gauge", "scale"), "B's")}
    two = sw.compare(weekend.car, weekend.readings(sheet), weekend.readings(other)).frame()
    for wheel in WHEELS:
        for what in ("toe", "camber", "weight"):
            assert two.uncertainty[f"{wheel}.{what}"] > 1.1 * one.uncertainty[f"{wheel}.{what}"]


def changed_by(weekend: Weekend, sizes: float, count: int) -> Iterator[NDArray[np.bool_]]:
    """Of readings that really changed by so many of their standard deviations: whether each is called a change."""
    team = weekend.team("A")
    for _ in range(count):
        old = weekend.readings(weekend.sheet(Visit(team, "2026-05-02")))
        sheet = weekend.sheet(Visit(team, "2026-05-09"))
        u = sw.compare(weekend.car, old, weekend.readings(sheet)).frame().uncertainty
        sign = weekend.rng.choice([-1.0, 1.0], 4)
        for wheel, way in zip(WHEELS, sign, strict=True):
            sheet[wheel]["scale_kg"] += way * sizes * u[f"{wheel}.weight"]
            sheet[wheel]["camber_deg"] += way * sizes * u[f"{wheel}.camber"]
        changed = sw.compare(weekend.car, old, weekend.readings(sheet)).changed
        yield np.array([f"{wheel}.{what}" in changed for wheel in WHEELS for what in ("weight", "camber")])


@pytest.mark.parametrize("sizes", [1.0, 2.0, 3.0])
def test_power(weekend: Weekend, size: Callable[[int, int], int], sizes: float) -> None:
    count = size(100, 1000)
    seen = np.mean(list(changed_by(weekend, sizes, count)), axis=0)
    z = norm.ppf(1.0 - LEVEL / 2.0)
    power = norm.cdf(sizes - z) + norm.cdf(-sizes - z)
    print(f"a change of {sizes:.0f} u is seen in {seen.mean():.3f} of {count} pairs; by the normal law {power:.3f}")
    low, high = band(count, power, seen.size)
    assert np.all((low <= seen) & (seen <= high)), seen


SAID = {
    "a driver left out": ({"driver": -75.0}, {}, "driver"),
    "a litre of fuel": ({"fuel": -0.75}, {}, "fuel"),
    "a pad 2 mm high": ({}, {"front_left": 2.0}, "pads"),
}


@pytest.mark.parametrize("case", SAID)
def test_what_a_sheet_says_explains_what_it_does(case: str, size: Callable[[int, int], int]) -> None:
    weekend = Weekend(fine(known_car(CARS["demo"]())), np.random.default_rng(SEED))
    more_kg, pads_mm, cause = SAID[case]
    ballast_kg = {name: weekend.loaded_kg[name] + kg for name, kg in more_kg.items()}
    level = dict.fromkeys(WHEELS, 0.0)
    stands = [
        weekend.car.at_rest(pads_mm=pads, ballast_kg=weekend.loaded_kg | kg).values
        for pads, kg in ((level, {}), (level | pads_mm, ballast_kg))
    ]
    found = []
    for _ in range(size(60, 500)):
        team = weekend.team("A")
        old, new = (Visit(team, "2026-05-02"), Visit(team, "2026-05-09", "barn", level | pads_mm, ballast_kg))
        found.append(pair(weekend, old, new))
        assert [one.name for one in found[-1].core.causes] in ([cause], ["fuel", "pads"], ["driver", "pads"], ["pads"])
    demand_not_more_than_noise(found)
    explained = np.mean([one.frame()[cause].to_numpy() for one in found], axis=0)
    for key, by in zip(found[0].frame().index, explained, strict=True):
        column = next((name for name in stands[0] if name.rpartition("_")[0] == key), None)
        if column is None or key.startswith(("cross", "front_share", "left_share")):
            continue
        true = stands[1][column] - stands[0][column]
        assert by == pytest.approx(true, abs=0.02 * abs(true) + 0.02), key  # pads are read with an error


def demand_not_more_than_noise(found: list[sw.Compared]) -> None:
    """What is left is allowed a share of what the model explains, which this model does not need."""
    called = shares(found, "unexplained")
    print(f"{len(found)} pairs, unexplained: {min(called.values()):.3f} to {max(called.values()):.3f}")
    assert all(share <= band(len(found))[1] for share in called.values()), called


UNSAID = {
    "ballast.driver": ({"driver": -75.0}, {}, -75.0),
    "ballast.fuel": ({"fuel": -8.0}, {}, -8.0),
    "pad.front_left": ({}, {"front_left": 2.0}, 2.0),
}


@pytest.mark.parametrize("key", UNSAID)
def test_what_a_sheet_does_not_say_is_left_over_and_guessed(key: str, size: Callable[[int, int], int]) -> None:
    """A pad that is high twists the car as its neighbour does that is low: either is named, and the other beside it."""
    weekend = Weekend(fine(known_car(CARS["demo"]())), np.random.default_rng(SEED))
    more_kg, pads_mm, amount = UNSAID[key]
    ballast_kg = {name: weekend.loaded_kg[name] + kg for name, kg in more_kg.items()}
    level, z = dict.fromkeys(WHEELS, 0.0), []
    count = size(30, 300)
    for _ in range(count):
        team = weekend.team("A")
        old = weekend.sheet(Visit(team, "2026-05-02", "barn", level))
        new = weekend.sheet(Visit(team, "2026-05-09", "barn", level | pads_mm, ballast_kg, weekend.loaded_kg))
        new["pads"] = old["pads"]
        found = sw.compare(weekend.car, *map(weekend.readings, (old, new))).core
        assert found.p < 1e-6
        guess = next((one for one in found.guesses if one.key == key), None)
        if guess is not None:
            z.append((guess.amount - amount) / guess.uncertainty)
            assert guess.p > 1e-5
    print(f"{key}: named in {len(z)} of {count}, {np.mean(z):+.2f} u off in the mean, scatter {np.std(z):.2f} u")
    assert len(z) >= 0.9 * count
    assert abs(np.mean(z)) < 1.0


def test_turns_between_are_explained(size: Callable[[int, int], int]) -> None:
    weekend = Weekend(fine(known_car(CARS["demo"]())), np.random.default_rng(SEED))
    turned = {"front_left.track rod": "+2 flats", "rear_right.pushrod": "-1 flat"}
    found = []
    for _ in range(size(60, 500)):
        team = weekend.team("A")
        old = weekend.readings(weekend.sheet(Visit(team, "2026-05-02")))
        sheet = weekend.sheet(Visit(team, "2026-05-09", settings=turned))
        found.append(sw.compare(weekend.car, old, weekend.readings(sheet, turned)))
        assert [one.key for one in found[-1].core.turned] == list(turned)
    demand_not_more_than_noise(found)
    assert np.mean(["front_left.toe" in one.changed for one in found]) > 0.99
