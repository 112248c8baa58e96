"""Linear problems of whole cars against SCIP: the closest plan, and the fewest minutes inside all windows."""

from __future__ import annotations

import sys
from collections.abc import Callable
from itertools import product
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))

import shimwise as sw
from plan_mornings import Planted, narrow
from plan_witness import Witness
from whole_plan_scip import Array, Linear, Scip, linear_about, step_range, steps_of

CASES = [(number, draw) for draw, number in product(range(5), (1, 5, 0, 2, 3, 4, 6, 7, 8, 9))]
OWN_BOXES = [case for case in CASES if case[0] % 3]  # `fewest_touched` knows lists of values, and no boxes
SAME = 1e-9
MOST_S = 120.0  # of SCIP; then its best so far
LEAST_PROVEN = 0.8  # of its answers, of many


def closest(morning: Planted, witness: Witness) -> sw.choice.answer.Answer:
    rest = [key for key in witness.adjusters if key not in morning.turns]
    return morning.plan(turn=list(morning.turns), forbid=rest, free=morning.free).closest


def test_scip_finds_no_closer_plan(size: Callable[[int, int], int]) -> None:
    faults, proven, cases = [], 0, CASES[: size(1, len(CASES))]
    for number, draw in cases:
        morning = narrow(number, draw)
        witness = morning.witness()
        answer = closest(morning, witness)
        asked = [value.key for value in answer.core.values if value.asks.name == "asked"]
        linear = linear_about(witness, answer.settings, sorted(morning.turns), asked)
        scip = Scip(witness, linear.keys, MOST_S)
        follows = [value.key for value in answer.core.values if value.asks.name == "limit"]
        scip.limit(linear_about(witness, answer.settings, linear.keys, follows))
        theirs = scip.closest(linear)
        proven += scip.proven
        if theirs is None:
            continue
        assert witness.broken(theirs) == []
        assert not set(follows) & set(witness.outside(witness.values(answer.settings)))
        ours, of_scip = linear.cost(answer.settings), linear.cost(theirs)
        print(f"car {number}, draw {draw}: ours {ours:.9g}, SCIP {of_scip:.9g}, proven {scip.proven}")
        if not ours <= of_scip + SAME and not answer.cost <= witness.cost(theirs, asked):
            faults.append(f"car {number}, draw {draw}: {ours}, SCIP {of_scip}")
    assert proven >= LEAST_PROVEN * len(cases)
    assert faults == []


def lists_of(witness: Witness, keys: list[str]) -> list[list[float]]:
    """Steps that each may be turned by."""
    return [
        [float(step) for step in range(step_range(witness, key)[0], step_range(witness, key)[1] + 1)]
        if "ends" in witness.adjusters[key]
        else _packs(witness, key)
        for key in keys
    ]


def _packs(witness: Witness, key: str) -> list[float]:
    one, totals = witness.adjusters[key], {0.0}
    for mm in witness.pool(key):
        totals |= {round(total + mm, 6) for total in totals}
    least, most = one["limits_mm"]
    return sorted((total - sum(one["fitted_mm"])) / witness.step(key) for total in totals if least <= total <= most)


def half_of(linear: Linear, lists: list[list[float]], rng: np.random.Generator) -> tuple[Array, Array]:
    """Windows round what is read once half of the adjusters are turned, each a tolerance wide to either side."""
    low, high = linear.windows()
    x = np.array([rng.choice(values) if rng.random() < 0.5 else 0.0 for values in lists])
    middle = linear.effect @ x + 0.5 * rng.uniform(-1.0, 1.0, len(low)) * 0.5 * (high - low)
    return middle - 0.5 * (high - low), middle + 0.5 * (high - low)


def test_scip_finds_no_fewer_minutes(size: Callable[[int, int], int]) -> None:
    faults, proven, cases = [], 0, OWN_BOXES[: size(2, len(OWN_BOXES))]
    for number, draw in cases:
        morning = narrow(number, draw)
        witness = morning.witness()
        keys, names = sorted(morning.turns), [name for name in witness.targets if "ride_height.nose" not in name]
        linear = linear_about(witness, {}, keys, names)
        lists = lists_of(witness, keys)
        rng = np.random.default_rng([*b"fewest", number, draw])
        low, high = half_of(linear, lists, rng)
        price = rng.integers(2, 20, len(keys)).astype(float)
        found = sw.fewest_touched(linear.effect, low, high, lists, price)
        scip = Scip(witness, keys, MOST_S)
        theirs = scip.fewest_touched(linear.effect, low, high, price)
        proven += scip.proven
        assert theirs is not None
        x = steps_of(witness, keys, theirs)
        of_scip = float(price @ (np.abs(x) > 1e-6))
        print(f"car {number}, draw {draw}: ours {found.cost}, SCIP {of_scip}, proven {scip.proven} {found.proven}")
        inside = np.all(linear.effect @ found.x >= low - SAME) and np.all(linear.effect @ found.x <= high + SAME)
        if not (found.proven and inside and found.cost <= of_scip + SAME):
            faults.append(f"car {number}, draw {draw}: {found.cost}, SCIP {of_scip}")
        assert price @ (found.x != 0.0) == found.cost
    assert proven >= LEAST_PROVEN * len(cases)
    assert faults == []
