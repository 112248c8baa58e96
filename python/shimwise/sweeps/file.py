"""A sweep as a file asks for it, and its result as a file."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

import numpy as np

from shimwise import _core
from shimwise.arguments import demand_kind, file_name
from shimwise.given import Given, source_of
from shimwise.sweeps.drawn import Among, Between, points_within
from shimwise.sweeps.progress import Progress
from shimwise.sweeps.sweep import sweep

if TYPE_CHECKING:
    from collections.abc import Iterator

    import xarray as xr

    from shimwise.car import Car

__all__ = ["ENDINGS", "demand_ending", "sweep_file", "swept_by", "write_sweep"]

ENDINGS = (".csv", ".nc")


def sweep_file(
    car: Car,
    path: Given | None = None,
    *,
    text: str | None = None,
    progress: Progress = False,
    threads: int | None = None,
) -> xr.Dataset:
    """Return the sweep that a file asks for, as `sweep` does.

    Args:
        car: the car.
        path: the file, or what stands in it as a dictionary.
        text: what stands in the file, in place of `path`.
        progress, threads: as in `sweep`.

    Raises:
        InputError: with every problem of the file, and as in `sweep`.
        OutOfReach: as in `sweep`.
    """
    demand_kind("car", car, "Car")
    return swept_by(_core.sweep_file_from(source_of(path, text), car.core), car, progress, threads)


def swept_by(asked: _core.SweepFile, car: Car, progress: Progress, threads: int | None) -> xr.Dataset:
    """The sweep of a file that has been read."""
    inputs: dict[str, Any] = {one.name: _values(one) for one in asked.inputs}
    change = [one.name for one in asked.inputs if one.change]
    if asked.points is not None:
        drawn = points_within(car, asked.points.within_mm, asked.points.of or None)
        for key in inputs:
            if key in drawn:
                raise _core.InputError(f"{asked.file}: {key}: is drawn by [points] and set by an [[input]]: give one")
        inputs, change = drawn | inputs, [*drawn, *change]
    return sweep(
        car,
        inputs,
        outputs=asked.outputs,
        hold=asked.hold,
        moved=cast("Any", asked.moved),
        change=change,
        at_hand=asked.at_hand,
        sample=asked.sample or None,
        by=cast("Any", asked.by),
        seed=asked.seed,
        progress=progress,
        threads=threads,
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
        InputError: it is none that is known, or the file exists.
    """
    ending = Path(file_name(path)).suffix.lower()
    if ending not in ENDINGS:
        raise _core.InputError(f"{path}: needs to end in {' or '.join(ENDINGS)}")
    if Path(path).exists():
        raise _core.InputError(f"{path}: exists already and is not written over")
    return ending


def write_sweep(found: xr.Dataset, path: str, said: dict[str, str]) -> None:
    """Write a new file, whole or not at all: a table for a spreadsheet (.csv) or NetCDF (.nc).

    A table has a row for each state, which says what it holds for. Where a state was not reached its outputs are empty.
    In NetCDF, inputs that are no dimension are variables.

    Raises:
        InputError: the file exists, or its ending is none that is known.
    """
    if demand_ending(path) == ".csv":
        _core.write_new_file(path, "".join(_lines(found, said)))
        return
    beside = [name for name in found.coords if name not in found.dims]
    content = found.reset_coords(beside).assign_attrs(said).to_netcdf(engine="scipy")
    _core.write_new_file(path, bytes(content))


def _lines(found: xr.Dataset, said: dict[str, str]) -> Iterator[str]:
    """The table, state by state with the last dimension fastest."""
    dims = dict(found.sizes)
    meanings = {name: found[name].attrs["flag_meanings"].split() for name in ("status", "status_corner")}
    columns: dict[str, Any] = {}
    for name in [*found.coords, *found.data_vars]:
        spread = found[name].broadcast_like(found["status"]).transpose(*found["status"].dims)
        columns[str(name)] = spread.values.ravel()
    first = {name: int(found[name].attrs["flag_values"][0]) for name in meanings}
    for name, words in meanings.items():
        columns[name] = np.array(words)[columns[name].astype(int) - first[name]]
    line = io.StringIO()
    table = csv.writer(line, lineterminator="\n")

    def taken() -> str:
        text = line.getvalue()
        line.seek(0)
        line.truncate()
        return text

    table.writerow([*columns, *said])
    yield taken()
    for state in range(int(np.prod(list(dims.values()), dtype=np.int64))):
        cells = [_cell(values[state]) for values in columns.values()]
        table.writerow([*cells, *said.values()])
        yield taken()


def _cell(value: Any) -> str:
    if isinstance(value, float | np.floating):
        return "" if np.isnan(value) else repr(float(value))
    return str(value)
