"""What is wanted of a plan otherwise and cannot be: each gets its whole sentence, from Python and from a shell."""

from __future__ import annotations

import math
import subprocess
from collections.abc import Callable
from typing import Any

import pytest

import shimwise as sw

Run = Callable[..., subprocess.CompletedProcess[str]]

ROD, PUSHROD, SHIM = (f"front_left.{name}" for name in ("track rod", "pushrod", "camber shim"))
RIGHT = "front_right.track rod"
NAMES = 'needs a name or a list of names, such as "{}"'
PAIR = f'needs a list of lists of adjusters, such as [["{ROD}", "{RIGHT}"]]'
AMOUNT = (
    "needs a number with turns, half turns, flats, quarter flats, steps or mm, such as +2 flats (longer than it stands)"
    " or =2 flats (from as drawn)"
)

BROKEN: list[tuple[dict[str, Any], str]] = [
    ({"keep": 3}, "keep = 3: " + NAMES.format("toe")),
    ({"keep": [3]}, "keep = [3]: " + NAMES.format("toe")),
    ({"keep": None}, "keep = None: " + NAMES.format("toe")),
    ({"keep": " "}, "keep = ' ': is an empty name"),
    ({"keep": "\ud800"}, "keep = '\\ud800': is not UTF-8 text"),
    ({"keep": "tow"}, 'keep = tow: is no value that a plan can keep or let go; did you mean "toe"?'),
    (
        {"free": "front_left.tow"},
        'free = front_left.tow: is no value that a plan can keep or let go; did you mean "front_left.toe"?',
    ),
    ({"keep": "rear_difference", "free": ["rear_difference"]}, "keep = rear_difference: is in free too"),
    ({"turn": [""]}, "turn = '': is an empty name"),
    (
        {"turn": "front_left.trak rod"},
        f'turn = front_left.trak rod: is no adjuster, corner or purpose of Wren; did you mean "{ROD}"?',
    ),
    ({"turn": SHIM, "forbid": "front_left"}, f"turn = {SHIM}: is in forbid too"),
    ({"forbid": {"front_left": 1}}, "forbid = {'front_left': 1}: " + NAMES.format(ROD)),
    ({"forbid": "front_midle"}, "forbid = front_midle: is no adjuster, corner or purpose of Wren"),
    ({"force": 3}, f'force = 3: needs a dictionary, such as {{"{ROD}": "+1 flat"}}'),
    ({"force": {3: "+1 flat"}}, f"force = {{3: '+1 flat'}}: 3 is no adjuster, such as \"{ROD}\""),
    ({"force": {PUSHROD: "two"}}, f"force.{PUSHROD} = 'two': {AMOUNT}"),
    ({"force": {PUSHROD: None}}, f"force.{PUSHROD} = None: {AMOUNT}"),
    (
        {"force": {"front_left.pushrods": "+1 flat"}},
        f'force = front_left.pushrods: is no adjuster of Wren; did you mean "{PUSHROD}"?',
    ),
    ({"force": {PUSHROD: "+1/7 flat"}}, f"force = {PUSHROD}: 0.024 turns are no whole steps from how it stands"),
    (
        {"force": {PUSHROD: "+900 flats"}},
        f"force = {PUSHROD}: excludes the setting of 150 turns: allowed are -5 to 5",
    ),
    ({"force": {SHIM: "+0.05 mm"}}, f"force = {SHIM}: no shims at hand make 3.05 mm"),
    ({"force": {PUSHROD: "+1 flat"}, "forbid": "front_left"}, f"force = {PUSHROD}: is in forbid too"),
    ({"tie": "front_left"}, f"tie = 'front_left': {PAIR}"),
    ({"tie": [ROD, RIGHT]}, f"tie = ['{ROD}', '{RIGHT}']: {PAIR}"),
    ({"tie": [[]]}, "tie: needs two adjusters or more"),
    ({"tie": [[ROD]]}, f"tie = {ROD}: needs two adjusters or more"),
    ({"tie": [[ROD, ROD]]}, f"tie = {ROD}: stands twice"),
    ({"tie": [[ROD, RIGHT], ["rear_left.toe link", ROD]]}, f"tie = {ROD}: is in another tie too"),
    ({"tie": [[ROD, SHIM]]}, f"tie = {SHIM}: is no thread as {ROD} is: these have no equal steps"),
    (
        {"forbid": "pushrods"},
        'forbid = pushrods: is no adjuster, corner or purpose of Wren; did you mean "pushrod"?',
    ),
    ({"prefer": "x"}, "prefer = x: is no adjuster, corner or purpose of Wren"),
    ({"within_minutes": -1}, "within_minutes = -1: needs a number of minutes, 0 or more"),
    ({"within_minutes": math.nan}, "within_minutes = nan: needs a number of minutes, 0 or more"),
    ({"within_minutes": "60"}, "within_minutes = '60': needs a number of minutes, 0 or more"),
    ({"within_minutes": True}, "within_minutes = True: needs a number of minutes, 0 or more"),
    ({"model_share": 1.5}, "model_share = 1.5: needs a share from 0 to 1"),
    ({"model_share": "2 %"}, "model_share = '2 %': needs a share from 0 to 1"),
    ({"doubts": "x"}, "doubts = 'x': needs a list of Doubt"),
    ({"doubts": ["x"]}, "doubts = ['x']: needs a list of Doubt"),
    ({"doubts": 3}, "doubts = 3: needs a list of Doubt"),
]


@pytest.fixture(scope="module")
def morning(car: sw.Car) -> tuple[sw.Measured, sw.Targets]:
    files = sw.demo_files()
    return sw.load_readings(files.readings, car).reduce(), sw.load_targets(files.targets, car)


@pytest.mark.parametrize(("asked", "sentence"), BROKEN, ids=[repr(asked)[:50] for asked, _ in BROKEN])
def test_a_broken_ask_gets_its_sentence(
    car: sw.Car, morning: tuple[sw.Measured, sw.Targets], asked: dict[str, Any], sentence: str
) -> None:
    with pytest.raises(sw.InputError) as refused:
        sw.plan(car, *morning, **asked)
    assert str(refused.value) == sentence


def test_to_keep_what_is_asked_for_is_said_and_a_name_forbids_all_that_have_it(
    car: sw.Car, morning: tuple[sw.Measured, sw.Targets]
) -> None:
    found = sw.plan(car, *morning, keep=["toe", "rear_difference"], forbid="pushrod")
    asked = "front_left.toe, front_right.toe, rear_left.toe and rear_right.toe"
    assert f"keep: {asked} are asked for; the tolerance of the target counts." in found.notes
    assert found.closest.turned
    assert not [one.key for one in found.closest.turned if "pushrod" in one.key]


def test_every_broken_name_is_said_at_once(car: sw.Car, morning: tuple[sw.Measured, sw.Targets]) -> None:
    with pytest.raises(sw.InputError) as refused:
        sw.plan(car, *morning, keep="tow", turn="x", prefer="y", tie=[[ROD, "z"]])
    assert [problem.field for problem in refused.value.problems] == ["keep", "turn", "prefer", "tie"]


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["--keep", "tow"], 'keep = tow: is no value that a plan can keep or let go; did you mean "toe"?'),
        (["--keep", ""], "keep = '': is an empty name"),
        (["--force", PUSHROD], f"'{PUSHROD}': needs \"corner.adjuster name=+1 flat\""),
        (["--force", f"{PUSHROD}=+1 flat", "--force", f"{PUSHROD}=+2 flats"], f"'{PUSHROD}' is named twice"),
        (["--force", f"{PUSHROD}=two"], f"force.{PUSHROD} = 'two': needs a number"),
        (["--tie", ROD], f"tie = {ROD}: needs two adjusters or more"),
        (["--tie", f"{ROD}="], "tie = '': is an empty name"),
        (["--within-minutes", "long"], "Invalid value for '--within-minutes': 'long' is not a valid float."),
        (["--within-minutes", "nan"], "within_minutes = nan: needs a number of minutes, 0 or more"),
    ],
)
def test_a_broken_option_gets_its_sentence(run: Run, words: list[str], sentence: str) -> None:
    done = run("plan", "wren.toml", "wren_readings.toml", "wren_targets.toml", *words, code=2)
    assert sentence in done.stderr
    assert done.stdout == ""
