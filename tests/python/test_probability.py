"""The chance of a box under a correlated normal. SEEN = read in a public source, DERIVED = two independent ways."""

import math

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from shimwise.choice.probability import probability_in_box


def equal(n, r):
    """Unit variances, every correlation r."""
    return np.full((n, n), r) + (1.0 - r) * np.eye(n)


def check_near(actual, expected, margin):
    assert abs(actual - expected) <= margin, f"{actual} is off {expected} by {actual - expected}"


@pytest.mark.parametrize(
    ("x", "y", "expected"),
    [(1.0, 1.0, 0.7452035868467497), (-1.0, -1.0, 0.06251409470966383), (-2.0, 1.0, 0.02260327218216495)],
)
def test_bivariate_normal_of_ams_50(x, y, expected):
    """NBS Applied Mathematics Series 50, as tabulated publicly; SEEN, recomputed."""
    found = probability_in_box([0.0, 0.0], equal(2, 0.5), -np.inf, [x, y])
    check_near(found.value, expected, 1e-12)
    assert found.error <= 1e-10


def test_a_square_is_not_the_product_of_its_sides():
    """SEEN in the same tables, recomputed."""
    found = probability_in_box([0.0, 0.0], equal(2, 0.5), -1.0, 1.0)
    check_near(found.value, 0.497971777839208, 1e-12)
    check_near(probability_in_box([0.0, 0.0], np.eye(2), -1.0, 1.0).value, math.erf(math.sqrt(0.5)) ** 2, 1e-15)


@pytest.mark.parametrize(("n", "expected"), [(3, 0.885086220785), (6, 0.808936505901)])
def test_equal_correlations(n, expected):
    """DERIVED: one integral over the common part, and a lattice."""
    found = probability_in_box(np.zeros(n), equal(n, 0.5), -2.0, 2.0, accuracy=1e-5)
    assert 0.0 < found.error <= 1e-5
    check_near(found.value, expected, found.error)
    usual = probability_in_box(np.zeros(n), equal(n, 0.5), -2.0, 2.0)
    assert 0.0 < usual.error <= 1e-4
    check_near(usual.value, expected, usual.error)
    assert probability_in_box(np.zeros(n), equal(n, 0.5), -2.0, 2.0) == usual


def test_one_value_by_the_error_function():
    found = probability_in_box([0.3], [[0.04]], [0.1], [0.6])
    check_near(found.value, 0.5 * (math.erf(1.5 / math.sqrt(2)) + math.erf(1.0 / math.sqrt(2))), 1e-15)
    far = probability_in_box([0.0], [[1.0]], [10.0], [11.0]).value
    check_near(far, 0.5 * math.erfc(10.0 / math.sqrt(2)), 1e-3 * far)


def random_covariance(rng, n, rank):
    A = rng.normal(size=(n, rank))
    return A @ A.T


@pytest.mark.parametrize("index", range(30))
def test_agrees_with_scipy(index):
    rng = np.random.default_rng(index)
    n = 1 + index % 5
    covariance = random_covariance(rng, n, n) + 0.05 * np.eye(n)
    mean, width = rng.normal(size=n), np.sqrt(covariance.diagonal())
    low, high = mean - width * rng.uniform(0.0, 2.0, n), mean + width * rng.uniform(0.0, 2.0, n)
    mean += 0.3 * rng.normal(size=n) * width
    witness = multivariate_normal(mean, covariance, abseps=1e-5, releps=0.0, maxpts=1_000_000, seed=1)
    found = probability_in_box(mean, covariance, low, high)
    check_near(found.value, float(witness.cdf(high, lower_limit=low)), found.error + 2e-5)


@pytest.mark.parametrize("index", range(12))
def test_singular_covariance_agrees_with_counting(index):
    rng = np.random.default_rng(100 + index)
    n, rank = 3 + index % 3, 1 + index % 4
    A = rng.normal(size=(n, min(rank, n - 1)))
    low, high = -rng.uniform(0.3, 2.0, n), rng.uniform(0.3, 2.0, n)
    values = rng.normal(size=(400_000, A.shape[1])) @ A.T
    counted = float(((values >= low) & (values <= high)).all(axis=1).mean())
    found = probability_in_box(np.zeros(n), A @ A.T, low, high)
    check_near(found.value, counted, found.error + 4.5 * math.sqrt(0.25 / 400_000))


def test_a_sum_that_follows_from_two_values():
    """Two independent toes and their total: the octagon's share, by one plain integral."""
    A = np.array([[1.0, 0.0], [0.0, 1.0], [1.0, 1.0]])
    found = probability_in_box(np.zeros(3), A @ A.T, [-1.0, -1.0, -1.2], [1.0, 1.0, 1.2])
    x, weight = np.polynomial.legendre.leggauss(200)
    expected = 0.0
    for left, right in [(-1.0, -0.2), (-0.2, 0.2), (0.2, 1.0)]:
        w = 0.5 * (left + right) + 0.5 * (right - left) * x
        low, high = np.maximum(-1.0, -1.2 - w), np.minimum(1.0, 1.2 - w)
        inner = np.array(
            [math.erf(b / math.sqrt(2)) - math.erf(a / math.sqrt(2)) for a, b in zip(low, high, strict=True)]
        )
        expected += 0.5 * (right - left) * float(weight @ (0.5 * inner * np.exp(-0.5 * w * w))) / math.sqrt(2 * math.pi)
    check_near(found.value, expected, 1e-10)
    assert found.error <= 1e-10


@pytest.mark.parametrize("r", [0.999, 0.999999, 1.0 - 1e-12, 1.0, -1.0, -0.999999])
def test_nearly_and_wholly_dependent_pairs(r):
    """For x = y: the common part of the two ranges; near it the difference is of the order of sqrt(1 - r)."""
    found = probability_in_box([0.0, 0.0], [[1.0, r], [r, 1.0]], [-1.0, -0.5], [0.7, 2.0])
    low, high = (-0.5, 0.7) if r > 0 else (-1.0, 0.5)
    same = 0.5 * (math.erf(high / math.sqrt(2)) - math.erf(low / math.sqrt(2)))
    assert found.value <= same + 1e-10
    check_near(found.value, same, 1e-10 + 0.6 * math.sqrt(max(1.0 - abs(r), 0.0)))
    assert found.error <= 1e-10


def test_blocks_multiply_and_units_do_not_matter():
    covariance = np.zeros((5, 5))
    covariance[np.ix_([0, 3], [0, 3])] = equal(2, 0.5)
    covariance[np.ix_([1, 4], [1, 4])] = equal(2, -0.3)
    covariance[2, 2] = 4.0
    low, high = np.array([-1.0, -2.0, -1.0, -1.0, -np.inf]), np.array([1.0, 1.5, 3.0, 1.0, 0.5])
    whole = probability_in_box(np.zeros(5), covariance, low, high)
    assert whole.error <= 1e-9
    parts = [
        probability_in_box(np.zeros(len(rows)), covariance[np.ix_(rows, rows)], low[rows], high[rows]).value
        for rows in ([0, 3], [1, 4], [2])
    ]
    check_near(whole.value, math.prod(parts), 1e-12)
    unit = np.array([1e-6, 1.0, 1e5, 1e3, 1e-2])
    scaled = probability_in_box(np.zeros(5), covariance * np.outer(unit, unit), low * unit, high * unit)
    check_near(scaled.value, whole.value, 1e-12)


def test_values_without_variance_are_certain():
    covariance = np.diag([0.0, 1.0])
    check_near(probability_in_box([0.1, 0.0], covariance, -0.1, [0.1, np.inf]).value, 0.5398278372770290, 1e-12)
    assert probability_in_box([0.2, 0.0], covariance, -0.1, 0.1).value == 0.0
    assert probability_in_box([], np.zeros((0, 0)), [], []).value == 1.0


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (([[0.0]], [[1.0]], 0.0, 1.0), "mean has 2 dimensions"),
        (([0.0], [[1.0, 0.0]], 0.0, 1.0), "covariance has shape"),
        (([math.nan], [[1.0]], 0.0, 1.0), "finite"),
        (([0.0], [[math.inf]], 0.0, 1.0), "finite"),
        (([0.0], [[1.0]], 1.0, 0.0), "above its upper"),
        (([0.0], [[1.0]], math.nan, 0.0), "not a number"),
        (([0.0], [[-1.0]], 0.0, 1.0), "negative variance"),
        (([0.0, 0.0], [[1.0, 0.5], [0.4, 1.0]], 0.0, 1.0), "not symmetric"),
        (([0.0, 0.0], [[1.0, 1.5], [1.5, 1.0]], 0.0, 1.0), "negative variance in some direction"),
        (([0.0] * 3, [[1, 0.9, -0.9], [0.9, 1, 0.9], [-0.9, 0.9, 1]], 0.0, 1.0), "negative variance in some direction"),
    ],
)
def test_what_is_no_covariance_or_box_is_refused(arguments, sentence):
    with pytest.raises(ValueError, match=sentence):
        probability_in_box(*arguments)
