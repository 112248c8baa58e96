"""Bits of what sweeps and calls for one state answer, here or in a process of its own, which reads and writes files."""

from __future__ import annotations

import math
import pickle
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pandas as pd
import xarray as xr
from numpy._core._multiarray_umath import __cpu_features__  # type: ignore[import-not-found]

import shimwise as sw

Asked = list[tuple[sw.Car, list[tuple[dict[str, Any], dict[str, Any]]]]]
Columns = dict[str, np.ndarray]


class Answers(NamedTuple):
    """Numbers by what was asked and their column."""

    held: Columns  # corners with something held
    rest: Columns  # the car at rest, which takes the sines of its pitch and roll
    demo: tuple[Any, ...]  # the demo car as it is read from its file
    library: np.ndarray  # of sines, cosines and tangents
    instructions: set[str]  # of this processor


def columns_of(asked: str, answer: xr.Dataset | pd.DataFrame) -> Columns:
    columns = answer.variables if isinstance(answer, xr.Dataset) else answer
    found = {f"{asked}: {name}": np.ascontiguousarray(columns[name].values) for name in columns}
    return {name: values.astype(str) if values.dtype == object else values for name, values in found.items()}


def answers(asked: Asked) -> Answers:
    """Every sweep of every car, and a state of each by itself."""
    held: Columns = {}
    rest: Columns = {}
    for number, (car, sweeps) in enumerate(asked):
        for which, (inputs, how) in enumerate(sweeps):
            found = sw.sweep(car, inputs, **how)
            part = rest if found.attrs["hold"] == "rest" else held
            part |= columns_of(f"car {number}, sweep {which}", found)
        for corner in (car.front_left, car.rear_right):
            one = f"car {number}, {corner.name}"
            held |= columns_of(f"{one}, alignment", corner.alignment(travel_mm=7.0))
            held |= columns_of(f"{one}, curves", corner.curves(travel_mm=7.0, rack_mm=3.0))
            held |= columns_of(f"{one}, effects", corner.effects("contact"))
        rest |= columns_of(f"car {number}, at rest", pd.DataFrame([car.at_rest().values]))
        rest |= columns_of(f"car {number}, effects at rest", car.effects("rest"))
    drawn = np.random.default_rng(1).uniform(-3.0, 3.0, 20_000).tolist()
    return Answers(
        held,
        rest,
        sw.demo_car().core.__getstate__(),
        np.array([of(x) for of in (math.sin, math.cos) for x in drawn] + [math.tan(x / 30.0) for x in drawn]),
        {name for name, there in __cpu_features__.items() if there},
    )


def answer(asked: str, answered: str) -> None:
    """Reads what is asked and writes the answers."""
    Path(answered).write_bytes(pickle.dumps(answers(pickle.loads(Path(asked).read_bytes()))))  # noqa: S301
