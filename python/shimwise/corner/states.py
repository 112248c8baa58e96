"""Travels in, labelled arrays over them out. xarray is imported only where it is used."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from shimwise import _core
from shimwise.arguments import finite, number_array

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    import xarray as xr
    from numpy.typing import ArrayLike, NDArray

    Numbers = ArrayLike | xr.DataArray
    Block = Callable[[NDArray[np.float64], NDArray[np.float64]], NDArray[np.float64]]

__all__ = ["joints_over_states", "over_states"]


class _States(NamedTuple):
    dims: tuple[str, ...]
    shape: tuple[int, ...]
    coordinates: dict[str, Any]
    flat: list[NDArray[np.float64]]  # one array per argument, all of one length


def _states(arguments: Mapping[str, Numbers]) -> _States:
    """The outer product of the arguments; DataArrays that share a dimension go together."""
    if not any(hasattr(value, "dims") for value in arguments.values()):
        return _outer({name: number_array(name, value) for name, value in arguments.items()})

    import xarray as xr

    given = [
        value.copy(data=number_array(name, value.values))
        if isinstance(value, xr.DataArray)
        else xr.DataArray(number_array(name, value), _own(name, value))
        for name, value in arguments.items()
    ]
    for name, array in zip(arguments, given, strict=True):
        finite(name, array.values)
    spread = xr.broadcast(*given)
    dims = tuple(str(d) for d in spread[0].dims)
    arrays = [np.ascontiguousarray(a.transpose(*dims).values, dtype=np.float64) for a in spread]
    coordinates = {str(k): v for array in given for k, v in array.coords.items()}
    return _States(dims, arrays[0].shape, coordinates, [a.ravel() for a in arrays])


def _own(name: str, value: Any) -> dict[str, Any]:
    return {name: number_array(name, value)} if np.ndim(value) else {}


def _outer(arrays: dict[str, NDArray[np.float64]]) -> _States:
    """Plain numbers and arrays: each array is a dimension of its own."""
    for name, array in arrays.items():
        if array.ndim > 1:
            raise _core.InputError(f"{name}: has {array.ndim} dimensions, needs one; a DataArray may have more")
        finite(name, array)
    coordinates = {name: array for name, array in arrays.items() if array.ndim}
    shape = tuple(a.size for a in coordinates.values())
    spread = np.meshgrid(*arrays.values(), indexing="ij")
    return _States(tuple(coordinates), shape, dict(coordinates), [np.ascontiguousarray(a).ravel() for a in spread])


def over_states(arguments: Mapping[str, Numbers], rows: Sequence[_core.OutputInfo], block_of: Block) -> xr.Dataset:
    """One block (rows, states) becomes a Dataset whose variables are views of it."""
    import xarray as xr

    states = _states(arguments)
    block = block_of(*states.flat)
    variables = {
        info.column: (states.dims, row.reshape(states.shape), _about(info))
        for info, row in zip(rows, block, strict=True)
    }
    return xr.Dataset(variables, coords=states.coordinates)


def _about(info: _core.OutputInfo) -> dict[str, str]:
    return {"units": info.unit or "1", "sign": info.sign} | ({"frame": "chassis"} if info.depends_on_frame else {})


def joints_over_states(arguments: Mapping[str, Numbers], block_of: Block, points: Sequence[str]) -> xr.Dataset:
    """One block (points, states, 3) becomes a Dataset of the points that the corner has."""
    import xarray as xr

    states = _states(arguments)
    block = block_of(*states.flat)
    index = {name: i for i, name in enumerate(_core.point_names())}
    variables = {
        name: ((*states.dims, "axis"), block[index[name]].reshape(*states.shape, 3), {"units": "mm"}) for name in points
    }
    return xr.Dataset(variables, coords={**states.coordinates, "axis": ["x", "y", "z"]})
