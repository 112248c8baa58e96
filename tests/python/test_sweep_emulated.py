"""Sweeps on an emulated processor without AVX: the bits that they have here, where the library of C is the same.

That library takes its sine, cosine and tangent by other instructions where a processor has them, and one in some
thousand then has another last digit. A corner for what is held takes none of these, but for the end of its range; a car
at rest takes the sine and cosine of its pitch and roll.
"""

from __future__ import annotations

import os
import pickle
import shutil
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest
from sweep_answers import Answers, Columns, answers
from sweep_kinds import drawn_about, in_a_list, sweeps

import shimwise as sw
from random_cars import random_car

CARS, STATES, AT_REST = {"short": (1, 4, 200), "full": (8, 60, 200_000)}[os.environ.get("SHIMWISE_SIZE", "short")]
EMULATOR, PROCESSOR = "qemu-x86_64", "Nehalem"  # of what NumPy's packages need the last processor without AVX
BLAS = {"OPENBLAS_CORETYPE": PROCESSOR}  # NumPy's looks past the emulator at some processors, and stops there
PLAIN = "glibc.cpu.hwcaps=-AVX512F,-AVX2,-AVX,-FMA,-FMA4"  # as the library of C takes its functions without AVX
LIBRARY = 1e-11  # of a value, or of 1
PROGRAM = "import sys; sys.path.insert(0, sys.argv[1]); import sweep_answers; sweep_answers.answer(*sys.argv[2:])"
HOLDS = ("wheel", "contact", "spring", "rest")


class Ways(NamedTuple):
    here: Answers
    plain: Answers  # on this processor with the library's functions of one without AVX
    emulated: Answers


@pytest.fixture(scope="module")
def ways(car: sw.Car, tmp_path_factory: pytest.TempPathFactory) -> Ways:
    emulator = shutil.which(EMULATOR)
    if emulator is None:
        missing = f"{EMULATOR} is not installed: it is in the Debian package qemu-user"
        assert os.environ.get("SHIMWISE_SIZE") != "full", missing
        pytest.skip(missing)
    folder = tmp_path_factory.mktemp("emulated")
    by, how = drawn_about(car, "rest", AT_REST, 1, moved=None)
    many = how | {"outputs": ["height", "pitch", "roll", "weight", "toe", "camber"]}
    asked = [(car, [*sweeps(car), (in_a_list(by), many)])]
    for number in range(CARS):
        (folder / "car.toml").write_text(random_car(number), encoding="utf-8")
        other = sw.load_car(folder / "car.toml")
        every = [drawn_about(other, hold, STATES, number) for hold in HOLDS]
        asked.append((other, [(in_a_list(by), how) for by, how in every]))
    (folder / "asked").write_bytes(pickle.dumps(asked))

    def elsewhere(*words: str, **settings: str) -> Answers:
        names = [str(Path(__file__).parent), str(folder / "asked"), str(folder / "answered")]
        subprocess.run(
            [*words, sys.executable, "-c", PROGRAM, *names], env=os.environ | settings, check=True, timeout=1800
        )
        return pickle.loads((folder / "answered").read_bytes())  # noqa: S301

    return Ways(answers(asked), elsewhere(GLIBC_TUNABLES=PLAIN), elsewhere(emulator, "-cpu", PROCESSOR, **BLAS))


def same_bits(ours: Columns, theirs: Columns) -> list[str]:
    """The columns of which every bit is the same."""
    assert ours.keys() == theirs.keys()
    return [name for name, values in ours.items() if values.tobytes() == theirs[name].tobytes()]


def agrees(ours: np.ndarray, theirs: np.ndarray) -> bool:
    """Numbers within what the library's last digits make, and no number in the same places."""
    if ours.dtype != np.float64:
        return bool((ours == theirs).all())
    near = np.abs(ours - theirs) <= LIBRARY * np.maximum(1.0, np.abs(ours))
    return bool((near | (np.isnan(ours) & np.isnan(theirs))).all())


def test_the_emulated_processor_has_no_avx_and_the_library_works_as_on_it(ways: Ways) -> None:
    assert "SSE42" in ways.emulated.instructions
    assert not {one for one in ways.emulated.instructions if one.startswith(("AVX", "FMA"))}
    assert ways.plain.instructions == ways.here.instructions
    assert ways.plain.library.tobytes() == ways.emulated.library.tobytes()
    other = int((ways.here.library != ways.emulated.library).sum())
    print(f"AVX2 here: {'AVX2' in ways.here.instructions}; sines, cosines and tangents")
    print(f"that are other ones without AVX: {other} of {ways.here.library.size}")


def test_every_bit_is_the_same_where_the_library_is(ways: Ways) -> None:
    assert same_bits(ways.plain.held, ways.emulated.held) == [*ways.plain.held]
    assert same_bits(ways.plain.rest, ways.emulated.rest) == [*ways.plain.rest]
    assert ways.plain.demo == ways.emulated.demo
    print(f"{len(ways.plain.held)} columns of corners, {len(ways.plain.rest)} of cars at rest")


def test_a_corner_has_the_same_bits_whatever_the_library(ways: Ways) -> None:
    """What a state is short by counts from the end of a range, which is looked for by angles and their tangents."""
    same = same_bits(ways.here.held, ways.emulated.held)
    assert not [name for name in ways.here.held if name not in same and not name.endswith(": short_by_mm")]
    assert not [name for name, values in ways.here.held.items() if not agrees(values, ways.emulated.held[name])]


def test_a_car_at_rest_differs_by_no_more_than_the_library_makes(ways: Ways) -> None:
    assert not [name for name, values in ways.here.rest.items() if not agrees(values, ways.emulated.rest[name])]
    numbers = [name for name, values in ways.here.rest.items() if values.dtype == np.float64]
    off = np.concatenate([np.abs(ways.here.rest[name] - ways.emulated.rest[name]).ravel() for name in numbers])
    print(f"{int((off > 0.0).sum())} of {off.size} numbers at rest differ, by {np.nanmax(off):.1e} at most")
