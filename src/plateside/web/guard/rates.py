"""How often somebody may ask: token buckets, so that a flood costs the flooder and nobody else."""

import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Rate:
    """So many at once, so many a second after that."""

    at_once: float
    per_s: float


DESK = Rate(3000, 500)
PAIRED = Rate(800, 200)
STRANGER = Rate(40, 2)
PAIRING = Rate(8, 0.1)
"""Tries of a pairing secret from one address."""
MOST_KNOWN = 2000


class Buckets:
    """One bucket for each who; the longest unseen is forgotten when there are too many."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._left: OrderedDict[tuple[str, Rate], tuple[float, float]] = OrderedDict()

    def allows(self, who: str, rate: Rate) -> bool:
        """Whether `who` may ask once more now; asking counts."""
        now = self._clock()
        left, last_asked = self._left.pop((who, rate), (rate.at_once, now))
        left = min(rate.at_once, left + (now - last_asked) * rate.per_s)
        allowed = left >= 1
        self._left[who, rate] = (left - 1 if allowed else left, now)
        if len(self._left) > MOST_KNOWN:
            self._left.popitem(last=False)
        return allowed
