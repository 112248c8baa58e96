"""Time from Python, after the accuracy: one large call per state, one small call whole."""

import time
from collections.abc import Callable

import numpy as np

import shimwise as sw

STATES = 1_000_000
MOST_PER_STATE_US = 0.4
CALL = 61
MOST_PER_CALL_MS = 1.5


def fastest(call: Callable[[], object], times: int) -> float:
    """Seconds of the fastest of some calls: what disturbs only adds."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        call()
        taken.append(time.perf_counter() - start)
    return min(taken)


def main() -> None:
    corner = sw.demo_car().front_left
    travel_mm = np.linspace(-30.0, 30.0, STATES)
    few = corner.alignment(travel_mm=travel_mm[:: STATES // CALL])
    many = corner.alignment(travel_mm=travel_mm).sel(travel_mm=few.travel_mm)
    print(f"one call against many states: toe differs by {float(abs(many.toe - few.toe).max()):.1e} deg at most")
    per_state_us = fastest(lambda: corner.alignment(travel_mm=travel_mm), 5) / STATES * 1e6
    print(f"alignment of {STATES:,} travels: {per_state_us:.3f} us a state (aim {MOST_PER_STATE_US})")
    small_mm = np.linspace(-30.0, 30.0, CALL)
    per_call_ms = fastest(lambda: corner.alignment(travel_mm=small_mm), 50) * 1e3
    print(f"alignment of {CALL} travels: {per_call_ms:.2f} ms a call (aim {MOST_PER_CALL_MS})")


if __name__ == "__main__":
    main()
