"""How much of an output's variance each input brings: Sobol's indices by Saltelli's samples."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Literal

import numpy as np

from shimwise import _core
from shimwise.sweeps.asked import Asked, asked_of, hold_of
from shimwise.sweeps.columns import Column, columns_of
from shimwise.sweeps.drawn import SAMPLE, Between, draws_of
from shimwise.sweeps.labelled import about_output, said_of
from shimwise.sweeps.memory import demand_memory_of_draws, demand_memory_of_states
from shimwise.sweeps.progress import Progress, told
from shimwise.sweeps.work import Given

if TYPE_CHECKING:
    from collections.abc import Callable
    from concurrent.futures import Executor

    import xarray as xr
    from numpy.typing import NDArray

    from shimwise.car import Car

__all__ = ["sensitivity"]

_KEPT = 3  # outputs of two samples and of one mixed


def sensitivity(
    car: Car,
    inputs: Mapping[str, Any],
    *,
    outputs: Sequence[str] | str,
    sample: int,
    hold: str | None = None,
    moved: Literal["drawn", "built"] | None = None,
    change: bool | Iterable[str] = False,
    by: Literal["latin_hypercube", "random"] = "random",
    seed: int = 0,
    progress: Progress = False,
    threads: int | None = None,
    executor: Executor | None = None,
) -> xr.Dataset:
    """Return how much of the variance of outputs each input brings, by itself and with the others.

    Two samples are drawn, and for each input the first one once more with this input from the second: of k inputs
    sample * (k + 2) states. Saltelli et al.: Computer Physics Communications 181 (2010) 259.

    Args:
        car: the car; what is not named stays as it is set.
        inputs: as in `sweep`: those that are `Between`, and single values that are set in all states.
        outputs, hold, moved, change, seed, progress, threads, executor: as in `sweep`.
        sample: rows of each sample; thousands.
        by: "random": the uncertainties hold; "latin_hypercube": they are too large, mostly.

    Returns:
        Dataset over `output` and `input`: `first_order` (share of the variance by this input alone), `total` (with all
        that it does together with others), each with its standard uncertainty `.._u`; over `output` the `mean` and the
        `deviation` of the first sample. `rows`: how many rows entered; the others hold states that cannot be reached.
        An output that does not vary has no shares: NaN.

    Raises:
        InputError: as in `sweep`; nothing is `Between`, or a list is given.
    """
    import xarray as xr

    held = hold_of(car, hold, inputs)
    draws = draws_of(sample, by, seed)
    if draws is None:
        raise _core.InputError("sample = None: needs the number of rows")
    varied = [key for key, one in inputs.items() if isinstance(one, Between)] if isinstance(inputs, Mapping) else []
    demand_memory_of_draws(draws.count, 2 * len(varied))
    columns = columns_of(car, held, moved, inputs, change, draws)
    _demand_varied(columns, varied)
    asked = asked_of(car, held, moved, outputs, threads, executor)
    demand_memory_of_states(draws.count, _KEPT * len(asked.rows))
    first = [np.broadcast_to(column.values.values, (draws.count,)) for column in columns]
    other = {
        column.input.key: draws.between(f"{column.input.key}, second sample", *column.ends)
        for column in columns
        if column.input.key in varied
    }
    second = [other.get(column.input.key, values) for column, values in zip(columns, first, strict=True)]
    with told(progress, draws.count * (len(varied) + 2)) as watch:
        work = _Work(asked, columns, watch)
        a, b = work.numbers(first), work.numbers(second)
        found = np.empty((len(asked.rows), len(varied), 5))
        for place, key in enumerate(varied):
            mixed = [other[key] if one.input.key == key else v for one, v in zip(columns, first, strict=True)]
            for row, ab in enumerate(work.numbers(mixed)):
                index = _core.sobol_indices(a[row], b[row], ab)
                shares = (index.first, index.total)
                found[row, place] = [*(n for s in shares for n in (s.share, s.uncertainty)), index.rows]
    dims = ("output", "input")
    variables: dict[str, Any] = {
        "first_order": (dims, found[..., 0], {"units": "1", "long_name": "share of the variance by this input alone"}),
        "first_order_u": (dims, found[..., 1], {"units": "1", "long_name": "standard uncertainty of it"}),
        "total": (
            dims,
            found[..., 2],
            {"units": "1", "long_name": "share of the variance by all that it takes part in"},
        ),
        "total_u": (dims, found[..., 3], {"units": "1", "long_name": "standard uncertainty of it"}),
        "rows": (dims, found[..., 4].astype(np.int64), {"units": "1", "long_name": "rows that entered"}),
    }
    spread = xr.Dataset({"a": (("output", SAMPLE), a)})["a"]
    variables["mean"] = spread.mean(SAMPLE)
    variables["deviation"] = spread.std(SAMPLE)
    units = [about_output(row)["units"] for row in asked.rows]
    coordinates = {"output": [row.column for row in asked.rows], "input": varied, "units": ("output", units)}
    said = said_of(asked) | {"sample": sample, "by": by, "seed": seed}
    return xr.Dataset(variables, coordinates, said)


class _Work:
    """States worked out one sample after the other, and how far all of it is."""

    def __init__(self, asked: Asked, columns: list[Column], watch: Callable[[int], object] | None) -> None:
        self._asked, self._columns, self._watch = asked, columns, watch
        self._before = 0

    def numbers(self, values: list[NDArray[np.float64]]) -> NDArray[np.float64]:
        """Outputs of a sample: (outputs, rows)."""
        watch = self._watch
        seen = None if watch is None else lambda done, before=self._before: watch(before + done)
        found = self._asked.found(self._columns, Given(values, None), seen)
        self._before += values[0].size
        return found.numbers


def _demand_varied(columns: list[Column], varied: list[str]) -> None:
    if not varied:
        raise _core.InputError("inputs: needs some that are drawn, such as Between(-0.5, 0.5)")
    for column in columns:
        if column.input.key not in varied and column.values.ndim:
            raise _core.InputError(f"{column.input.key}: needs Between(low, high), or one value for all states")
