"""The chance to pass against what happens: simulated set-ups, ordered by their predicted chance."""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable
from itertools import count, islice
from pathlib import Path

import numpy as np
from scipy.stats import binom

sys.path.insert(0, str(Path(__file__).parent))

from set_ups import simulated

BAND = 0.999
LEAST_SPREAD = 0.5  # from the mean chance of the first bin to that of the last


def test_as_many_pass_as_were_predicted(size: Callable[[int, int], int]) -> None:
    set_ups, bins = size(400, 4000), size(4, 10)
    drawn = sorted(islice(filter(None, map(simulated, count())), set_ups), key=lambda one: one.chance)
    print(Counter(one.answer for one in drawn))
    outside, means = [], []
    for of in np.array_split(np.array([(one.chance, one.passed) for one in drawn]), bins):
        predicted, passed = float(of[:, 0].mean()), int(of[:, 1].sum())
        low, high = binom.interval(BAND, len(of), predicted)
        means.append(predicted)
        print(f"predicted {predicted:.3f}: {passed} of {len(of)} pass, band {low:.0f} to {high:.0f}")
        if not low <= passed <= high:
            outside.append((predicted, passed, len(of)))
    assert means[-1] - means[0] > LEAST_SPREAD
    assert outside == []
