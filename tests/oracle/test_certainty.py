"""The closest plan against every combination of what can be set, each on the nonlinear car."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

import shimwise as sw
from cut_mornings import Cut, cut_morning

CARS = (9, 5, 1, 2, 3, 4, 6, 7, 8, 0)
SAME = 1e-9  # of a cost of 1 or less, and of a larger one


def cheapest(cut: Cut) -> tuple[float, int, set[bool]]:
    """Cost of the best one inside all limits, how many there are, and whether a third element carries."""
    witness, best, tried, carries = cut.witness, float("inf"), 0, set()
    limits = [name for name, target in witness.targets.items() if not any("value" in key for key in target)]
    for settings in cut.combinations():
        tried += 1
        try:
            stands = witness.stands(settings)
        except sw.OutOfReach:
            continue
        carries.update(load > 0.0 for load in stands.third_loads_N.values())
        values = witness.values_of(stands.values)
        if not set(limits) & set(witness.outside(values)):
            best = min(best, witness.cost_of(values) + witness.cost_of_steps(settings))
    return best, tried, carries


def test_no_combination_is_cheaper_than_the_closest_plan(size: Callable[[int, int], int]) -> None:
    faults, opens = [], False
    for number in CARS[: size(2, len(CARS))]:
        cut = cut_morning(number)
        answer = cut.plan().closest
        best, tried, carries = cheapest(cut)
        print(f"car {number}, {', '.join(cut.turned)}: {tried} combinations, best {best:.9g}, found {answer.cost:.9g}")
        opens |= carries == {False, True}
        if {value.key for value in answer.core.values if value.asks.name == "asked"} != cut.in_cost:
            faults.append(f"car {number}: not all that is asked for is in the cost")
        if not abs(answer.cost - best) <= SAME * max(1.0, best):
            faults.append(f"car {number}: found {answer.cost}, the best costs {best}")
    assert opens
    assert faults == []
