"""Plans of mornings that one known plan brings inside, judged by a witness of its own."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from itertools import product
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

import shimwise as sw
from plan_mornings import planted
from plan_witness import Settings, Witness
from shimwise import _core

KEPT_IN_THE_WAY = (3, 2)  # casters and the rear difference cannot stay, and a quick search does not see it
CASES = [(number, draw) for draw, number in product(range(4), range(10))]  # every other draw asks for caster too
CASES.sort(key=lambda case: case != KEPT_IN_THE_WAY)
MOST_CPU_S = 30.0  # against hanging: with 40 adjusters free the least work takes up to 16 s where it is not proven
SAME = 1e-9


def wrong(witness: Witness, choice: _core.Choice, settings: Settings) -> Iterator[str]:
    """What carrying it out on the nonlinear car contradicts: what it predicts and costs, whether it can be set."""
    then = witness.values(settings)
    for value in choice.values:
        if not abs(value.then - then[value.key]) < SAME:
            yield f"{value.key} is {then[value.key]} instead of {value.then}"
    cost = witness.cost(settings, in_cost(choice))
    if not abs(choice.cost - cost) < SAME:
        yield f"costs {cost} instead of {choice.cost}"
    if not abs(choice.minutes - (minutes := witness.minutes(settings))) < SAME:
        yield f"{minutes} minutes instead of {choice.minutes}"
    if {value.key for value in choice.values if value.asks.name in ("asked", "limit")} != set(witness.targets):
        yield "other targets than were asked for"
    yield from (f"{name} is outside" for name in witness.outside(then))
    for value in choice.values:
        if value.asks.name == "kept" and not abs(then[value.key] - value.target.value) <= value.target.tolerance:
            yield f"{value.key} is not kept"
    yield from witness.broken(settings)


def in_cost(choice: _core.Choice) -> list[str]:
    return [value.key for value in choice.values if value.asks.name == "asked"]


def wrong_answers(witness: Witness, plan: sw.Plan) -> Iterator[str]:
    yield from wrong(witness, plan.closest.core, plan.closest.settings)
    if plan.least_work is None:
        yield "no plan of least work"
        return
    yield from wrong(witness, plan.least_work.core, plan.least_work.settings)
    if not plan.least_work.minutes <= plan.closest.minutes:
        yield "least work is more than the closest plan's"


def test_a_plan_is_found_that_is_no_dearer_than_the_planted_one(size: Callable[[int, int], int]) -> None:
    """Once with all else free, as the planted plan has it, and once as people ask.

    With 22 unknowns and more the work may end before the proof. Such a plan meets every target too, says below which
    cost there is nothing, and may be dearer than the planted one: these are counted.
    """
    faults, dearer = [], []
    for number, draw in CASES[: size(2, len(CASES))]:
        morning = planted(number, draw)
        witness = morning.witness()
        assert witness.broken(morning.settings) == []
        began = time.process_time()
        plan = morning.plan(turn=list(morning.turns), free=morning.free)
        cpu_s = time.process_time() - began
        cost, of_planted = plan.closest.cost, witness.cost(morning.settings, in_cost(plan.closest.core))
        print(f"car {number}, draw {draw}: {cpu_s:.1f} s, costs {cost:.6f}, planted {of_planted:.6f}")
        said = list(wrong_answers(witness, plan))
        if not cost <= of_planted + SAME:
            proof = plan.closest.core.proof
            if proof.proven or not proof.bound <= of_planted + SAME:
                said.append(f"costs {cost}, the planted one {of_planted}, the bound {proof.bound}")
            dearer.append((number, draw))
        if not cpu_s < MOST_CPU_S:
            said.append(f"took {cpu_s:.1f} s")
        said += [f"as people ask: {one}" for one in wrong_answers(witness, morning.plan(turn=list(morning.turns)))]
        faults += [f"car {number}, draw {draw}: {one}" for one in said]
    print(f"not proven and dearer than the planted one: {len(dearer)} of {size(2, len(CASES))}")
    assert faults == []
    assert 2 * len(dearer) <= size(2, len(CASES))
