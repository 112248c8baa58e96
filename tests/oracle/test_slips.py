"""One slip in a sheet of readings: what the library names first, of those that an independent witness holds tellable.

Sheets are those of two whole cars, without and with lengths: `slip_sheets` reads them off the nonlinear car, `slips`
decides which slip can be told. Of sound sheets nothing must be said, and of those whose instruments and car scatter
half as much again, little.
"""

from __future__ import annotations

import sys
import tomllib
from collections import Counter
from collections.abc import Callable, Iterator
from itertools import islice
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))

import shimwise as sw
from random_cars import random_car
from shimwise import _core
from slip_sheets import Key, Sheet, Workshop, demo, drawn, known_car
from slips import KINDS, Slip, Tellable, drawn_slip

CARS = {"demo": demo, "random 3": lambda: tomllib.loads(random_car(3))}
SEED = 13
TELLABLE = {False: 0.33, True: 0.53}  # of all sheets, without and with lengths: fewer, and the witness is too strict
NAMED, NOTHING, NOTHING_NOISY = 0.98, 0.99, 0.93
NOISY = 1.5
INPUT = {"front": "flags.front", "rear": "flags.rear", "camber": "camber.facing", "scale": "scale"}


@pytest.fixture(scope="module", params=[(car, lengths) for car in CARS for lengths in (False, True)], ids=str)
def shop(request: pytest.FixtureRequest) -> Workshop:
    car, lengths = request.param
    return Workshop(known_car(CARS[car]()), lengths=lengths)


def input_key(key: Key) -> str:
    at, what = key
    if what == "height":
        return f"ride_height.{at}"
    return f"strings.{at}.{what.removesuffix(' bar')}" if what.endswith(" bar") else f"{at}.{INPUT[what]}"


def first_of(shop: Workshop, sheet: Sheet) -> _core.Slip:
    found = _core.contradictions(shop.readings(shop.written(sheet)).reduce().core, shop.car.core)
    assert found is not None
    assert abs(sum(slip.chance for slip in found.slips) - 1.0) < 1e-9
    return found.slips[0]


def names(first: _core.Slip, slip: Slip) -> bool:
    """A lost sign and an amount at the same gauge are one."""
    kinds = {first.kind, slip.kind}
    alike = len(kinds) == 1 or kinds == {"camber", "lost sign"}
    return alike and set(first.inputs) == {input_key(key) for key in slip.keys}


def sheets(shop: Workshop, rng: np.random.Generator, noise: float = 1.0) -> Iterator[Sheet]:
    """Without end; a car that cannot stand so is drawn again."""
    while True:
        try:
            yield shop.sheet(drawn(rng, noise))
        except sw.OutOfReach:
            continue


def enough(share: float, cases: int, *, full: bool) -> float:
    """What is asked of so many; of a brief run two standard deviations less."""
    return share if full else share - 2.0 * np.sqrt(share * (1.0 - share) / cases)


def test_tellable_slips_are_named_first(shop: Workshop, size: Callable[[int, int], int]) -> None:
    wanted = size(60, 500)
    rng = np.random.default_rng([SEED, shop.lengths])
    tellable = Tellable(shop)
    drawn_of, told_of, named_of = Counter[str](), Counter[str](), Counter[str]()
    for sound in sheets(shop, rng):
        slip = drawn_slip(shop, rng)
        drawn_of[slip.kind] += 1
        if tellable(slip, sound):
            told_of[slip.kind] += 1
            named_of[slip.kind] += names(first_of(shop, slip.done_to(sound)), slip)
        if told_of.total() == wanted:
            break
    for kind in KINDS:
        print(f"{kind}: {drawn_of[kind]} drawn, {told_of[kind]} tellable, {named_of[kind]} of them named first")
    share = wanted / drawn_of.total()
    print(f"{share:.1%} tellable, {named_of.total() / wanted:.1%} of them named first")
    assert share >= enough(TELLABLE[shop.lengths], drawn_of.total(), full=wanted == 500)
    assert named_of.total() / wanted >= enough(NAMED, wanted, full=wanted == 500)


@pytest.mark.parametrize(
    ("noise", "brief", "full", "asked"), [(1.0, 150, 2000, NOTHING), (NOISY, 100, 1000, NOTHING_NOISY)]
)
def test_nothing_is_said_of_sound_sheets(
    shop: Workshop, size: Callable[[int, int], int], noise: float, brief: int, full: int, asked: float
) -> None:
    count = size(brief, full)
    rng = np.random.default_rng([SEED, shop.lengths, int(10 * noise)])
    first = Counter(first_of(shop, sheet).kind for sheet in islice(sheets(shop, rng, noise), count))
    share = first["nothing wrong"] / count
    print(f"{noise} times the noise: nothing wrong first in {share:.1%} of {count}; {dict(first)}")
    assert share >= enough(asked, count, full=count == full)
