"""What follows from readings: values with a full covariance. pandas is imported only where it is used."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shimwise import _core

if TYPE_CHECKING:
    import numpy as np
    import pandas as pd
    from numpy.typing import NDArray

__all__ = ["Measured"]


class Measured:
    """Values with a full covariance."""

    def __init__(self, core: _core.Measured) -> None:
        self.core = core

    @property
    def keys(self) -> list[str]:
        """Names of the values: "front_left.toe", "ride_height.front_left", ..."""
        return [q.key for q in self.core.quantities]

    @property
    def values(self) -> NDArray[np.float64]:
        """Values, shape (n,), each in its own unit."""
        return self.core.values

    @property
    def covariance(self) -> NDArray[np.float64]:
        """Covariance, shape (n, n); singular, because derived values are among them."""
        return self.core.covariance

    @property
    def inputs(self) -> dict[str, _core.InputQuantity]:
        """What the values are made of, by name: "front_left.flags.front", "strings.left.rear", "settling.warp", ...

        Each has `value`, `unit`, `kind`, its standard `uncertainty` and the two parts of that: what comes `anew`
        whenever the same instruments read again, and what `stays` for all readings of the morning.
        """
        return {given.key: given for given in self.core.inputs}

    @property
    def by_inputs(self) -> NDArray[np.float64]:
        """How each value follows each input, shape (n, m), in their units: rows as `keys`, columns as `inputs`."""
        return self.core.by_inputs

    @property
    def within_95(self) -> NDArray[np.float64] | None:
        """Of drawn values the ends of the interval that holds 95 % of them, shape (n, 2); None of values by the law."""
        ends = self.core.within_95
        return ends if len(ends) else None

    @property
    def notes(self) -> list[str]:
        """What could not be concluded, and what was assumed."""
        return self.core.notes

    def frame(self) -> pd.DataFrame:
        """Return values with unit and standard uncertainty, indexed by key."""
        import pandas as pd

        rows = {
            "value": self.core.values,
            "uncertainty": self.core.uncertainties,
            "unit": [q.unit for q in self.core.quantities],
        }
        return pd.DataFrame(rows, index=pd.Index(self.keys, name="key"))

    def input_frame(self) -> pd.DataFrame:
        """Return the inputs with unit and standard uncertainty, whole, anew and what stays, indexed by key."""
        import pandas as pd

        rows = [(g.kind, g.value, g.unit, g.uncertainty, g.anew.standard, g.stays.standard) for g in self.core.inputs]
        columns = ["kind", "value", "unit", "uncertainty", "anew", "stays"]
        return pd.DataFrame(rows, columns=columns, index=pd.Index(self.inputs, name="key"))

    def __repr__(self) -> str:
        return self.frame().to_string()
