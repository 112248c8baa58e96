"""Results of a sweep as a Dataset that says what each of its variables is."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from shimwise import _core
from shimwise.data_of import origin

if TYPE_CHECKING:
    import xarray as xr

    from shimwise.sweeps.asked import Asked
    from shimwise.sweeps.columns import Grid

__all__ = ["Derive", "about_output", "dataset_of", "demand_derive", "names_of", "said_of", "with_derived"]

Derive = Mapping[str, Callable[["xr.Dataset"], Any]]


def dataset_of(asked: Asked, grid: Grid, arrays: Iterable[Any]) -> xr.Dataset:
    """The results: outputs, status, corner and the amounts in mm and N, each over the grid."""
    import xarray as xr

    corners = ["no_corner", *_core.CornerId.__members__]
    abouts = (
        *map(about_output, asked.rows),
        _flags("what stands in the way", _core.obstacle_names(), 0),
        _flags("where", corners, -1),
        *({"units": unit, "long_name": "by how much it falls short"} for unit in ("mm", "N")),
    )
    variables = {
        name: (grid.dims, array, about) for name, array, about in zip(names_of(asked), arrays, abouts, strict=True)
    }
    return xr.Dataset(variables, grid.coordinates, said_of(asked))


def names_of(asked: Asked) -> list[str]:
    """Of the results, in order."""
    return [*(row.column for row in asked.rows), *_core.sweep_mask_names()]


def said_of(asked: Asked) -> dict[str, str]:
    """What a result says that it holds for."""
    return {
        "car": asked.car.name,
        "hold": asked.held.name,
        "frame": "ground" if asked.held.name == "rest" else "chassis",
        **({"moved": asked.moved} if asked.moved else {}),
        "shimwise": _core.__version__,
        "digest": next(iter(origin(_core.input_of(asked.car.core))["inputs"].values())),
    }


def about_output(row: _core.SweptOutput) -> dict[str, str]:
    """Unit, name and sign of an output."""
    return {"units": row.unit or "1", "long_name": row.key.replace(".", " ").replace("_", " "), "sign": row.sign}


def demand_derive(derive: Any, taken: Container[str]) -> None:
    """Refuse what are no functions by new names."""
    if not isinstance(derive, Mapping):
        raise _core.InputError(f"derive = {derive!r}: needs a dictionary from names to functions of the Dataset")
    for name, function in derive.items():
        if not isinstance(name, str) or not name.strip() or name in taken:
            raise _core.InputError(f"derive: {name!r}: needs a name that is not there yet")
        if not callable(function):
            raise _core.InputError(f"derive: {name!r}: needs a function of the Dataset, not {function!r}")


def with_derived(found: xr.Dataset, derive: Derive) -> xr.Dataset:
    """The same with columns made of its columns, each function seeing those before it."""
    for name, function in derive.items():
        try:
            found = found.assign({name: function(found)})
        except (ValueError, TypeError, KeyError) as why:
            raise _core.InputError(f"derive: {name!r}: gives no values over the sweep: {why}") from why
    return found


def _flags(name: str, meanings: Sequence[str], first: int) -> dict[str, Any]:
    values = np.arange(first, first + len(meanings), dtype=np.int8)
    return {"long_name": name, "flag_values": values, "flag_meanings": " ".join(meanings)}
