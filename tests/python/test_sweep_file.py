"""A sweep as a file: what it asks for, what is written, and what is refused, each with its line."""

from __future__ import annotations

import csv
import io
import re
import shutil
import subprocess
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import xarray as xr

import shimwise as sw
from shimwise.sweeps.file import write_sweep

Run = Callable[..., subprocess.CompletedProcess[str]]

ROD, SHIM, INNER = "front_left.track rod", "front_left.camber shim", "front_left.track_rod.inner.z"
WHOLE = f"""\
format = "shimwise-sweep/1"
outputs = ["front_left.toe", "camber"]

[[input]]
name = "{SHIM}"
values = ["2.0 + 0.5 mm", [2.0, 1.0], "+0.2 mm"]

[[input]]
name = "{ROD}"
values = [-0.5, 0.0, 0.5]
change = true

[[input]]
name = "rack_mm"
value = 3.0

[[input]]
name = "travel_mm"
from = -20
to = 220
count = 5
"""
DRAWN = f"""\
format = "shimwise-sweep/1"
hold = "rest"
moved = "built"
outputs = ["cross_weight"]
at_hand = true
sample = 12
by = "random"
seed = 5

[[input]]
name = "{SHIM}"
among = [[2.0], [2.0, 1.0], [2.0, 2.0]]

[[input]]
name = "pad.front_left"
between = [-1.0, 1.0]

[[input]]
name = "pad.front_right"
values = [0.0, 1.0]
along = "pads"

[[input]]
name = "pad.rear_left"
values = [0.5, 0.0]
along = "pads"

[points]
within_mm = 0.3
of = ["front_left.track_rod.inner", "rear_right"]
"""


def test_a_file_asks_for_what_a_call_does(car: sw.Car) -> None:
    by_file = sw.sweep_file(car, text=WHOLE)
    by_call = sw.sweep(
        car,
        {
            SHIM: ["2.0 + 0.5 mm", [2.0, 1.0], "+0.2 mm"],
            ROD: [-0.5, 0.0, 0.5],
            "rack_mm": 3.0,
            "travel_mm": np.linspace(-20.0, 220.0, 5),
        },
        outputs=["front_left.toe", "camber"],
        change=ROD,
    )
    xr.testing.assert_identical(by_file, by_call)
    xr.testing.assert_identical(by_file, sw.sweep_file(car, tomllib.loads(WHOLE), threads=1))


def test_what_is_drawn_by_a_file(car: sw.Car) -> None:
    points = sw.points_within(car, 0.3, ["front_left.track_rod.inner", "rear_right"])
    by_call = sw.sweep(
        car,
        points
        | {
            SHIM: sw.Among([[2.0], [2.0, 1.0], [2.0, 2.0]]),
            "pad.front_left": sw.Between(-1.0, 1.0),
            "pad.front_right": xr.DataArray([0.0, 1.0], dims="pads"),
            "pad.rear_left": xr.DataArray([0.5, 0.0], dims="pads"),
        },
        outputs=["cross_weight"],
        hold="rest",
        moved="built",
        change=list(points),
        at_hand=True,
        sample=12,
        by="random",
        seed=5,
    )
    by_file = sw.sweep_file(car, text=DRAWN)
    assert by_file.cross_weight_percent.sizes == {"sample": 12, "pads": 2}
    xr.testing.assert_identical(by_file, by_call)


@pytest.fixture
def files(tmp_path: Path) -> Path:
    shutil.copy(sw.demo_files().car, tmp_path)
    (tmp_path / "whole.toml").write_text(WHOLE, encoding="utf-8")
    (tmp_path / "drawn.toml").write_text(DRAWN, encoding="utf-8")
    return tmp_path


def test_the_command_writes_a_table_that_says_everything(files: Path, car: sw.Car, shimwise: Run) -> None:
    said = shimwise("sweep", "wren.toml", "whole.toml", "--out", "out.csv").stdout
    found = sw.sweep_file(car, text=WHOLE)
    rows = list(csv.DictReader(io.StringIO((files / "out.csv").read_text(encoding="utf-8"))))
    assert len(rows) == found.status.size == 45
    states = [{str(d): i for d, i in zip(found.sizes, at, strict=True)} for at in np.ndindex(*found.sizes.values())]
    reached = 0
    for row, at in zip(rows, states, strict=True):
        one = found.isel(at)
        for name in found.data_vars:
            if str(name).endswith("_deg"):
                value = float(one[name])
                assert row[str(name)] == ("" if np.isnan(value) else repr(value))
        for key in (SHIM, ROD, "rack_mm", "travel_mm"):
            assert float(row[key]) == float(one[key])
        assert row[f"{SHIM} as written"] == str(one[f"{SHIM} as written"].values)
        assert row["status"] == found.status.attrs["flag_meanings"].split()[int(one.status)]
        assert (row["status_corner"] == "no_corner") == (row["status"] == "reached")
        assert float(row["short_by_mm"]) == float(one.short_by_mm)
        assert row["hold"] == "wheel"
        assert "whole.toml" in row["origin"]
        reached += row["status"] == "reached"
    assert 0 < reached < 45
    assert f"45 states of Wren (3 front left camber shim x 3 front left track rod x 5 travel mm), {reached}" in (
        " ".join(said.split())
    )
    assert f"{45 - reached} not reached: pushrod open, by up to " in said
    lines = {words[0]: words for words in map(str.split, said.splitlines()) if words}
    values = found["front_left.toe_deg"].values[found.status.values == 0]
    assert [float(word) for word in lines["front_left.toe_deg"][1:5]] == [
        pytest.approx(float(of(values)), abs=6e-5) for of in (np.min, np.mean, np.max, np.std)
    ]


def test_the_command_writes_netcdf_that_opens_again(files: Path, car: sw.Car, shimwise: Run) -> None:
    for name in ("whole", "drawn"):
        shimwise("sweep", "wren.toml", f"{name}.toml", "--out", f"{name}.nc", "--threads", "1")
        found = sw.sweep_file(car, files / f"{name}.toml")
        with xr.open_dataset(files / f"{name}.nc", engine="scipy") as again:
            for key in [*found.coords, *found.data_vars]:
                np.testing.assert_array_equal(again[key].values, found[key].values.astype(again[key].dtype))
                assert again[key].attrs.get("units") == found[key].attrs.get("units")
            assert again.status.attrs["flag_meanings"] == found.status.attrs["flag_meanings"]
            assert again.attrs["hold"] == found.attrs["hold"]
            assert f"{name}.toml" in again.attrs["origin"]


def test_a_single_state_is_one(files: Path, shimwise: Run) -> None:
    one = 'format = "shimwise-sweep/1"\noutputs = ["camber"]\n[[input]]\nname = "travel_mm"\nvalue = 5.0\n'
    (files / "one.toml").write_text(one, encoding="utf-8")
    said = shimwise("sweep", "wren.toml", "one.toml", "--out", "one.csv").stdout
    assert said.startswith("one.csv: one state of Wren, 1 reached\n")


def test_the_settings_of_the_car_are_taken(files: Path, shimwise: Run) -> None:
    (files / "settings.toml").write_text(
        f'format = "shimwise-settings/1"\ncar = "Wren"\nturns = {{ "{ROD}" = 0.25 }}\n', encoding="utf-8"
    )
    shimwise("sweep", "wren.toml", "whole.toml", "--out", "set.csv", "--settings", "settings.toml")
    text = (files / "set.csv").read_text(encoding="utf-8")
    assert "settings.toml" in text
    car = sw.load_car(files / "wren.toml").with_settings({ROD: 0.25})
    toe = sw.sweep_file(car, files / "whole.toml")["front_left.toe_deg"].values[0, 0, 0]
    assert next(csv.DictReader(io.StringIO(text)))["front_left.toe_deg"] == repr(float(toe))


def test_a_file_that_cannot_be_written_is_said_beforehand(files: Path, shimwise: Run) -> None:
    (files / "there.csv").write_text("mine", encoding="utf-8")
    for out, sentence in (
        ("there.csv", "there.csv: exists already and is not written over"),
        ("out.xlsx", "out.xlsx: needs to end in .csv, .nc or .zarr"),
        ("out", "out: needs to end in .csv, .nc or .zarr"),
        ("nowhere/out.csv", "nowhere/out.csv: there is no folder nowhere"),
    ):
        assert shimwise("sweep", "wren.toml", "whole.toml", "--out", out, code=2).stderr.strip() == sentence
    assert (files / "there.csv").read_text(encoding="utf-8") == "mine"
    assert not (files / "out").exists()


def test_what_netcdf_cannot_hold_is_said(files: Path, shimwise: Run) -> None:
    """A variable of NetCDF has no slash in its name."""
    for name in ("wren.toml", "whole.toml"):
        text = (files / name).read_text(encoding="utf-8")
        (files / name).write_text(re.sub(r"(name = .*)track rod\"", r'\1rod 1/2"', text), encoding="utf-8")
    said = shimwise("sweep", "wren.toml", "whole.toml", "--out", "out.nc", code=2).stderr
    assert said == "out.nc: the name 'front_left.rod 1/2' cannot stand in NetCDF; .csv takes any\n"
    assert not (files / "out.nc").exists()
    shimwise("sweep", "wren.toml", "whole.toml", "--out", "out.csv")
    assert len((files / "out.csv").read_text(encoding="utf-8").splitlines()) == 46


def test_more_states_than_netcdf_holds_are_said(files: Path, car: sw.Car, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("shimwise.sweeps.file._MOST_OF_NETCDF", 300)
    with pytest.raises(sw.InputError) as error:
        write_sweep(sw.sweep_file(car, text=WHOLE), str(files / "out.nc"), {})
    sentence = "360 bytes of one value; NetCDF holds 300 bytes, .csv any number of states"
    assert str(error.value) == f"{files / 'out.nc'}: {sentence}"
    assert not (files / "out.nc").exists()


def test_a_table_is_written_block_by_block_the_same(files: Path, car: sw.Car, monkeypatch: pytest.MonkeyPatch) -> None:
    found, said = sw.sweep_file(car, text=WHOLE), {"origin": "here"}
    write_sweep(found, str(files / "one.csv"), said)
    monkeypatch.setattr("shimwise.sweeps.file._BLOCK", 7)
    write_sweep(found, str(files / "blocks.csv"), said)
    assert (files / "one.csv").read_bytes() == (files / "blocks.csv").read_bytes()
    single = sw.sweep(car, {ROD: 0.5}, outputs="front_left.toe")
    write_sweep(single, str(files / "single.csv"), said)
    (row,) = csv.DictReader(io.StringIO((files / "single.csv").read_text(encoding="utf-8")))
    assert float(row["front_left.toe_deg"]) == float(single["front_left.toe_deg"])


@pytest.mark.parametrize("ending", ["csv", "nc"])
def test_a_file_that_does_not_fit_into_the_memory_is_refused(
    files: Path, car: sw.Car, monkeypatch: pytest.MonkeyPatch, ending: str
) -> None:
    found, path = sw.sweep_file(car, text=WHOLE), str(files / f"large.{ending}")
    monkeypatch.setattr("shimwise.sweeps.memory.free_bytes", lambda: 5000)
    with pytest.raises(sw.InputError, match=r"large\.\w+: takes [0-9.]+ kB of memory to write, and 5\.0 kB are free"):
        write_sweep(found, path, {})
    assert not Path(path).exists()


def edit(text: str, old: str, new: str) -> str:
    assert old in text, old
    return text.replace(old, new, 1)


BROKEN = [
    (WHOLE, "shimwise-sweep/1", "shimwise-car/1", "this is a car file, a sweep file is needed"),
    (WHOLE, 'outputs = ["front_left.toe", "camber"]', "", "outputs: is missing: needs "),
    (WHOLE, '["front_left.toe", "camber"]', "[]", "2:11: outputs = []: needs a name or more"),
    (WHOLE, '"camber"]', '"cambre"]', '"cambre" is not known; did you mean "camber"?'),
    (WHOLE, '"camber"]', '"cross_weight"]', '"cross_weight" is of hold = "rest", and it is "wheel"'),
    (WHOLE, "outputs =", 'hold = "wheels"\noutputs =', '2:8: hold = "wheels": needs one of '),
    (WHOLE, "outputs =", 'hold = "rest"\noutputs =', '19:8: input[4].name = "travel_mm": is nothing that can be swept'),
    (WHOLE, f'"{SHIM}"', '"front_left.camber shims"', "5:8: input[1].name = "),
    (WHOLE, f'name = "{SHIM}"\n', "", "input[1].name: is missing: needs "),
    (WHOLE, f'"{ROD}"', f'"{SHIM}"', "input[2].name = "),
    (WHOLE, '"2.0 + 0.5 mm"', '"2.0 + half"', "needs a change such as +0.5 mm (thicker), or the shims fitted"),
    (WHOLE, '"2.0 + 0.5 mm"', "2.5", "2.5: needs a change such as +0.5 mm (thicker), or the shims fitted"),
    (WHOLE, '"2.0 + 0.5 mm"', "true", "needs numbers, packs of shims such as [2.0, 0.5], or words"),
    (WHOLE, "values = [-0.5, 0.0, 0.5]", "values = []", "has no values"),
    (WHOLE, "values = [-0.5, 0.0, 0.5]", "values = 0.5", "needs a list of numbers, packs or words"),
    (WHOLE, "values = [-0.5, 0.0, 0.5]", "values = [nan]", "needs numbers, packs of shims"),
    (WHOLE, "values = [-0.5, 0.0, 0.5]", "values = [-99.0]", "input[2].values = [-99.0]: "),
    (WHOLE, "values = [-0.5, 0.0, 0.5]\n", "", "input[2].values: is missing: needs value, values, from, between or"),
    (WHOLE, "value = 3.0", "value = 3.0\nvalues = [3.0]", 'is one way of saying its values, and "value" another'),
    (WHOLE, "value = 3.0", 'value = "3 mm"', "needs numbers; words are for adjusters"),
    (WHOLE, "to = 220\n", "", "input[4].to: is missing"),
    (WHOLE, "count = 5\n", "", "input[4].count: is missing"),
    (WHOLE, "count = 5", "count = 1", "needs 2 to 1000000 values, both ends included"),
    (WHOLE, "count = 5", "count = 5\nsteps = 4", "22:1: input[4].steps = 4: is not a key here"),
    (WHOLE, "value = 3.0", 'value = 3.0\nalong = "i"', "is for values or a range"),
    (WHOLE, "change = true", 'along = "sample"', 'needs a name that is neither "sample" nor that of an input'),
    (WHOLE, "change = true", 'along = "travel_mm"', 'needs a name that is neither "sample" nor that of an input'),
    (WHOLE, "outputs =", "sample = 5\noutputs =", "2:10: sample = 5: nothing is drawn: say between or among"),
    (WHOLE, "outputs =", "seed = 5\noutputs =", "seed = 5: nothing is drawn"),
    (
        WHOLE,
        "outputs =",
        "at_hand = true\noutputs =",
        "needs its packs by their shims, such as [2.0, 0.5], for at_hand",
    ),
    (DRAWN, "sample = 12\n", "", "sample: is missing: needs a whole number"),
    (DRAWN, "sample = 12", "sample = 0", "sample = 0: must be 1 or more"),
    (DRAWN, "seed = 5", "seed = -5", "seed = -5: must not be negative"),
    (DRAWN, 'by = "random"', 'by = "chance"', 'by = "chance": needs one of '),
    (DRAWN, 'moved = "built"\n', "", "moved: is missing: needs "),
    (DRAWN, "between = [-1.0, 1.0]", "between = [1.0, 1.0]", "between = [1.0, 1.0]: "),
    (DRAWN, "between = [-1.0, 1.0]", "between = [-1.0, 2000.0]", "2000: goes beyond 1000 mm"),
    (DRAWN, "within_mm = 0.3", "within_mm = 0.0", "within_mm = 0.0: must be more than 0 and at most 1000"),
    (DRAWN, "within_mm = 0.3\n", "", "points.within_mm: is missing: needs a number"),
    (DRAWN, '"rear_right"]', '"rear_rigth"]', '"rear_rigth" is no corner and no point; did you mean "rear_right"?'),
    (DRAWN, 'of = ["front_left.track_rod.inner", "rear_right"]', "of = []", "needs a corner or a point; left out: all"),
    (
        DRAWN,
        "values = [0.5, 0.0]",
        "values = [0.5]",
        '26:9: input[4].along = "pads": goes with pad.front_right, which has 2 values, and this has 1',
    ),
    (DRAWN, '"pad.rear_left"', f'"{INNER}"', f'24:8: input[4].name = "{INNER}": is drawn by [points] too: give one'),
    (WHOLE, "change = true", 'along = "front_left.toe_deg"', 'along = "front_left.toe_deg": is the name of a column'),
    (WHOLE, "change = true", 'along = "short_by_mm"', 'along = "short_by_mm": is the name of a column'),
    (WHOLE, "change = true", 'along = " "', 'needs a name that is neither "sample" nor that of an input'),
]


@pytest.mark.parametrize(("text", "old", "new", "sentence"), BROKEN, ids=[f"{i}" for i in range(len(BROKEN))])
def test_broken_files_are_refused_with_a_sentence(
    car: sw.Car, tmp_path: Path, text: str, old: str, new: str, sentence: str
) -> None:
    path = tmp_path / "sweep.toml"
    path.write_text(edit(text, old, new), encoding="utf-8")
    with pytest.raises(sw.InputError) as error:
        sw.sweep_file(car, path)
    assert sentence in str(error.value), str(error.value)
    assert len(str(error.value).splitlines()) <= 2


def test_every_problem_of_a_file_is_said_at_once(car: sw.Car) -> None:
    text = edit(edit(edit(WHOLE, '"camber"]', '"cambre"]'), "count = 5", "count = 1"), "change = true", "chang = true")
    with pytest.raises(sw.InputError) as error:
        sw.sweep_file(car, text=text)
    assert [problem.line for problem in error.value.problems] == [2, 11, 21]


@pytest.mark.parametrize("given", [None, 5, {"format": 1}, {}])
def test_what_is_no_file_is_refused(car: sw.Car, given: Any) -> None:
    with pytest.raises(sw.InputError):
        sw.sweep_file(car, given)
