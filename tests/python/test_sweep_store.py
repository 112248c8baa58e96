"""Sweeps larger than memory: the right folder however often it is interrupted, and never another's."""

from __future__ import annotations

import itertools
import os
import random
import resource
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from concurrent.futures import BrokenExecutor, ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import xarray as xr
from sweep_kinds import ROD, SHIM, sweeps

import shimwise as sw
from shimwise.sweeps.boxes import box_sizes, boxes_of

Size = Callable[[int, int], int]
Run = Callable[..., subprocess.CompletedProcess[str]]

AXIS = np.linspace(-1.0, 1.0, 60)
PUSHROD = "front_left.pushrod"


@pytest.fixture
def parts_of(monkeypatch: pytest.MonkeyPatch) -> Callable[[int], None]:
    def at_most(states: int) -> None:
        for name in ("_FEWEST", "_MOST"):
            monkeypatch.setattr(f"shimwise.sweeps.store.{name}", states)

    return at_most


def test_boxes_hold_every_state_once_and_each_is_one_stretch(size: Size) -> None:
    draw = random.Random(5)  # noqa: S311
    for _ in range(size(200, 1000)):
        shape = tuple(draw.choice([1, 2, 3, 7, 12, 40]) for _ in range(draw.randint(0, 5)))
        about = draw.choice([1, 2, 7, 100, 5000])
        numbers = np.arange(np.prod(shape, dtype=int)).reshape(shape)
        sizes = box_sizes(shape, about)
        before = 0
        for count, box in enumerate(boxes_of(shape, sizes)):
            inside = numbers[(*box.at, ...)]
            assert box.number == count
            assert (inside.shape, inside.size) == (box.shape, box.states)
            assert 0 < box.states <= about
            np.testing.assert_array_equal(inside.ravel(), np.arange(before, before + box.states))
            before += box.states
        assert before == numbers.size
        assert np.prod(sizes, dtype=int) >= min(numbers.size, about / 4), (shape, about)


@pytest.mark.parametrize("which", range(6))
def test_what_is_stored_is_what_is_found(
    car: sw.Car, tmp_path: Path, parts_of: Callable[[int], None], which: int
) -> None:
    inputs, how = sweeps(car)[which]
    here = sw.sweep(car, inputs, **how)
    for states in (3, 17, 10_000):
        parts_of(states)
        out = tmp_path / f"{states}.zarr"
        found = sw.sweep(car, inputs, **how, out=out)
        assert [str(name) for name in found.data_vars] == [str(name) for name in here.data_vars]
        xr.testing.assert_equal(found, here)
        assert found.attrs == here.attrs
        for name in here.variables:
            for key, about in here[name].attrs.items():
                np.testing.assert_array_equal(found[name].attrs[key], about)
    assert sorted(one.name for one in tmp_path.iterdir()) == ["10000.zarr", "17.zarr", "3.zarr"]


CHILD = """
import sys
import numpy as np
import shimwise as sw
import shimwise.sweeps.store as store

store._FEWEST = store._MOST = 200
axis = np.linspace(-1.0, 1.0, 100)
car = sw.demo_car()
print("ready", flush=True)
sw.sweep(car, {"front_left.track rod": axis, "front_left.pushrod": axis}, outputs="cross_weight", hold="rest",
         out=sys.argv[1], threads=1)
"""


def test_whenever_it_is_interrupted_it_goes_on_to_the_right_folder(car: sw.Car, tmp_path: Path, size: Size) -> None:
    axis = np.linspace(-1.0, 1.0, 100)
    right = sw.sweep(car, {ROD: axis, PUSHROD: axis}, outputs="cross_weight", hold="rest")
    draw = random.Random(1)  # noqa: S311
    wanted, interrupted, folders = size(4, 50), 0, itertools.count()
    while interrupted < wanted:
        out = tmp_path / f"{next(folders)}.zarr"
        while not out.exists():
            child = subprocess.Popen(
                [sys.executable, "-c", CHILD, str(out)], stdout=subprocess.PIPE, stderr=subprocess.PIPE
            )
            assert child.stdout is not None
            assert child.stdout.readline() == b"ready\n"
            if interrupted < wanted:
                time.sleep(draw.uniform(0.0, 1.5))
                child.send_signal(draw.choice([signal.SIGKILL, signal.SIGINT]))
            said = child.communicate()[1].decode()
            assert child.returncode == 0 or said == "" or "KeyboardInterrupt" in said, said
            interrupted += child.returncode != 0
        with xr.open_zarr(out) as found:
            xr.testing.assert_equal(found.load(), right)
        shutil.rmtree(out)
        assert not list(tmp_path.iterdir())


class Ends(Exception):
    pass


def half_done(car: sw.Car, out: Path, **how: Any) -> int:
    """A sweep that ends half way; how many states were told to be done."""
    told: list[int] = []

    def ends(done: int, count: int) -> None:
        told.append(done)
        if done >= count // 2:
            raise Ends

    given: dict[str, Any] = {"outputs": ["cross_weight"], "hold": "rest"} | how
    with pytest.raises(Ends):
        sw.sweep(car, {ROD: AXIS, PUSHROD: AXIS}, **given, out=out, progress=ends)
    return told[-1]


def test_what_is_done_is_not_done_again(car: sw.Car, tmp_path: Path, parts_of: Callable[[int], None]) -> None:
    parts_of(60)
    out = tmp_path / "a.zarr"
    half_done(car, out)
    assert [one.name for one in tmp_path.iterdir()] == ["a.zarr.unfinished"]
    listed = out.with_name("a.zarr.unfinished") / "done.txt"
    done = len(listed.read_text(encoding="ascii").split())
    assert done >= 29
    with listed.open("a", encoding="ascii") as torn:
        torn.write("5")  # of a line that was not written to its end: 59, say
    told: list[int] = []
    found = sw.sweep(
        car,
        {ROD: AXIS, PUSHROD: AXIS},
        outputs=["cross_weight"],
        hold="rest",
        out=out,
        progress=lambda n, _: told.append(n),
    )
    assert told[0] >= 60 * done
    assert told[-1] == 3600
    xr.testing.assert_equal(found, sw.sweep(car, {ROD: AXIS, PUSHROD: AXIS}, outputs=["cross_weight"], hold="rest"))


OTHERS: dict[str, Callable[[sw.Car], tuple[sw.Car, dict[str, Any], dict[str, Any]]]] = {
    "car as it is set": lambda car: (car.with_settings({SHIM: "+0.5 mm"}), {}, {}),
    f"values of {ROD}": lambda car: (car, {ROD: AXIS * 0.5}, {}),
    "outputs": lambda car: (car, {}, {"outputs": ["front_left.weight"]}),
    "change": lambda car: (car, {}, {"change": ROD}),
    "hold, frame, outputs": lambda car: (car, {}, {"hold": "contact", "outputs": "front_left.toe"}),
    f"dimensions, values of {PUSHROD}": lambda car: (car, {PUSHROD: AXIS[:7]}, {}),
}


@pytest.mark.parametrize("other", OTHERS)
def test_another_sweep_is_refused_and_nothing_is_lost(
    car: sw.Car, tmp_path: Path, parts_of: Callable[[int], None], other: str
) -> None:
    parts_of(60)
    out = tmp_path / "a.zarr"
    half_done(car, out)
    before = {one: one.read_bytes() for one in out.with_name("a.zarr.unfinished").rglob("*") if one.is_file()}
    its, inputs, how = OTHERS[other](car)
    given: dict[str, Any] = {"outputs": ["cross_weight"], "hold": "rest"} | how
    with pytest.raises(sw.InputError) as error:
        sw.sweep(its, {ROD: AXIS, PUSHROD: AXIS} | inputs, **given, out=out)
    said = str(error.value)
    assert said.startswith(f"{out}: has begun for another sweep (")
    assert said.endswith(f"): give another name, or remove {out}.unfinished to begin anew")
    for name in other.split(", "):
        assert name in said
    assert before == {one: one.read_bytes() for one in out.with_name("a.zarr.unfinished").rglob("*") if one.is_file()}


def test_a_worker_that_is_killed_loses_nothing_that_was_done(
    car: sw.Car, tmp_path: Path, parts_of: Callable[[int], None]
) -> None:
    parts_of(500)
    axis = np.linspace(-1.0, 1.0, 200)
    out = tmp_path / "a.zarr"
    how: dict[str, Any] = {"outputs": "cross_weight", "hold": "rest", "out": out}
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        left = [pool.submit(os.getpid).result()]

        def kills(done: int, count: int) -> None:
            if done >= count // 3 and left:
                os.kill(left.pop(), signal.SIGKILL)

        with pytest.raises(BrokenExecutor):
            sw.sweep(car, {ROD: axis, PUSHROD: axis}, **how, executor=pool, progress=kills)
    told: list[int] = []
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        found = sw.sweep(
            car, {ROD: axis, PUSHROD: axis}, **how, executor=pool, progress=lambda done, _: told.append(done)
        )
    assert told[0] > 13_000
    xr.testing.assert_equal(found, sw.sweep(car, {ROD: axis, PUSHROD: axis}, outputs="cross_weight", hold="rest"))


def test_with_dask_a_killed_worker_does_not_end_the_run(
    car: sw.Car, tmp_path: Path, parts_of: Callable[[int], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    import distributed

    parts_of(60)
    monkeypatch.setattr("shimwise.sweeps.work._PART", 60)
    here = sw.sweep(car, {ROD: AXIS, PUSHROD: AXIS}, outputs="cross_weight", hold="rest")
    with (
        distributed.LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster,
        distributed.Client(cluster) as client,
    ):
        pool = client.get_executor()
        for where in ({"out": tmp_path / "a.zarr"}, {}):
            left = list(client.run(os.getpid).values())[:1]

            def kills(done: int, count: int, left: list[int] = left) -> None:
                if done >= count // 3 and left:
                    os.kill(left.pop(), signal.SIGKILL)

            found = sw.sweep(
                car,
                {ROD: AXIS, PUSHROD: AXIS},
                outputs="cross_weight",
                hold="rest",
                executor=pool,
                progress=kills,
                **where,
            )
            assert not left
            xr.testing.assert_equal(found.load(), here)


def test_two_processes_do_not_write_the_same(car: sw.Car, tmp_path: Path, parts_of: Callable[[int], None]) -> None:
    parts_of(60)
    out = tmp_path / "a.zarr"
    said: list[str] = []

    def again(*_done: int) -> None:
        if not said:
            with pytest.raises(sw.InputError) as error:
                sw.sweep(car, {ROD: AXIS}, outputs="toe", out=out)
            said.append(str(error.value))

    sw.sweep(car, {ROD: AXIS}, outputs="toe", out=out, progress=again)
    assert said == [f"{out}: is being written by another process"]


MEMORY = """
import resource
import sys
import numpy as np
import shimwise as sw

rows = np.linspace(-5.0, 5.0, int(sys.argv[1]))
sw.sweep(sw.demo_car(), {"travel_mm": np.linspace(-20.0, 20.0, 1000), "rack_mm": rows},
         outputs=["front_left.toe", "front_left.camber", "front_left.caster"], out=sys.argv[2])
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024)
"""


def test_memory_does_not_grow_with_the_states(tmp_path: Path, size: Size) -> None:
    rows = size(1000, 10_000)
    peaks = [
        int(
            subprocess.run(
                [sys.executable, "-c", MEMORY, str(n), str(tmp_path / f"{n}.zarr")], check=True, capture_output=True
            ).stdout
        )
        for n in (rows // 2, rows * 2)
    ]
    result = 1000 * rows * 3 // 2 * 42
    assert peaks[1] - peaks[0] < 0.25 * result, (peaks, result)


def test_the_command_writes_a_folder_and_says_the_same(car: sw.Car, tmp_path: Path, shimwise: Run) -> None:
    shutil.copy(sw.demo_files().car, tmp_path)
    text = (
        f'format = "shimwise-sweep/1"\noutputs = ["front_left.toe"]\n'
        f'[[input]]\nname = "{ROD}"\nvalues = ["+1 flat", "-1 flat"]\n'
        '[[input]]\nname = "travel_mm"\nfrom = -20\nto = 220\ncount = 25\n'
    )
    (tmp_path / "sweep.toml").write_text(text, encoding="utf-8")
    said = {
        ending: shimwise("sweep", "wren.toml", "sweep.toml", "--out", f"out{ending}").stdout.replace(ending, "")
        for ending in (".csv", ".zarr")
    }
    assert said[".csv"] == said[".zarr"]
    assert "not reached: pushrod open" in said[".zarr"]
    with xr.open_zarr(tmp_path / "out.zarr") as found:
        assert "sweep.toml" in found.attrs["origin"]
        here = sw.sweep_file(car, text=text)
        xr.testing.assert_equal(found.set_coords([f"{ROD} as written"]).load(), here)
    xr.testing.assert_equal(sw.sweep_file(car, text=text, out=tmp_path / "call.zarr"), here)
    refused = shimwise("sweep", "wren.toml", "sweep.toml", "--out", "out.zarr", code=2).stderr
    assert refused == "out.zarr: exists already and is not written over\n"


def folder(path: Path) -> None:
    (path / "a.zarr").mkdir()


def stranger(path: Path) -> None:
    (path / "a.zarr.unfinished").mkdir()
    (path / "a.zarr.unfinished" / "notes").touch()


def nothing(_path: Path) -> None:
    pass


def a_file(path: Path) -> None:
    (path / "a.zarr.unfinished").touch()


BROKEN: list[tuple[Callable[[Path], None], dict[str, Any], str]] = [
    (folder, {}, "a.zarr: exists already and is not written over"),
    (stranger, {}, "a.zarr.unfinished: is in the way: it holds notes, which is of nothing unfinished"),
    (a_file, {}, "a.zarr: cannot be written: File exists"),
    (nothing, {"out": "a.nc"}, "a.nc: needs to end in .zarr"),
    (nothing, {"out": 3}, 'out = 3: needs the name of a new folder, such as "name.zarr"'),
    (nothing, {"out": ""}, "'': needs the name of a file"),
    (nothing, {"out": "nowhere/a.zarr"}, "a.zarr: there is no folder "),
    (
        nothing,
        {"derive": {"twice": lambda d: d["front_left.toe_deg"] * 2}},
        "derive: is made of the whole result: open ",
    ),
    (
        nothing,
        {"inputs": {ROD: xr.DataArray([0.0, 1.0], dims="1/2")}},
        "a.zarr: the name '1/2' cannot stand in Zarr",
    ),
    (
        nothing,
        {"inputs": {ROD: xr.DataArray([0.0], dims="a", coords={"a": np.array([{}], dtype=object)})}},
        "a.zarr: a label cannot stand in Zarr: ",
    ),
]


@pytest.mark.parametrize(("before", "broken", "sentence"), BROKEN, ids=[f"{i}" for i in range(len(BROKEN))])
def test_what_cannot_be_stored_is_refused_and_nothing_is_left(
    car: sw.Car,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    before: Callable[[Path], None],
    broken: dict[str, Any],
    sentence: str,
) -> None:
    before(tmp_path)
    monkeypatch.chdir(tmp_path)
    there = sorted(tmp_path.rglob("*"))
    how: dict[str, Any] = {
        "inputs": {ROD: [0.0, 0.5]},
        "outputs": "front_left.toe",
        "out": tmp_path / "a.zarr",
    } | broken
    with pytest.raises(sw.InputError) as error:
        sw.sweep(car, **how)
    assert sentence in str(error.value), str(error.value)
    assert len(str(error.value).splitlines()) == 1
    assert sorted(tmp_path.rglob("*")) == there


@pytest.mark.parametrize(("file", "text"), [("asked.json", "5"), ("asked.json", "{"), ("done.txt", "1\nmany\n")])
def test_what_was_changed_by_hand_is_refused(
    car: sw.Car, tmp_path: Path, parts_of: Callable[[int], None], file: str, text: str
) -> None:
    parts_of(60)
    out = tmp_path / "a.zarr"
    half_done(car, out)
    (tmp_path / "a.zarr.unfinished" / file).write_text(text, encoding="ascii")
    with pytest.raises(sw.InputError) as error:
        half_done(car, out)
    assert str(error.value) == f"{out}.unfinished: was changed by hand: remove it to begin anew"


@pytest.mark.parametrize(("package", "needs"), [("zarr", "zarr>=3.0"), ("dask", "dask[array]>=2024.9")])
def test_without_its_packages_one_sentence_says_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, car: sw.Car, package: str, needs: str
) -> None:
    for name in [*sys.modules]:
        if name.partition(".")[0] == package:
            monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, package, None)
    with pytest.raises(sw.InputError) as error:
        sw.sweep(car, {ROD: [0.0]}, outputs="toe", out=tmp_path / "a.zarr")
    name = package.capitalize()
    assert str(error.value) == (f'sweeps larger than memory need {name}, which is not installed: pip install "{needs}"')
    assert not list(tmp_path.iterdir())


def test_what_does_not_fit_onto_the_disk_is_refused_beforehand(car: sw.Car, tmp_path: Path) -> None:
    free = shutil.disk_usage(tmp_path).free
    axes = {name: np.linspace(-1.0, 1.0, 40_000) for name in (ROD, PUSHROD, "rack_mm")}
    with pytest.raises(sw.InputError, match=r"a\.zarr: takes up to .* GB of the disk, and .* are free$"):
        sw.sweep(car, axes, outputs="front_left.toe", out=tmp_path / "a.zarr")
    assert free < 26 * 40_000**3
    assert not list(tmp_path.iterdir())


def test_a_full_disk_is_said_and_what_is_done_is_kept(
    car: sw.Car, tmp_path: Path, parts_of: Callable[[int], None]
) -> None:
    """A file may grow no longer than so much: the numbers of a part do not fit."""
    parts_of(3000)
    out = tmp_path / "a.zarr"
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    how: dict[str, Any] = {"outputs": "cross_weight", "hold": "rest"}
    axes = {ROD: AXIS, PUSHROD: AXIS[:50]}
    try:
        resource.setrlimit(resource.RLIMIT_FSIZE, (9000, limits[1]))
        with pytest.raises(
            sw.InputError, match=r"a\.zarr: cannot be written: File too large; what is done is kept in "
        ):
            sw.sweep(car, axes, **how, out=out)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)
    xr.testing.assert_equal(sw.sweep(car, axes, **how, out=out), sw.sweep(car, axes, **how))
