"""Single slips in a sheet of readings, and which of them a sheet can tell: a witness that knows nothing of the library.

*Tellable*: whitened by the covariance of sound sheets, what the car may be off with it, the slip is at least 5 standard
deviations long, and 4 from every slip at another place, whatever the amount of that is.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from slip_sheets import ENDS, SIDES, WHEELS, Key, Sheet, Workshop, covariance

SIZES = {
    "flag": (1.0, 10.0),
    "camber": (0.1, 1.0),
    "height": (1.0, 10.0),
    "scale": (1.0, 10.0),
    "string end": (2.0, 5.0, 10.0),
}
KINDS = (*SIZES, "lost sign", "flags exchanged", "sides exchanged")
LONG, APART = 5.0, 4.0


class Slip(NamedTuple):
    """Readings are exchanged in pairs."""

    kind: str
    keys: tuple[Key, ...]
    amount: float = 0.0

    def done_to(self, sheet: Sheet) -> Sheet:
        sheet = dict(sheet)
        if self.kind == "lost sign":
            sheet[self.keys[0]] *= -1.0
        elif self.kind in SIZES:
            sheet[self.keys[0]] += self.amount
        else:
            for one, other in zip(self.keys[::2], self.keys[1::2], strict=True):
                sheet[one], sheet[other] = sheet[other], sheet[one]
        return sheet


def slips(shop: Workshop) -> list[Slip]:
    """One of each place, without an amount."""
    found = [Slip("flag", ((wheel, flag),)) for wheel in WHEELS for flag in ENDS]
    for kind, what in (("camber", "camber"), ("scale", "scale"), ("lost sign", "camber")):
        found += [Slip(kind, ((wheel, what),)) for wheel in WHEELS]
    found += [Slip("height", ((point, "height"),)) for point in shop.points]
    found += [Slip("string end", ((side, f"{end} bar"),)) for side in SIDES for end in ENDS]
    found += [Slip("flags exchanged", ((wheel, "front"), (wheel, "rear"))) for wheel in WHEELS]
    for end in ENDS:
        pair = (f"{end}_left", f"{end}_right")
        for read in (ENDS, ("camber",), ("scale",)):
            found.append(Slip("sides exchanged", tuple((wheel, what) for what in read for wheel in pair)))
    for point in shop.points:
        other = point.removesuffix("left") + "right"
        if point.endswith("_left") and other in shop.points:
            found.append(Slip("sides exchanged", ((point, "height"), (other, "height"))))
    return found


def drawn_slip(shop: Workshop, rng: np.random.Generator) -> Slip:
    """Evenly over kinds, then places, then amounts."""
    kind = KINDS[rng.integers(len(KINDS))]
    all_of_kind = [slip for slip in slips(shop) if slip.kind == kind]
    slip = all_of_kind[rng.integers(len(all_of_kind))]
    if kind not in SIZES:
        return slip
    return slip._replace(amount=float(rng.choice(SIZES[kind]) * rng.choice((-1.0, 1.0))))


class Tellable:
    """Of the sheets of one workshop."""

    def __init__(self, shop: Workshop) -> None:
        self.shop = shop
        self.keys, of_sheets = covariance(shop)
        self.whiten = np.linalg.inv(np.linalg.cholesky(of_sheets))
        self.slips = slips(shop)

    def __call__(self, slip: Slip, sound: Sheet) -> bool:
        found = self._signature(slip, sound)
        if np.linalg.norm(found) < LONG:
            return False
        here = set(slip.keys)
        others = [other for other in self.slips if set(other.keys) != here]
        return all(self._apart(found, other, sound) >= APART for other in others)

    def _apart(self, found: NDArray[np.float64], other: Slip, sound: Sheet) -> float:
        if other.kind in SIZES:
            way = self._signature(other._replace(amount=1.0), sound)
            return float(np.linalg.norm(found - way * (way @ found) / (way @ way)))
        return float(np.linalg.norm(found - self._signature(other, sound)))

    def _signature(self, slip: Slip, sound: Sheet) -> NDArray[np.float64]:
        return self.whiten @ (self._as_seen(slip.done_to(sound)) - self._as_seen(sound))

    def _as_seen(self, sheet: Sheet) -> NDArray[np.float64]:
        """What is read, flags from a string whose ends are where the sheet has them."""
        seen = dict(sheet)
        x_mm, apart = self.shop.x_mm, self.shop.table["strings"]["bars_apart_mm"]
        middle = np.mean(list(x_mm.values()))
        for wheel in WHEELS:
            side, half = wheel.partition("_")[2], 0.5 * self.shop.setup_wheel[wheel]["flag_span_mm"]
            for flag, way in (("front", half), ("rear", -half)):
                share = 0.5 + (x_mm[wheel] + way - middle) / apart
                seen[wheel, flag] -= share * sheet[side, "front bar"] + (1.0 - share) * sheet[side, "rear bar"]
        return np.array([seen[key] for key in self.keys])
