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

    def __repr__(self) -> str:
        return self.frame().to_string()
