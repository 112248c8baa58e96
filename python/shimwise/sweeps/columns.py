"""What a sweep sets, by name: numbers, words, what is drawn or labelled arrays become columns over named dimensions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import prod
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from shimwise import _core
from shimwise.arguments import finite, in_utf8, number_array
from shimwise.setting_words import written
from shimwise.sweeps.drawn import SAMPLE, Among, Between, Draws, EitherWay, demand_draws
from shimwise.sweeps.work import Given

if TYPE_CHECKING:
    import xarray as xr
    from numpy.typing import NDArray

    from shimwise.car import Car

__all__ = ["Column", "Grid", "columns_of", "grid_of", "moved_of"]

_MOST_DIMENSIONS = 32  # of an array, with every NumPy
_MOST_STATES = 10**15  # far beyond any disk, and 8 bytes of each can still be counted


class Packs(NamedTuple):
    """The shims of each value of a pack."""

    shims_mm: list[list[float]]
    picked: xr.DataArray  # which of them, as the values


class Column(NamedTuple):
    """An input of a sweep with its values."""

    input: _core.SweptInput
    change: bool  # its values count from as the car stands
    values: xr.DataArray
    ends: tuple[float, float]  # what the values lie between
    words: NDArray[np.str_] | None = None  # as they were written
    packs: Packs | None = None

    @property
    def attributes(self) -> dict[str, str]:
        """What the coordinate says of itself."""
        name = self.input.long_name + (", change from as it stands" if self.change else "")
        return {"units": self.input.unit, "long_name": name}


class Grid(NamedTuple):
    """The states of a sweep: columns over all of its dimensions, a grid no larger than its axes."""

    dims: tuple[str, ...]
    shape: tuple[int, ...]
    given: Given  # one view per column, of the whole shape
    coordinates: dict[str, Any]

    @property
    def states(self) -> int:
        """How many there are."""
        return prod(self.shape)

    @property
    def beside(self) -> list[str]:
        """Coordinates that are no dimension: a file has them as variables."""
        return [name for name in self.coordinates if name not in self.dims]


def columns_of(
    car: Car,
    hold: _core.SweepHold,
    moved: str | None,
    inputs: Mapping[str, Any],
    change: bool | Iterable[str],
    draws: Draws | None,
) -> list[Column]:
    """Check the inputs by their names and values.

    Raises:
        InputError: no such input, values that are none, or that cannot be set so.
    """
    known = {one.key: one for one in _core.sweep_inputs(car.core, hold, moved_of(moved))}
    _demand_known(inputs, known, hold)
    if moved is None and any(known[key].point for key in inputs):
        raise _core.InputError(f"moved = None: points move, so it needs one of {', '.join(_core.Moved.__members__)}")
    changes = _changes(change, inputs) | {key for key, given in inputs.items() if isinstance(given, EitherWay)}
    columns = [_column(car, known[key], key in changes, given, draws) for key, given in inputs.items()]
    for column in columns:
        for end in column.ends:
            _core.demand_settable(car.core, column.input, hold, end, column.change)
    return columns


def grid_of(car: Car, columns: list[Column], at_hand: bool, taken: Iterable[str]) -> Grid:
    """The outer product of the columns; those that share a dimension go together.

    Raises:
        InputError: two columns share a dimension of different lengths or labels; one is called like something else, or
            like what is `taken`; more dimensions than an array has; packs that are to be at hand, and not given by
            their shims.
    """
    import xarray as xr

    _demand_same_lengths(columns)
    _demand_labels(columns, {*taken, *(_as_written(column) for column in columns if column.words is not None)})
    arrays = [column.values.reset_coords(drop=True) for column in columns]
    missing_mm = _missing_mm(car, columns) if at_hand else None
    spread = xr.broadcast(*arrays, *([] if missing_mm is None else [missing_mm]))
    dims = tuple(str(d) for d in spread[0].dims)
    values = [array.transpose(*dims).values for array in spread]
    missing = None if missing_mm is None else values.pop()
    return Grid(dims, spread[0].transpose(*dims).shape, Given(values, missing), _coordinates(columns))


def moved_of(moved: Any) -> _core.Moved:
    """How points move, by its name; where none do it is no matter."""
    if moved is None:
        return _core.Moved.__members__["built"]
    if not isinstance(moved, str) or moved not in _core.Moved.__members__:
        raise _core.InputError(f"moved = {moved!r}: needs one of {', '.join(_core.Moved.__members__)}")
    return _core.Moved.__members__[moved]


def _coordinates(columns: list[Column]) -> dict[str, Any]:
    coordinates: dict[str, Any] = {}
    for column in columns:
        coordinates |= {str(name): array for name, array in column.values.coords.items()}
    for column in columns:
        key, dims = column.input.key, column.values.dims
        coordinates[key] = (dims, column.values.values, column.attributes)
        if column.words is not None:
            coordinates[_as_written(column)] = (dims, column.words)
    return coordinates


def _demand_known(inputs: Any, known: Mapping[str, _core.SweptInput], hold: _core.SweepHold) -> None:
    such_as = f'{{"{next(iter(known))}": [0.0, 1.0]}}'
    if not isinstance(inputs, Mapping) or not inputs:
        raise _core.InputError(f"inputs = {inputs!r}: needs a dictionary from names to values, such as {such_as}")
    for key in inputs:
        if isinstance(key, str) and key in known:
            continue
        meant = _core.did_you_mean(in_utf8(str(key)), list(known))
        raise _core.InputError(f"inputs: {key!r}: is nothing that can be swept with hold = {hold.name!r}{meant}")


def _changes(change: Any, inputs: Mapping[str, Any]) -> set[str]:
    if isinstance(change, bool):
        return set(inputs) if change else set()
    names = [change] if isinstance(change, str) else list(change) if isinstance(change, Iterable) else [change]
    for name in names:
        if not isinstance(name, str) or name not in inputs:
            raise _core.InputError(f"change: {name!r}: is none of the inputs ({', '.join(inputs)})")
    return set(names)


def _column(car: Car, of: _core.SweptInput, change: bool, given: Any, draws: Draws | None) -> Column:
    if isinstance(given, Between):
        return _between(of, change, given, demand_draws(of.key, given, draws))
    if isinstance(given, Among):
        return _among(_column(car, of, change, given.options, None), demand_draws(of.key, given, draws))
    if hasattr(given, "data_vars"):
        raise _core.InputError(f"{of.key}: needs values, or a DataArray of them, not a whole Dataset")
    words = _words(given)
    if words is not None:
        return _written(car, of, change, words, given)
    numbers = number_array(of.key, given.values if hasattr(given, "dims") else given)
    finite(of.key, numbers)
    if numbers.size == 0:
        raise _core.InputError(f"{of.key}: has no values")
    if numbers.ndim > 1 and not hasattr(given, "dims"):
        raise _core.InputError(f"{of.key}: has {numbers.ndim} dimensions, needs one; a DataArray may have more")
    return Column(of, change, _labelled(of.key, numbers, given), (float(numbers.min()), float(numbers.max())))


def _between(of: _core.SweptInput, change: bool, given: Between, draws: Draws) -> Column:
    import xarray as xr

    drawn = draws.between(of.key, given.low, given.high)
    return Column(of, change, xr.DataArray(drawn, dims=SAMPLE), (given.low, given.high))


def _among(options: Column, draws: Draws) -> Column:
    """Some of the values of a column, along the dimension of the sample."""
    import xarray as xr

    picked = draws.among(options.input.key, options.values.size)
    return options._replace(
        values=xr.DataArray(options.values.values[picked], dims=SAMPLE),
        words=None if options.words is None else options.words[picked],
        packs=options.packs and options.packs._replace(picked=xr.DataArray(picked, dims=SAMPLE)),
    )


def _labelled(key: str, numbers: NDArray[Any], given: Any) -> xr.DataArray:
    """Numbers with the dimensions of what was given; a plain list is a dimension named like the input."""
    import xarray as xr

    if isinstance(given, xr.DataArray):
        return given.copy(data=numbers.reshape(given.shape))
    return xr.DataArray(numbers, dims=[key] if numbers.ndim else [])


def _words(given: Any) -> list[Any] | None:
    """What was written in words or as packs, one by one; None where all are numbers."""
    if isinstance(given, str):
        return [given]
    if isinstance(given, np.ndarray) and given.dtype.kind in "OU":
        given = given.tolist()
    if hasattr(given, "dims"):
        given = given.values.ravel().tolist() if given.dtype.kind in "OU" else None
    if isinstance(given, list | tuple) and any(isinstance(one, str | list | tuple) for one in given):
        return [str(one) if isinstance(one, str) else one for one in given]
    return None


def _written(car: Car, of: _core.SweptInput, change: bool, words: list[Any], given: Any) -> Column:
    """A column of what is written of an adjuster: each says itself from where it counts."""
    if not of.adjuster:
        raise _core.InputError(f"{of.key} = {words[0]!r}: needs numbers; words are for adjusters")
    adjuster = car.adjuster(of.key)
    numbers = _core.From.now if change else _core.From.drawn
    amounts = [_core.amount(of.key, adjuster, written(one), numbers) for one in words]

    def shaped(items: list[Any]) -> NDArray[Any]:
        return np.array(items[0] if isinstance(given, str) else items)

    settings = shaped([_core.setting_of(amount, adjuster) for amount in amounts])
    values = _labelled(of.key, settings, given)
    texts = shaped([one if isinstance(one, str) else repr(one) for one in words]).reshape(values.shape)
    shims = [amount.shims_mm for amount in amounts if amount.shims_mm is not None]
    packs = None
    if len(shims) == len(words):
        places = values.copy(data=np.arange(len(words)).reshape(values.shape))
        packs = Packs(shims, places.reset_coords(drop=True))
    return Column(of, False, values, (float(settings.min()), float(settings.max())), texts, packs)


def _missing_mm(car: Car, columns: list[Column]) -> xr.DataArray:
    """Thickness of the shims that are missing for each combination of packs, over the dimensions of these alone."""
    import xarray as xr

    packs: dict[str, Packs] = {}
    for column in columns:
        key = column.input.key
        if not column.input.adjuster or isinstance(car.adjuster(key).setting, _core.Thread):
            continue
        if column.packs is None:
            raise _core.InputError(f"{key}: at_hand needs its packs by their shims, such as [2.0, 0.5]")
        packs[key] = column.packs
    if not packs:
        raise _core.InputError("at_hand = True: no pack of shims is swept")
    spread = xr.broadcast(*(one.picked for one in packs.values()))
    picked = [array.values.ravel().tolist() for array in spread]
    found = _core.missing_shims_mm(car.core, list(packs), [one.shims_mm for one in packs.values()], picked)
    return spread[0].copy(data=np.reshape(np.array(found), spread[0].shape))


def _demand_same_lengths(columns: list[Column]) -> None:
    lengths: dict[str, tuple[int, str]] = {}
    for column in columns:
        key = column.input.key
        for dim, length in column.values.sizes.items():
            before, other = lengths.setdefault(str(dim), (length, key))
            if before != length:
                raise _core.InputError(f"{key}: has {length} values along {dim!r}, and {other} has {before}")
    if (states := prod(length for length, _ in lengths.values())) > _MOST_STATES:
        raise _core.InputError(f"inputs: are {states:,} states in every combination: more than can be counted")
    if len(lengths) > _MOST_DIMENSIONS:
        raise _core.InputError(
            f"inputs: are {len(lengths)} dimensions, at most {_MOST_DIMENSIONS} can be: DataArrays that share one go "
            "together, and so does what is drawn"
        )


def _demand_labels(columns: list[Column], taken: set[str]) -> None:
    """Refuse dimensions and labels that would hide something else, or each other."""
    by_key = {column.input.key: column for column in columns}
    said: dict[Any, tuple[NDArray[Any], str]] = {
        key: (column.values.values, key) for key, column in by_key.items() if column.values.dims == (key,)
    }
    for key, column in by_key.items():
        for name in dict.fromkeys((*column.values.dims, *column.values.coords)):
            if not isinstance(name, str) or not name.strip():
                raise _core.InputError(f"{key}: has a dimension or labels called {name!r}: needs a name")
            if name in taken or (name in by_key and name not in said):
                raise _core.InputError(f"{key}: has a dimension or labels called {name!r}, as something else is")
        for name, labels in column.values.coords.items():
            before, other = said.setdefault(name, (labels.values, key))
            if not np.array_equal(before, labels.values):
                raise _core.InputError(f"{key}: has other labels along {name!r} than {other}")


def _as_written(column: Column) -> str:
    """The name of its words."""
    return f"{column.input.key} as written"
