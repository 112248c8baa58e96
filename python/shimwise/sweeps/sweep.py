"""A sweep: columns of settings in, a Dataset over named dimensions out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from os import PathLike
from typing import TYPE_CHECKING, Any, Literal

from shimwise import _core
from shimwise.arguments import file_name
from shimwise.sweeps.labelled import Derive, demand_derive, with_derived
from shimwise.sweeps.planned import planned_sweep
from shimwise.sweeps.progress import Progress

if TYPE_CHECKING:
    from concurrent.futures import Executor

    import xarray as xr

    from shimwise.car import Car

__all__ = ["sweep"]


def sweep(
    car: Car,
    inputs: Mapping[str, Any],
    *,
    outputs: Sequence[str] | str,
    hold: str | None = None,
    moved: Literal["drawn", "built"] | None = None,
    change: bool | Iterable[str] = False,
    at_hand: bool = False,
    sample: int | None = None,
    by: Literal["latin_hypercube", "random"] = "latin_hypercube",
    seed: int = 0,
    derive: Derive | None = None,
    progress: Progress = False,
    threads: int | None = None,
    executor: Executor | None = None,
    out: str | PathLike[str] | None = None,
) -> xr.Dataset:
    """Return values of a car over everything that can be set, in every combination.

    Every state is worked out by itself: its numbers are the same to the bit whatever the number of threads, whatever
    states are beside it, and in whatever process.

    Args:
        car: the car; what is not swept stays as it is set.
        inputs: from names to values. "front_left.track rod": turns from as drawn; "front_left.camber shim": the whole
            pack, mm; both also in words, such as "+2 flats" or "2.0 + 0.5 mm". "front_left.track_rod.inner.z": a
            coordinate of a point, mm. "travel_mm" (with a corner held), "rack_mm". At rest: "pad.front_left", mm;
            "ballast.fuel", kg. Each list is a dimension of its own, named like the input; DataArrays keep their
            dimensions, and those that share one go together, as a list of points does. One value alone is set
            everywhere. `Between` and `Among` are drawn, along the dimension "sample".
        outputs: names of docs/conventions.md or of columns. With a corner held those of `Corner.curves`:
            "front_left.camber"; "camber" is all four. At rest those of `at_rest`: "cross_weight", "front_left.weight".
        hold: what is held while something is set. "wheel": each wheel centre at `travel_mm` from as drawn; "contact",
            "spring": the height of the contact, the length of the spring that the car as given has at `travel_mm`, its
            rack centred; chassis frame. "rest": nothing, the car is at rest on its springs; ground frame. Left out:
            "wheel" where "travel_mm" is swept, else "contact".
        moved: how points move: "drawn" or "built", as in `with_points`.
        change: True, or names of inputs: their numbers count from as the car stands. `points_within` always does.
        at_hand: packs, given by their shims, are masked where those fitted in them and in their boxes do not make all
            of them so thick at the same time.
        sample: how many are drawn of what is `Between` or `Among`.
        by: how: "latin_hypercube" (of n numbers one in each n-th of the range) or "random".
        seed: of the draws. An input's numbers follow from seed, count and its name.
        derive: from names of more columns to functions, each of the Dataset so far.
        progress: True: tell a person, on stderr; or a call with (states done, all states), every 50 ms; of an
            executor whenever a part is done.
        threads: how many; left out: one for each processor that this process may use.
        executor: any `concurrent.futures.Executor`, such as a pool of processes: the states are sent to it in parts,
            and `threads` (left out: 1) is how many work on each. What it raises is raised here.
        out: a new Zarr folder, "name.zarr", for a result larger than memory: it is written part by part and read when
            it is used (needs Zarr and Dask). A sweep that was interrupted is gone on with when it is asked for again.

    Returns:
        Dataset over the dimensions of the inputs, which are its coordinates. Beside the outputs: `status` (0 reached,
        else what stands in the way: its attributes name them), `status_corner` (where; -1: no corner), `short_by_mm`
        and `short_by_N` (by how much; 0 where it has no such amount). Outputs of states that cannot be reached are NaN.

    Raises:
        InputError: no such input or output, values that are none or cannot be set, or a result that does not fit into
            the memory or onto the disk; a folder that is there, or begun for another sweep.
        OutOfReach: the car as given does not stand as its file says; a state that cannot be reached is no error.
    """
    planned = planned_sweep(
        car,
        inputs,
        outputs=outputs,
        hold=hold,
        moved=moved,
        change=change,
        at_hand=at_hand,
        sample=sample,
        by=by,
        seed=seed,
        threads=threads,
        executor=executor,
    )
    derive = {} if derive is None else derive
    demand_derive(derive, planned.taken)
    if not isinstance(out, str | PathLike | None):
        raise _core.InputError(f'out = {out!r}: needs the name of a new folder, such as "name.zarr"')
    if out is None:
        return with_derived(planned.found(progress), derive)
    if derive:
        raise _core.InputError(
            f"derive: is made of the whole result: open {file_name(out)} when it is there, and assign"
        )
    return planned.stored(file_name(out), {}, progress)
