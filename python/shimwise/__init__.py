"""From a race mechanic's readings to the best reachable turns and shims."""

from shimwise._core import InputError, OutOfReach, Problem, __version__

__all__ = ["InputError", "OutOfReach", "Problem", "__version__"]
