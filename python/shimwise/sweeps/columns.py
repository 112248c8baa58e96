"""What a sweep sets, by name: numbers, words or labelled arrays become columns over named dimensions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from shimwise import _core
from shimwise.arguments import finite, number_array
from shimwise.setting_words import written

if TYPE_CHECKING:
    import xarray as xr
    from numpy.typing import NDArray

    from shimwise.car import Car

__all__ = ["Column", "Grid", "columns_of", "grid_of"]


class Column(NamedTuple):
    """An input of a sweep with its values."""

    input: _core.SweptInput
    change: bool  # its values count from as the car stands
    values: xr.DataArray
    words: list[str] | None  # as they were written

    @property
    def attributes(self) -> dict[str, str]:
        """What the coordinate says of itself."""
        name = self.input.long_name + (", change from as it stands" if self.change else "")
        return {"units": self.input.unit, "long_name": name}


class Grid(NamedTuple):
    """The states of a sweep: columns over all of its dimensions, a grid no larger than its axes."""

    dims: tuple[str, ...]
    shape: tuple[int, ...]
    values: list[NDArray[np.float64]]  # one view per column, of the whole shape
    coordinates: dict[str, Any]

    @property
    def states(self) -> int:
        """How many there are."""
        count = 1
        for length in self.shape:
            count *= length
        return count


def columns_of(
    car: Car, hold: _core.SweepHold, moved: str | None, inputs: Mapping[str, Any], change: bool | Iterable[str]
) -> list[Column]:
    """Check the inputs by their names and values.

    Raises:
        InputError: no such input, values that are none, or that cannot be set so.
    """
    known = {one.key: one for one in _core.sweep_inputs(car.core, hold, _moved("built" if moved is None else moved))}
    _demand_known(inputs, known, hold)
    if moved is None and any(known[key].point for key in inputs):
        raise _core.InputError(f"moved = None: points move, so it needs one of {', '.join(_core.Moved.__members__)}")
    changes = _changes(change, inputs)
    columns = [_column(car, known[key], key in changes, given) for key, given in inputs.items()]
    for column in columns:
        for value in (float(column.values.min()), float(column.values.max())):
            _core.demand_settable(car.core, column.input, hold, value, column.change)
    return columns


def grid_of(columns: list[Column]) -> Grid:
    """The outer product of the columns; those that share a dimension go together.

    Raises:
        InputError: two columns share a dimension of different lengths or labels.
    """
    import xarray as xr

    _demand_same_lengths(columns)
    spread = xr.broadcast(*(column.values.reset_coords(drop=True) for column in columns))
    dims = tuple(str(d) for d in spread[0].dims)
    coordinates: dict[str, Any] = {}
    for column in columns:
        coordinates |= {str(name): array for name, array in column.values.coords.items()}
    for column in columns:
        key = column.input.key
        coordinates[key] = (column.values.dims, column.values.values, column.attributes)
        if column.words is not None:
            coordinates[f"{key} as written"] = (column.values.dims, np.array(column.words).reshape(column.values.shape))
    values = [array.transpose(*dims).values for array in spread]
    return Grid(dims, values[0].shape, values, coordinates)


def _moved(moved: Any) -> _core.Moved:
    if not isinstance(moved, str) or moved not in _core.Moved.__members__:
        raise _core.InputError(f"moved = {moved!r}: needs one of {', '.join(_core.Moved.__members__)}")
    return _core.Moved.__members__[moved]


def _demand_known(inputs: Any, known: Mapping[str, _core.SweptInput], hold: _core.SweepHold) -> None:
    such_as = f'{{"{next(iter(known))}": [0.0, 1.0]}}'
    if not isinstance(inputs, Mapping) or not inputs:
        raise _core.InputError(f"inputs = {inputs!r}: needs a dictionary from names to values, such as {such_as}")
    for key in inputs:
        if isinstance(key, str) and key in known:
            continue
        meant = _core.did_you_mean(str(key).encode(errors="replace").decode(), list(known))
        raise _core.InputError(f"inputs: {key!r}: is nothing that can be swept with hold = {hold.name!r}{meant}")


def _changes(change: Any, inputs: Mapping[str, Any]) -> set[str]:
    if isinstance(change, bool):
        return set(inputs) if change else set()
    names = [change] if isinstance(change, str) else list(change) if isinstance(change, Iterable) else [change]
    for name in names:
        if not isinstance(name, str) or name not in inputs:
            raise _core.InputError(f"change: {name!r}: is none of the inputs ({', '.join(inputs)})")
    return set(names)


def _column(car: Car, of: _core.SweptInput, change: bool, given: Any) -> Column:
    words = _words(given)
    if words is not None:
        amounts = _amounts(car, of, change, words)
        numbers = np.array(amounts[0] if isinstance(given, str) else amounts)
        return Column(of, False, _labelled(of.key, numbers, given), [_as_text(one) for one in words])
    numbers = number_array(of.key, given.values if hasattr(given, "dims") else given)
    finite(of.key, numbers)
    if numbers.size == 0:
        raise _core.InputError(f"{of.key}: has no values")
    if numbers.ndim > 1 and not hasattr(given, "dims"):
        raise _core.InputError(f"{of.key}: has {numbers.ndim} dimensions, needs one; a DataArray may have more")
    return Column(of, change, _labelled(of.key, numbers, given), None)


def _labelled(key: str, numbers: NDArray[np.float64], given: Any) -> xr.DataArray:
    """Numbers with the dimensions of what was given; a plain list is a dimension named like the input."""
    import xarray as xr

    if isinstance(given, xr.DataArray):
        return given.copy(data=numbers.reshape(given.shape))
    return xr.DataArray(numbers, dims=[key] if numbers.ndim else [])


def _words(given: Any) -> list[Any] | None:
    """What was written in words or as packs, one by one; None where all are numbers."""
    if isinstance(given, str):
        return [given]
    items = list(given.values.ravel()) if hasattr(given, "dims") else given
    if isinstance(items, list | tuple) and any(isinstance(one, str | list | tuple) for one in items):
        return [str(one) if isinstance(one, str) else one for one in items]
    return None


def _as_text(word: Any) -> str:
    return word if isinstance(word, str) else repr(word)


def _amounts(car: Car, of: _core.SweptInput, change: bool, words: list[Any]) -> list[float]:
    if not of.adjuster:
        raise _core.InputError(f"{of.key} = {words[0]!r}: needs numbers; words are for adjusters")
    adjuster = car.adjuster(of.key)
    numbers = _core.From.now if change else _core.From.drawn
    return [_core.setting_of(_core.amount(of.key, adjuster, written(one), numbers), adjuster) for one in words]


def _demand_same_lengths(columns: list[Column]) -> None:
    lengths: dict[str, tuple[int, str]] = {}
    labels: dict[str, tuple[Any, str]] = {}
    for column in columns:
        key = column.input.key
        for dim, length in column.values.sizes.items():
            before, other = lengths.setdefault(str(dim), (length, key))
            if before != length:
                raise _core.InputError(f"{key}: has {length} values along {dim!r}, and {other} has {before}")
        for dim, index in column.values.indexes.items():
            before_index, other = labels.setdefault(str(dim), (index, key))
            if not index.equals(before_index):
                raise _core.InputError(f"{key}: has other labels along {dim!r} than {other}")
