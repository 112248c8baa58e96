"""The closest whole numbers and the fewest touched unknowns: against all combinations, HiGHS and SCIP; refusals."""

from __future__ import annotations

import itertools
import math
import pickle
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from pyscipopt import Model, quicksum
from scipy.optimize import Bounds, LinearConstraint, milp

import shimwise as sw

Array = NDArray[np.float64]

AGAINST_SCIP = 1e-9  # of a cost
AGAINST_HIGHS = 1e-9  # of a price


def closest_problem(number: int) -> tuple[Array, Array, list[Array]]:
    """Twelve to sixteen unknowns, outputs alike; a small ridge; whole steps, or a pack with gaps; limits that bind."""
    rng = np.random.default_rng(7000 + number)
    n, rows = int(rng.integers(12, 17)), int(rng.integers(8, 14))
    outputs = rng.normal(size=(rows, n)) + rng.choice([0.0, 0.5])
    A = np.vstack([outputs, 0.03 * np.eye(n)])
    b = np.concatenate([rng.normal(0.0, 6.0, rows), np.zeros(n)])
    steps = [np.arange(-4.0, 5.0), np.arange(0.0, 4.0), np.array([-1.3, 0.0, 0.2, 0.5, 1.1])]
    return A, b, [steps[i] for i in rng.choice(3, n, p=[0.7, 0.2, 0.1])]


class Scip:
    """A model with a binary for each allowed value of each unknown."""

    def __init__(self, allowed: list[Array]) -> None:
        self.allowed, self.model = allowed, Model()
        self.model.hideOutput()
        self.model.setParam("limits/gap", 0.0)
        self.model.setParam("numerics/feastol", 1e-9)
        self.picked = [[self.model.addVar(vtype="B") for _ in values] for values in allowed]
        for choice in self.picked:
            self.model.addCons(quicksum(choice) == 1)

    def summed(self, of: Callable[[int, float], float]) -> Any:
        """The sum of a number that each unknown adds by its value."""
        return quicksum(
            number * one
            for i, choice in enumerate(self.picked)
            for value, one in zip(self.allowed[i].tolist(), choice, strict=True)
            if (number := float(of(i, value))) != 0.0
        )

    def best(self, cost: Any) -> Array | None:
        """The values that it picks. None: cannot be met."""
        self.model.setObjective(cost)
        self.model.optimize()
        if self.model.getStatus() == "infeasible":
            return None
        assert self.model.getStatus() == "optimal"
        places = [int(np.argmax([self.model.getVal(one) for one in choice])) for choice in self.picked]
        return np.array([values[place] for values, place in zip(self.allowed, places, strict=True)])


def of_scip(A: Array, b: Array, allowed: list[Array]) -> Array | None:
    """SCIP's closest, the squared residual below a bound."""
    scip = Scip(allowed)
    misses = [scip.model.addVar(lb=None) for _ in b]
    for row, wanted, miss in zip(A, b, misses, strict=True):
        scip.model.addCons(scip.summed(lambda i, v, row=row: row[i] * v) - float(wanted) == miss)
    cost = scip.model.addVar()
    scip.model.addCons(quicksum(miss * miss for miss in misses) <= cost)
    return scip.best(cost)


def test_scip_finds_nothing_closer(size: Callable[[int, int], int]) -> None:
    for number in range(size(2, 50)):
        A, b, allowed = closest_problem(number)
        found = sw.closest_integers(A, b, allowed)
        assert found.proven, number
        cost = float(np.sum((A @ of_scip(A, b, allowed) - b) ** 2))
        assert found.cost[0] <= cost + AGAINST_SCIP * (1.0 + cost), number


def touched_problem(number: int) -> tuple[Array, Array, Array, list[Array], Array]:
    """Eight to sixteen unknowns; windows about what some choice makes, or moved off it; some open."""
    rng = np.random.default_rng(9000 + number)
    n, rows = int(rng.integers(8, 17)), int(rng.integers(3, 11))
    A = rng.normal(size=(rows, n)) * (rng.random((rows, n)) < 0.7) * 10.0 ** rng.integers(-1, 2, (rows, 1))
    steps = [np.arange(-4.0, 5.0), np.arange(0.0, 4.0), np.array([-1.3, 0.0, 0.2, 0.5, 1.1]), np.array([1.0, 2.0, 4.0])]
    allowed = [steps[i] for i in rng.choice(4, n, p=[0.6, 0.2, 0.15, 0.05])]
    some = np.array([rng.choice(values) * (rng.random() < 0.7 or 0.0 not in values) for values in allowed])
    reach = np.abs(A) @ np.ones(n)
    middle = A @ some + (rng.random() < 0.2) * rng.normal(size=rows) * reach
    half = reach * 10.0 ** rng.uniform(-1.3, -0.3, rows)
    low, high = middle - half * rng.random(rows), middle + half * rng.random(rows)
    low[rng.random(rows) < 0.1] = -np.inf
    high[rng.random(rows) < 0.1] = np.inf
    return A, low, high, allowed, np.round(rng.uniform(1.0, 9.0, n), 1 if number % 2 else 0)


def of_highs(A: Array, low: Array, high: Array, allowed: list[Array], price: Array) -> float | None:
    """HiGHS: a binary for each allowed value, each value other than 0 for the price. None: cannot be met."""
    owner = np.concatenate([np.full(len(values), i) for i, values in enumerate(allowed)])
    value = np.concatenate(allowed)
    one_each = (owner == np.arange(len(allowed))[:, None]).astype(float)
    found = milp(
        price[owner] * (value != 0.0),
        integrality=np.ones(len(value)),
        bounds=Bounds(0.0, 1.0),
        constraints=[LinearConstraint(A[:, owner] * value, low, high), LinearConstraint(one_each, 1.0, 1.0)],
        options={"mip_rel_gap": 0.0},
    )
    assert found.status in {0, 2}, found.message
    return None if found.x is None else float(found.fun)


def test_highs_touches_nothing_cheaper(size: Callable[[int, int], int]) -> None:
    met = 0
    cases = size(15, 100)
    for number in range(cases):
        A, low, high, allowed, price = touched_problem(number)
        found = sw.fewest_touched(A, low, high, allowed, price)
        expected = of_highs(A, low, high, allowed, price)
        assert found.proven, number
        assert (found.x is None) == (expected is None), number
        if found.x is None:
            continue
        met += 1
        assert found.cost == pytest.approx(expected, abs=AGAINST_HIGHS), number
        assert found.cost == pytest.approx(np.sum(price[found.x != 0.0]), abs=1e-12)
        slack = 1e-9 * np.abs(A).sum(axis=1)
        assert np.all((A @ found.x >= low - slack) & (A @ found.x <= high + slack)), number
    assert cases / 2 < met < cases


def test_scip_touches_nothing_cheaper(size: Callable[[int, int], int]) -> None:
    for number in range(size(5, 50)):
        A, low, high, allowed, price = touched_problem(500 + number)
        scip = Scip(allowed)
        for row, least, most in zip(A, low, high, strict=True):
            output = scip.summed(lambda i, v, row=row: row[i] * v)
            if least > -np.inf:
                scip.model.addCons(output >= float(least))
            if most < np.inf:
                scip.model.addCons(output <= float(most))
        expected = scip.best(scip.summed(lambda i, v, price=price: price[i] * (v != 0.0)))
        found = sw.fewest_touched(A, low, high, allowed, price)
        assert found.proven, number
        assert (found.x is None) == (expected is None), number
        if expected is not None:
            assert found.cost == pytest.approx(np.sum(price[expected != 0.0]), abs=AGAINST_HIGHS), number


def test_both_find_what_trying_everything_finds() -> None:
    rng = np.random.default_rng(3)
    for _ in range(30):
        A, b = rng.normal(size=(4, 4)) + 1.0, 3.0 * rng.normal(size=4)
        allowed = [np.sort(rng.choice(np.arange(-3.0, 4.0), 4, replace=False)) for _ in range(4)]
        every = np.array(list(itertools.product(*allowed)))
        costs = np.sum((every @ A.T - b) ** 2, axis=1)
        found = sw.closest_integers(A, b, allowed, 3)
        assert found.cost == pytest.approx(np.sort(costs)[:3], rel=1e-9)
        assert np.sum((found.x @ A.T - b) ** 2, axis=1) == pytest.approx(found.cost)
        price = rng.uniform(1.0, 4.0, 4)
        inside = np.all(np.abs(every @ A.T - b) <= 2.5, axis=1)
        touched = sw.fewest_touched(A, b - 2.5, b + 2.5, allowed, price)
        prices = (every != 0.0) @ price
        assert touched.cost == (pytest.approx(prices[inside].min()) if inside.any() else None)


def test_what_there_is_when_the_limit_ends_the_search() -> None:
    A, b, allowed = closest_problem(0)
    found = sw.closest_integers(A, b, allowed, node_limit=1)
    assert not found.proven
    assert found.x.shape == (1, A.shape[1])
    assert "NOT PROVEN" in repr(found)
    A, low, high, allowed, price = touched_problem(0)
    touched = sw.fewest_touched(A, low, high, allowed, price, node_limit=1)
    assert (touched.x, touched.cost, touched.proven) == (None, None, False)
    assert "NOT PROVEN" in repr(touched)


def test_answers_are_read_and_kept() -> None:
    closest = sw.closest_integers([[2.0, 1.0], [1.0, 3.0]], [3.2, 5.1], [range(-5, 6)] * 2)
    assert repr(closest).split("\n")[2].split() == ["1.25", "1", "1"]
    touched = sw.fewest_touched([[1.0, 1.0]], 1.5, 2.5, [range(-2, 3)] * 2, [3.0, 1.0])
    assert "Touched for 1: x[1] = 2" in repr(touched)
    none = sw.fewest_touched([[1.0, 1.0]], 1.4, 1.6, [range(-2, 3)] * 2, 1.0)
    assert repr(none).strip() == "Cannot be met: no choice is inside, proven."
    for one in (closest, touched, none):
        again = pickle.loads(pickle.dumps(one))  # noqa: S301
        assert repr(again) == repr(one)
        assert np.array_equal(again.x, one.x)


A = np.array([[1.0, 0.5], [0.5, 1.0]])
STEPS = [[-1.0, 0.0, 1.0]] * 2
NAN, INF = math.nan, math.inf


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"A": [1.0, 2.0]}, "A: has the shape (2,), needs rows and columns"),
        ({"A": [[1.0, NAN], [0.0, 1.0]]}, "A: holds a number that is not finite"),
        ({"A": "x"}, "A = 'x': needs numbers"),
        ({"b": [1.0]}, "b: has the shape (1,), needs a number for each row of A, 2"),
        ({"b": [1.0, INF]}, "b: holds a number that is not finite"),
        ({"allowed": 3}, "allowed: needs a list of values for each column of A, 2"),
        ({"allowed": [[0.0]]}, "allowed: has 1 lists, needs one for each column of A, 2"),
        ({"allowed": [[0.0], []]}, "allowed[1]: needs a list of at least one value"),
        ({"allowed": [[0.0], [1.0, NAN]]}, "allowed[1]: holds a number that is not finite"),
        ({"allowed": [[0.0], [1.0, 0.0]]}, "allowed[1]: 0 comes after 1, needs values that ascend"),
        ({"A": [[1.0, 2.0], [2.0, 4.0]]}, "A: columns depend on each other, add a ridge"),
        ({"A": [[1.0, 0.0], [2.0, 0.0]]}, "A: a column is zero, add a ridge"),
        ({"A": A * 1e200}, "A: numbers are too large to be squared"),
        ({"count": 0}, "count = 0: needs a whole number from 1 to 100,000"),
        ({"node_limit": 0.5}, "node_limit = 0.5: needs a whole number from 1 to 1,000,000,000,000"),
    ],
)
def test_a_closest_that_cannot_be_asked_is_refused(given: dict[str, Any], sentence: str) -> None:
    with pytest.raises(sw.InputError) as refused:
        sw.closest_integers(**({"A": A, "b": [1.0, 2.0], "allowed": STEPS} | given))
    assert str(refused.value) == sentence


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"low": [1.0, NAN]}, "low: holds a number that is not finite"),
        ({"low": INF}, "low: holds a number that is not finite"),
        ({"high": -INF}, "high: holds a number that is not finite"),
        ({"low": [0.0, 5.0]}, "low[1] = 5: is above high[1] = 1"),
        ({"high": [1.0, 1.0, 1.0]}, "high: has the shape (3,), needs a number for each row of A, 2"),
        ({"price": [1.0, -2.0]}, "price[1] = -2: needs a number from 0 to 1e+12"),
        ({"price": [1.0]}, "price: has the shape (1,), needs a number for each column of A, 2"),
        ({"price": 1e308}, "price[0] = 1e+308: needs a number from 0 to 1e+12"),
        ({"A": A * 1e200}, "A: numbers are too large to be squared"),
        ({"allowed": [[0.0], [2.0, 2.0]]}, "allowed[1]: 2 comes after 2, needs values that ascend"),
    ],
)
def test_touched_unknowns_that_cannot_be_asked_for_are_refused(given: dict[str, Any], sentence: str) -> None:
    with pytest.raises(sw.InputError) as refused:
        sw.fewest_touched(**({"A": A, "low": -1.0, "high": 1.0, "allowed": STEPS, "price": 1.0} | given))
    assert str(refused.value) == sentence
