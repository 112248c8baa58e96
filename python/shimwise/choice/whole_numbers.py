"""Two questions over lists of allowed values, answered with a proof: the closest, and the cheapest to touch."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from shimwise import _core
from shimwise.arguments import finite, number_array, whole_number
from shimwise.shown import Shown

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import ArrayLike, NDArray

__all__ = ["ClosestIntegers", "FewestTouched", "closest_integers", "fewest_touched"]

_NODES = 1_000_000
_MOST_NODES = 10**12
_MOST_COUNT = 100_000
_MOST_PRICE = 1e12


@dataclass(frozen=True, eq=False, repr=False)
class ClosestIntegers(Shown):
    """The cheapest choices of a whole-number least squares, cheapest first.

    Attributes:
        x: the choices, shape (count, n); fewer rows where there are fewer combinations.
        cost: |A x - b|^2 of each, shape (count,).
        proven: no choice that is left out costs less; False: the node limit ended the search.
    """

    x: NDArray[np.float64]
    cost: NDArray[np.float64]
    proven: bool


@dataclass(frozen=True, eq=False, repr=False)
class FewestTouched(Shown):
    """The cheapest set of touched unknowns with all outputs inside their windows.

    Attributes:
        x: the choice, shape (n,), an unknown that is touched being other than 0. None: none was found.
        cost: the price of all that is touched. None: no choice was found.
        proven: with x, that no choice inside costs less; without, that none is inside: the windows cannot be met.
            False: the node limit ended the search.
    """

    x: NDArray[np.float64] | None
    cost: float | None
    proven: bool


def closest_integers(
    A: ArrayLike, b: ArrayLike, allowed: Iterable[ArrayLike], count: int = 2, *, node_limit: int = _NODES
) -> ClosestIntegers:
    """Return the cheapest x of |A x - b|^2, each unknown taken from its own list of values.

    QR, then depth-first search outward from the real optimum (Schnorr and Euchner 1994), a branch being cut where the
    real optimum within the limits costs more than what is known.

    Args:
        A: coefficients, shape (m, n), each row in the unit of its b. No column may depend on the others:
            where one does, add rows of a small ridge.
        b: what A x should be, shape (m,).
        allowed: for each of the n unknowns the values that it may take, ascending: whole numbers or any others.
        count: how many of the cheapest are given.
        node_limit: how many partial choices are looked at, at most; at least one choice is given whatever it is.

    Returns:
        The cheapest choices, their costs, and whether they are proven.

    Raises:
        InputError: shapes do not fit, a number is not finite, a list is empty or does not ascend, columns depend on
            each other.
    """
    matrix = _matrix(A)
    wanted = _vector("b", b, "row", len(matrix))
    lists = _lists(allowed, matrix.shape[1])
    most = whole_number("count", count, 1, _MOST_COUNT)
    limit = whole_number("node_limit", node_limit, 1, _MOST_NODES)
    try:
        found = _core.integer_least_squares(matrix, wanted, lists, most, limit)
    except ValueError as error:
        raise _refused(error) from None
    return ClosestIntegers(
        np.array([one.x for one in found.best]), np.array([one.cost for one in found.best]), found.proven
    )


def fewest_touched(
    A: ArrayLike,
    low: ArrayLike,
    high: ArrayLike,
    allowed: Iterable[ArrayLike],
    price: ArrayLike,
    *,
    node_limit: int = _NODES,
) -> FewestTouched:
    """Return the cheapest set of touched unknowns such that low <= A x <= high.

    An unknown is touched where it is other than 0; one whose list does not hold 0 always is. Of sets of one price the
    choice nearest to the middle of the windows is taken (least sum of squares, over windows with two ends, each in the
    unit of its row), of these the one of least |x|. Sets are tried in the order of their price and fall to proven
    bounds only. Inside means to rounding: 1e-12 of what the allowed values make of a row.

    Args:
        A: coefficients, shape (m, n), each row in the unit of its window.
        low: least output of each row, shape (m,) or one number; may be -inf.
        high: most output of each row, shape (m,) or one number; may be inf.
        allowed: for each of the n unknowns the values that it may take, ascending.
        price: what touching each unknown costs, 0 to 1e12, shape (n,) or one number, in minutes for instance.
        node_limit: how many sets and partial choices are looked at, at most.

    Returns:
        The choice, what it costs, and whether that is proven.

    Raises:
        InputError: shapes do not fit, a number is NaN, a low is above its high, a price is below 0 or above 1e12, a
            list is empty or does not ascend.
    """
    matrix = _matrix(A)
    rows, columns = matrix.shape
    least, most = _vector("low", low, "row", rows, open_to=-np.inf), _vector("high", high, "row", rows, open_to=np.inf)
    for row in np.flatnonzero(least > most):
        raise _core.InputError(f"low[{row}] = {least[row]:g}: is above high[{row}] = {most[row]:g}")
    prices = _vector("price", price, "column", columns)
    for column in np.flatnonzero((prices < 0.0) | (prices > _MOST_PRICE)):
        raise _core.InputError(f"price[{column}] = {prices[column]:g}: needs a number from 0 to {_MOST_PRICE:g}")
    lists = _lists(allowed, columns)
    limit = whole_number("node_limit", node_limit, 1, _MOST_NODES)
    try:
        found = _core.fewest_touched(matrix, least, most, lists, prices, limit)
    except ValueError as error:
        raise _refused(error) from None
    if found.best is None:
        return FewestTouched(None, None, found.proven)
    return FewestTouched(found.best.x, found.best.price, found.proven)


def _refused(error: ValueError) -> _core.InputError:
    """What only the solver sees: its rule, without its name."""
    return _core.InputError(f"A: {str(error).partition(': ')[2]}")


def _matrix(A: ArrayLike) -> NDArray[np.float64]:
    matrix = number_array("A", A)
    if matrix.ndim != 2 or 0 in matrix.shape:
        raise _core.InputError(f"A: has the shape {matrix.shape}, needs rows and columns")
    finite("A", matrix)
    return matrix


def _vector(name: str, value: ArrayLike, of: str, size: int, open_to: float | None = None) -> NDArray[np.float64]:
    """A number for each row or column; with `open_to`, one number stands for all, and that infinity is allowed."""
    vector = number_array(name, value)
    if vector.ndim == 0 and name != "b":
        vector = np.full(size, vector)
    if vector.shape != (size,):
        raise _core.InputError(f"{name}: has the shape {vector.shape}, needs a number for each {of} of A, {size}")
    finite(name, vector if open_to is None else vector[vector != open_to])
    return vector


def _lists(allowed: Iterable[ArrayLike], size: int) -> list[list[float]]:
    try:
        lists = [number_array(f"allowed[{i}]", values) for i, values in enumerate(allowed)]
    except TypeError:
        raise _core.InputError(f"allowed: needs a list of values for each column of A, {size}") from None
    if len(lists) != size:
        raise _core.InputError(f"allowed: has {len(lists)} lists, needs one for each column of A, {size}")
    for i, values in enumerate(lists):
        if values.ndim != 1 or values.size == 0:
            raise _core.InputError(f"allowed[{i}]: needs a list of at least one value")
        finite(f"allowed[{i}]", values)
        for place in np.flatnonzero(np.diff(values) <= 0.0):
            raise _core.InputError(
                f"allowed[{i}]: {values[place + 1]:g} comes after {values[place]:g}, needs values that ascend"
            )
    return [values.tolist() for values in lists]
