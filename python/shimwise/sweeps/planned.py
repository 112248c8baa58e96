"""A sweep that is checked and not worked out yet: into the memory, or into a folder."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

from shimwise import _core
from shimwise.arguments import demand_yes_or_no
from shimwise.sweeps.asked import Asked, asked_of, hold_of
from shimwise.sweeps.columns import Column, Grid, columns_of, grid_of
from shimwise.sweeps.drawn import Among, Between, draws_of
from shimwise.sweeps.labelled import dataset_of, names_of
from shimwise.sweeps.memory import demand_memory_of_draws, demand_memory_of_states
from shimwise.sweeps.progress import Progress, told
from shimwise.sweeps.store import store_sweep

if TYPE_CHECKING:
    import xarray as xr

    from shimwise.car import Car

__all__ = ["Planned", "planned_sweep"]


class Planned(NamedTuple):
    """What is asked for, and the states that it is asked of."""

    asked: Asked
    columns: list[Column]
    grid: Grid

    @property
    def taken(self) -> set[str]:
        """The names that are in use."""
        return {*names_of(self.asked), *self.grid.dims, *self.grid.coordinates}

    def found(self, progress: Progress) -> xr.Dataset:
        """Work it out."""
        demand_memory_of_states(self.grid.states, len(self.asked.rows))
        with told(progress, self.grid.states) as watch:
            states = self.asked.found(self.columns, self.grid.given, watch)
        return dataset_of(self.asked, self.grid, states.over(self.grid.shape))

    def stored(self, path: str, said: Mapping[str, str], progress: Progress) -> xr.Dataset:
        """Work it out into a folder, which says so much more of itself."""
        with told(progress, self.grid.states) as watch:
            return store_sweep(path, self.asked, self.columns, self.grid, said, watch)


def planned_sweep(
    car: Car,
    inputs: Any,
    *,
    outputs: Any,
    hold: Any,
    moved: Any,
    change: Any,
    at_hand: Any,
    sample: Any,
    by: Any,
    seed: Any,
    threads: Any,
    executor: Any,
) -> Planned:
    """Check what `sweep` was given."""
    held = hold_of(car, hold, inputs)
    demand_yes_or_no("at_hand", at_hand)
    draws = draws_of(sample, by, seed)
    if draws is not None and isinstance(inputs, Mapping):
        drawn = sum(isinstance(one, Between | Among) for one in inputs.values())
        if not drawn:
            raise _core.InputError(f"sample = {draws.count}: no input is drawn, as Between or Among are")
        demand_memory_of_draws(draws.count, drawn)
    columns = columns_of(car, held, moved, inputs, change, draws)
    asked = asked_of(car, held, moved, outputs, threads, executor)
    return Planned(asked, columns, grid_of(car, columns, at_hand, names_of(asked)))
