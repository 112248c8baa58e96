"""A sweep as a file asks for it, and its result as a file."""

from __future__ import annotations

import csv
import io
import math
import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from shimwise import _core
from shimwise.arguments import demand_kind, file_name
from shimwise.given import Given, source_of
from shimwise.sweeps.drawn import Among, Between, points_within
from shimwise.sweeps.memory import demand_memory_of_file, shown
from shimwise.sweeps.planned import Planned, planned_sweep
from shimwise.sweeps.progress import Progress
from shimwise.sweeps.store import ENDING as STORE
from shimwise.sweeps.store import demand_new_store

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from concurrent.futures import Executor
    from os import PathLike

    import xarray as xr

    from shimwise.car import Car

__all__ = ["ENDINGS", "STORE", "demand_ending", "planned_by", "sweep_file", "write_sweep"]

ENDINGS = (".csv", ".nc", STORE)
_NETCDF_NAME = re.compile(r"[A-Za-z0-9_]([ -.0-~]*[!-.0-~])?")  # of what every reader takes
_MOST_OF_NETCDF = 2**31 - 4  # bytes of a variable
_BLOCK = 10_000  # rows of a table
_COPIES = 3  # of a result while it becomes NetCDF
_COPIES_OF_TEXT = 2  # of a table: its blocks, and all of it


def sweep_file(
    car: Car,
    path: Given | None = None,
    *,
    text: str | None = None,
    progress: Progress = False,
    threads: int | None = None,
    executor: Executor | None = None,
    out: str | PathLike[str] | None = None,
) -> xr.Dataset:
    """Return the sweep that a file asks for, as `sweep` does.

    Args:
        car: the car.
        path: the file, or what stands in it as a dictionary.
        text: what stands in the file, in place of `path`.
        progress, threads, executor, out: as in `sweep`.

    Raises:
        InputError: with every problem of the file, and as in `sweep`.
        OutOfReach: as in `sweep`.
    """
    demand_kind("car", car, "Car")
    planned = planned_by(_core.sweep_file_from(source_of(path, text), car.core), car, threads, executor)
    return planned.found(progress) if out is None else planned.stored(file_name(out), {}, progress)


def planned_by(asked: _core.SweepFile, car: Car, threads: int | None, executor: Executor | None = None) -> Planned:
    """The sweep of a file that has been read."""
    inputs: dict[str, Any] = {one.name: _values(one) for one in asked.inputs}
    change = [one.name for one in asked.inputs if one.change]
    if asked.points is not None:
        inputs = points_within(car, asked.points.within_mm, asked.points.of or None) | inputs
    return planned_sweep(
        car,
        inputs,
        outputs=asked.outputs,
        hold=asked.hold,
        moved=asked.moved,
        change=change,
        at_hand=asked.at_hand,
        sample=asked.sample or None,
        by=asked.by,
        seed=asked.seed,
        threads=threads,
        executor=executor,
    )


def _values(one: _core.SweepFileInput) -> Any:
    """What `sweep` takes for it."""
    if one.between is not None:
        return Between(*one.between)
    if one.among:
        return Among(one.values)
    if one.single:
        (value,) = one.values
        return [value] if isinstance(value, list) else value
    if not one.along:
        return one.values
    import xarray as xr

    values = np.empty(len(one.values), dtype=object)
    values[:] = one.values
    numbers = all(isinstance(value, float) for value in one.values)
    return xr.DataArray(values.astype(float) if numbers else values, dims=one.along)


def demand_ending(path: str) -> str:
    """Return the ending of a file to be written.

    Raises:
        InputError: it is none that is known, the file exists, or its folder does not.
    """
    ending = Path(file_name(path)).suffix.lower()
    if ending not in ENDINGS:
        raise _core.InputError(f"{path}: needs to end in {', '.join(ENDINGS[:-1])} or {ENDINGS[-1]}")
    if ending == STORE:
        demand_new_store(path)
    else:
        _core.demand_new_file(path)
    return ending


def write_sweep(found: xr.Dataset, path: str, said: dict[str, str]) -> None:
    """Write a new file, whole or not at all: a table for a spreadsheet (.csv) or NetCDF (.nc).

    A table has a row for each state, which says what it holds for. Where a state was not reached its outputs are empty.
    In NetCDF, inputs that are no dimension are variables.

    Raises:
        InputError: the file exists, its ending is none that is known, it does not fit into the memory, or a name
            or so many states cannot stand in NetCDF.
    """
    if demand_ending(path) == ".csv":
        _core.write_new_file(path, "".join(_blocks(found, path, said)))
        return
    for name in (*found.sizes, *found.variables):
        if not _NETCDF_NAME.fullmatch(str(name)):
            raise _core.InputError(f"{path}: the name {str(name)!a} cannot stand in NetCDF; .csv takes any")
    largest = max(variable.nbytes for variable in found.variables.values())
    if largest > _MOST_OF_NETCDF:
        raise _core.InputError(
            f"{path}: {shown(largest)} of one value; NetCDF holds {shown(_MOST_OF_NETCDF)}, .csv any number of states"
        )
    beside = [name for name in found.coords if name not in found.dims]
    demand_memory_of_file(path, _COPIES * found.nbytes)
    content = found.reset_coords(beside).assign_attrs(said).to_netcdf(engine="scipy")
    _core.write_new_file(path, bytes(content))


def _blocks(found: xr.Dataset, path: str, said: dict[str, str]) -> Iterator[str]:
    """The table in blocks of lines, state by state with the last dimension fastest."""
    sizes = dict(found["status"].sizes)
    columns = {
        name: found[name].variable.set_dims(sizes).transpose(*sizes).values
        for name in (*found.coords, *found.data_vars)
    }
    meanings = {
        name: (int(found[name].attrs["flag_values"][0]), np.array(found[name].attrs["flag_meanings"].split()))
        for name in columns
        if "flag_meanings" in found[name].attrs
    }
    yield _lines([[*map(str, columns), *said]])
    count = found["status"].size
    for first in range(0, count, _BLOCK):
        places = np.unravel_index(np.arange(first, min(first + _BLOCK, count)), tuple(sizes.values())) if sizes else ()
        cells = []
        for name, values in columns.items():
            column = np.atleast_1d(values[places])
            if name in meanings:
                lowest, words = meanings[name]
                column = words[column.astype(int) - lowest]
            cells.append([_cell(value) for value in column.tolist()])
        block = _lines([*row, *said.values()] for row in zip(*cells, strict=True))
        if first == 0:
            demand_memory_of_file(path, _COPIES_OF_TEXT * len(block) * count // min(_BLOCK, count))
        yield block


def _lines(rows: Iterable[Iterable[str]]) -> str:
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(rows)
    return text.getvalue()


def _cell(value: Any) -> str:
    if isinstance(value, float):
        return "" if math.isnan(value) else repr(value)
    return str(value)
