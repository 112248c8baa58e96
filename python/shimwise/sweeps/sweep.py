"""A sweep: columns of settings in, a Dataset over named dimensions out."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Literal

import numpy as np

from shimwise import _core
from shimwise.arguments import demand_kind, names_among, whole_number
from shimwise.data_of import origin
from shimwise.sweeps.columns import Grid, columns_of, grid_of
from shimwise.sweeps.memory import demand_memory
from shimwise.sweeps.progress import told

if TYPE_CHECKING:
    import xarray as xr
    from numpy.typing import NDArray

    from shimwise.car import Car

__all__ = ["sweep"]

Progress = bool | Callable[[int, int], object]


def sweep(
    car: Car,
    inputs: Mapping[str, Any],
    *,
    outputs: Sequence[str] | str,
    hold: str | None = None,
    moved: Literal["drawn", "built"] | None = None,
    change: bool | Iterable[str] = False,
    progress: Progress = False,
    threads: int | None = None,
) -> xr.Dataset:
    """Return values of a car over everything that can be set, in every combination.

    Every state is worked out by itself: its numbers are the same to the bit whatever the number of threads, and
    whatever states are beside it.

    Args:
        car: the car; what is not swept stays as it is set.
        inputs: from names to values. "front_left.track rod": turns from as drawn; "front_left.camber shim": the whole
            pack, mm; both also in words, such as "+2 flats" or "2.0 + 0.5 mm". "front_left.track_rod.inner.z": a
            coordinate of a point, mm. "travel_mm" (with a corner held), "rack_mm". At rest: "pad.front_left", mm;
            "ballast.fuel", kg. Each list is a dimension of its own, named like the input; DataArrays keep their
            dimensions, and those that share one go together, as a list of points does. One value alone is set
            everywhere.
        outputs: names of docs/conventions.md or of columns. With a corner held those of `Corner.curves`:
            "front_left.camber"; "camber" is all four. At rest those of `at_rest`: "cross_weight", "front_left.weight".
        hold: what is held while something is set. "wheel": each wheel centre at `travel_mm` from as drawn; "contact",
            "spring": the height of the contact, the length of the spring that the car as given has at `travel_mm`, its
            rack centred; chassis frame. "rest": nothing, the car is at rest on its springs; ground frame. Left out:
            "wheel" where "travel_mm" is swept, else "contact".
        moved: how points move: "drawn" or "built", as in `with_points`.
        change: True, or names of inputs: their numbers count from as the car stands.
        progress: True: tell a person, on stderr; or a call with (states done, all states), every 50 ms.
        threads: how many; left out: one for each processor that this process may use.

    Returns:
        Dataset over the dimensions of the inputs, which are its coordinates. Beside the outputs: `status` (0 reached,
        else what stands in the way: its attributes name them), `status_corner` (where; -1: no corner), `short_by_mm`
        and `short_by_N` (by how much; 0 where it has no such amount). Outputs of states that cannot be reached are NaN.

    Raises:
        InputError: no such input or output, values that are none or cannot be set, or a result that does not fit into
            the memory.
        OutOfReach: the car as given does not stand as its file says; a state that cannot be reached is no error.
    """
    demand_kind("car", car, "Car")
    held = _hold(hold, inputs)
    columns = columns_of(car, held, moved, inputs, change)
    rows = _rows(car, held, outputs)
    count = _threads(threads)
    grid = grid_of(columns)
    demand_memory(grid.states, len(rows))
    numbers = np.empty((len(rows), grid.states))
    codes = np.empty((2, grid.states), dtype=np.int8)
    short_by = np.empty((2, grid.states))
    with told(progress, grid.states) as watch:
        _core.sweep(
            car.core,
            held,
            _core.Moved.__members__[moved or "built"],
            [column.input for column in columns],
            [column.change for column in columns],
            grid.values,
            rows,
            list(grid.shape),
            [0, grid.states],
            numbers,
            codes,
            short_by,
            count,
            watch,
        )
    return _dataset(car, held, moved, grid, rows, numbers, codes, short_by)


def _hold(hold: Any, inputs: Any) -> _core.SweepHold:
    if hold is None:
        hold = "wheel" if isinstance(inputs, Mapping) and "travel_mm" in inputs else "contact"
    if not isinstance(hold, str) or hold not in _core.SweepHold.__members__:
        raise _core.InputError(f"hold = {hold!r}: needs one of {', '.join(_core.SweepHold.__members__)}")
    return _core.SweepHold.__members__[hold]


def _rows(car: Car, held: _core.SweepHold, outputs: Any) -> list[_core.SweptOutput]:
    """The outputs asked for, each once; a corner's name alone stands for that of all four."""
    known: dict[str, list[_core.SweptOutput]] = {}
    for row in _core.sweep_outputs(car.core, held):
        for name in dict.fromkeys((row.key, row.column)):
            known.setdefault(name, []).append(row)
            corner, _, alone = name.partition(".")
            if corner in _core.CornerId.__members__:
                known.setdefault(alone, []).append(row)
    rows: dict[str, _core.SweptOutput] = {}
    for name in names_among("outputs", outputs, list(known)):
        for row in known[name]:
            if row.missing:
                raise _core.InputError(f"outputs = {row.key}: cannot be given: {row.missing}")
            rows[row.key] = row
    return list(rows.values())


def _threads(threads: Any) -> int:
    if threads is None:
        return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return whole_number("threads", threads, 1, 1024)


def _dataset(
    car: Car,
    held: _core.SweepHold,
    moved: str | None,
    grid: Grid,
    rows: list[_core.SweptOutput],
    numbers: NDArray[np.float64],
    codes: NDArray[np.int8],
    short_by: NDArray[np.float64],
) -> xr.Dataset:
    """The results as views of the memory that they were written into."""
    import xarray as xr

    def shaped(array: NDArray[Any], about: dict[str, Any]) -> tuple[tuple[str, ...], NDArray[Any], dict[str, Any]]:
        return grid.dims, array.reshape(grid.shape), about

    variables = {row.column: shaped(numbers[i], _about(row)) for i, row in enumerate(rows)}
    variables["status"] = shaped(codes[0], _flags("what stands in the way", _core.obstacle_names(), 0))
    corners = ["no_corner", *_core.CornerId.__members__]
    variables["status_corner"] = shaped(codes[1], _flags("where", corners, -1))
    for i, unit in enumerate(("mm", "N")):
        variables[f"short_by_{unit}"] = shaped(short_by[i], {"units": unit, "long_name": "by how much it falls short"})
    about = {
        "car": car.name,
        "hold": held.name,
        "frame": "ground" if held == _core.SweepHold.rest else "chassis",
        **({"moved": moved} if moved else {}),
        "shimwise": _core.__version__,
        "digest": next(iter(origin(_core.input_of(car.core))["inputs"].values())),
    }
    return xr.Dataset(variables, grid.coordinates, about)


def _about(row: _core.SweptOutput) -> dict[str, str]:
    return {"units": row.unit or "1", "long_name": row.key.replace(".", " ").replace("_", " "), "sign": row.sign}


def _flags(name: str, meanings: Sequence[str], first: int) -> dict[str, Any]:
    values = np.arange(first, first + len(meanings), dtype=np.int8)
    return {"long_name": name, "flag_values": values, "flag_meanings": " ".join(meanings)}
