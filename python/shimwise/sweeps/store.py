"""A sweep larger than memory: a Zarr folder that is filled part by part, and gone on with after an interruption."""

from __future__ import annotations

import hashlib
import pickle
import re
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from shimwise import _core
from shimwise.extras import extra
from shimwise.sweeps.boxes import box_sizes, boxes_of
from shimwise.sweeps.labelled import dataset_of, names_of, said_of
from shimwise.sweeps.memory import demand_disk
from shimwise.sweeps.unfinished import demand_free, unfinished
from shimwise.sweeps.work import done_in_parts

if TYPE_CHECKING:
    from collections.abc import Callable

    import xarray as xr

    from shimwise.sweeps.asked import Asked
    from shimwise.sweeps.columns import Column, Grid

__all__ = ["ENDING", "demand_new_store", "store_sweep"]

ENDING = ".zarr"
_FEWEST, _MOST = 50_000, 250_000  # states of a part: between these a sweep has a hundred of them
_NAME = re.compile(r"[^/\0.][^/\0]{0,199}")  # of a folder


def demand_new_store(path: str) -> None:
    """Refuse a name that is taken or cannot be, and packages that are not there."""
    if not path.lower().endswith(ENDING):
        raise _core.InputError(f"{path}: needs to end in {ENDING}")
    demand_free(Path(path))
    with extra("sweeps larger than memory need", zarr="zarr>=3.0", dask="dask[array]>=2024.9"):
        import dask.array  # noqa: F401
        import zarr  # noqa: F401


def store_sweep(
    path: str,
    asked: Asked,
    columns: list[Column],
    grid: Grid,
    said: Mapping[str, str],
    watch: Callable[[int], object] | None,
) -> xr.Dataset:
    """Work out a sweep, write it as it goes, and open it; one that was interrupted is gone on with.

    Raises:
        InputError: the name is taken, another process writes it, what has begun of it was asked for otherwise, it does
            not fit onto the disk, or a name or a label cannot stand in Zarr.
    """
    demand_new_store(path)
    import xarray as xr
    import zarr

    sizes = box_sizes(grid.shape, min(_MOST, max(_FEWEST, grid.states // 100)))
    wanted = _wanted(asked, columns, grid)
    with unfinished(path) as here:
        done = here.done_of(wanted)
        if done is None:
            demand_disk(path, grid.states, len(asked.rows))
            with here.writing():
                here.clear()
                _begin(path, here.folder, asked, grid, sizes, said)
                here.begun(wanted)
            done = set()
        left = [box for box in boxes_of(grid.shape, sizes) if box.number not in done]
        before = grid.states - sum(box.states for box in left)
        seen = None if watch is None else lambda states: watch(before + states)
        group: Any = zarr.open_group(here.folder, mode="r+")
        names = names_of(asked)
        for box, part in done_in_parts(asked.executor, asked.work(columns), grid.given, left, seen):
            with here.writing():
                for name, array in zip(names, part.over(box.shape), strict=True):
                    group[name][(*box.at, ...)] = array
                here.add(box.number)
        with here.writing():
            here.finish()
    found: xr.Dataset = xr.open_zarr(path).set_coords(grid.beside)[names]
    return found


def _begin(path: str, folder: Path, asked: Asked, grid: Grid, sizes: tuple[int, ...], said: Mapping[str, str]) -> None:
    """Write all but the numbers."""
    import dask.array as da

    numbers, codes = (da.zeros(grid.shape, chunks=sizes, dtype=kind) for kind in (np.float64, np.int8))
    arrays = [*(numbers for _ in asked.rows), codes, codes, numbers, numbers]
    empty = dataset_of(asked, grid, arrays).reset_coords(grid.beside).assign_attrs(said)
    for name in (*empty.sizes, *empty.variables):
        if not _NAME.fullmatch(str(name)):
            raise _core.InputError(f"{path}: the name {str(name)!a} cannot stand in Zarr")
    try:
        empty.to_zarr(folder, mode="w-", zarr_format=2, compute=False)
    except (TypeError, ValueError) as why:
        raise _core.InputError(f"{path}: a label cannot stand in Zarr: {why}") from why


def _wanted(asked: Asked, columns: list[Column], grid: Grid) -> dict[str, str]:
    """What a sweep follows from, each by its name: where one differs it is another sweep."""
    missing_mm = grid.given.compact().missing_mm
    return {
        **said_of(asked),
        "car as it is set": _digest(pickle.dumps(asked.car.core)),
        "outputs": ", ".join(row.column for row in asked.rows),
        "change": ", ".join(column.input.key for column in columns if column.change),
        "shims at hand": "" if missing_mm is None else _digest(missing_mm.tobytes()),
        "dimensions": ", ".join(f"{dim} {length}" for dim, length in zip(grid.dims, grid.shape, strict=True)),
        **{f"values of {name}": _digest_of(one) for name, one in grid.coordinates.items()},
    }


def _digest_of(coordinate: Any) -> str:
    dims, labels = (coordinate.dims, coordinate.values) if hasattr(coordinate, "dims") else coordinate[:2]
    values = np.asarray(labels)
    return _digest(str(dims).encode(), repr(values.tolist()).encode() if values.dtype == object else values.tobytes())


def _digest(*pieces: bytes) -> str:
    return hashlib.sha256(b"\0".join(pieces)).hexdigest()
