"""A folder of baselines: which replaced which, and whether a value drifts."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from shimwise import _core
from shimwise.arguments import file_name
from shimwise.data_of import data_of
from shimwise.shown import Shown

if TYPE_CHECKING:
    from os import PathLike

    import pandas as pd

__all__ = ["History", "history"]


class History(Shown):
    """What `shimwise history` shows, made by `history`.

    Attributes:
        core: `accepted`, the chain, oldest first, then what is beside it; `trends`, one for each value that three or
            more baselines of the chain have; `dated`, whether a rate is per day or from one baseline to the next;
            `one_set`, whether all were read with the same instruments, so that their lasting errors are no noise.
        faults: forks, gaps, changed and broken files, one sentence each.
    """

    def __init__(self, core: _core.History) -> None:
        self.core = core
        self.faults = core.faults

    @property
    def chain(self) -> list[_core.Baseline]:
        """The baselines that replaced each other, oldest first."""
        return [one.baseline for one in self.core.accepted if one.in_chain]

    @property
    def drifting(self) -> list[str]:
        """Keys of the values whose trend is one, at 95 %."""
        return [trend.key for trend in self.core.trends if trend.is_one]

    def frame(self) -> pd.DataFrame:
        """Return every value of the chain: one row for each baseline, by its file, one column for each key."""
        import pandas as pd

        rows = [{value.key: value.value for value in one.values} for one in self.chain]
        frame = pd.DataFrame(rows, index=pd.Index([one.file for one in self.chain], name="file"))
        frame.insert(0, "at", [one.at for one in self.chain])
        return frame

    def trends(self) -> pd.DataFrame:
        """Return one row for each value: its trend by key.

        Columns: `count`, `first`, `last`, `noise` (one standard deviation of one value), `rate` (per day, or from one
        baseline to the next where they are not dated), `over` (by the line, from the first to the last), `uncertainty`
        of that, `chance` of as much where there is no trend, `is_one` (below 0.05), `unit`.
        """
        import pandas as pd

        rows = [
            (
                len(one.values),
                one.values[0],
                one.values[-1],
                one.noise,
                one.rate,
                one.over,
                one.uncertainty,
                one.chance,
                one.is_one,
                one.unit,
            )
            for one in self.core.trends
        ]
        columns = ["count", "first", "last", "noise", "rate", "over", "uncertainty", "chance", "is_one", "unit"]
        return pd.DataFrame(rows, columns=columns, index=pd.Index([one.key for one in self.core.trends], name="key"))

    def as_dict(self) -> dict[str, Any]:
        """Return everything as plain data: what `--json` prints. Sheets, settings and covariances stay in the files."""
        left_out = {"sheet", "settings", "covariance", "lengths_mm"}
        content: dict[str, Any] = data_of(self.core)
        for one in content["accepted"]:
            one["baseline"] = {key: value for key, value in one["baseline"].items() if key not in left_out}
        return content


def history(folder: str | PathLike[str]) -> History:
    """Return the history of the baselines in a folder. Other files in it are not looked at.

    Raises:
        InputError: no such folder, no baseline in it that can be read, or those of several cars.
    """
    return History(_core.history(file_name(folder)))
