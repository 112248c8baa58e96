"""The packs of real shims whose curve is nearest to the one that is wanted."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from shimwise import _core
from shimwise.arguments import number_array
from shimwise.points.fit_problem import rms

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from shimwise.points.fit_problem import FitProblem

__all__ = ["TRIED", "in_shims"]

TRIED = 500  # combinations of packs that are tried on the full model
_COMBINATIONS = 1_000_000


def in_shims(
    problem: FitProblem,
    relaxed: Any,
    bounds: tuple[NDArray[np.float64], NDArray[np.float64]],
    shims_mm: Sequence[float],
) -> tuple[dict[str, list[float]], NDArray[np.float64], bool]:
    """The packs, out of one box at the same time, whose curve is nearest.

    All combinations on either side of each point, in the order of what the linear model at the relaxed answer expects
    of them; the first `TRIED` that the box makes are tried on the full one.
    """
    box = number_array("shims_mm", shims_mm).ravel().tolist()
    for mm in box:
        if fault := _core.shim_fault(mm):
            raise _core.InputError(f"shims_mm: {fault}")
    totals = np.array([choice.total_mm for choice in _core.stack_choices([], box, None)])
    signed = np.unique(np.concatenate([-totals, totals]))
    each = [signed[(low <= signed) & (signed <= high)] for low, high in zip(*bounds, strict=True)]
    if np.prod([float(len(one)) for one in each]) > _COMBINATIONS:
        raise _core.InputError(f"shims_mm: make more than {_COMBINATIONS} combinations; name fewer shims or points")
    combinations = np.stack(np.meshgrid(*each, indexing="ij"), axis=-1).reshape(-1, len(each))
    expected = np.linalg.norm(relaxed.fun + (combinations - relaxed.x) @ relaxed.jac.T, axis=1)
    packs: list[list[float]] = [[]] * len(each)
    best_rms, best, tried, all_tried = np.inf, np.zeros(len(each)), 0, True
    for moved in combinations[np.argsort(expected, kind="stable")]:
        stacks = _core.stack_together([[]] * len(each), box, np.abs(moved).tolist())
        if stacks is None:
            continue
        if tried == TRIED:
            all_tried = False
            break
        tried += 1
        if (its_rms := rms(problem.missing(moved))) < best_rms:
            best_rms, best, packs = its_rms, moved, [stack.shims_mm for stack in stacks]
    sides = np.where(best < 0.0, -1.0, 1.0)
    signed_packs = {k: [float(s * mm) for mm in p] for k, s, p in zip(problem.keys, sides, packs, strict=True)}
    return signed_packs, best, all_tried
