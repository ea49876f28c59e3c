"""Key against fill from the reference, no ball in the frame: traced tables, a traced ball as the truth.

    python -m bench fill

The reference's own ratio is given, as a ball that stood in it would. The key stays; a white board across from it makes
the change; the day's own change is 0.15 stop (standard deviation); the camera is set anew, and its settings are known
or not. Half of the later frames hold a thing that the reference did not. TEST dishes and photographs, seeds used in no
tuning (that was done on 26 tables of TRAIN dishes). `python -m bench fill train` prints those instead.
"""

import sys
from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np

from plateside.frames.edges import grey
from plateside.frames.exposure import small_linear
from plateside.frames.fill import FillRead, KnownFill, fill_since
from plateside.frames.register import register
from tests.synthetic.key_and_fill import KeyAndFill, Pair, pair, traced

TABLES = 12
RATIOS = ((2.0, 1.0), (2.0, 1.5), (2.0, 2.0), (1.5, 2.5), (1.0, 2.0), (2.0, 3.0))


@dataclass(frozen=True)
class Told:
    """One pair and what was read."""

    before: float
    after: float
    read: FillRead | None

    @property
    def error(self) -> float:
        assert self.read is not None and self.read.ratio_stops is not None
        return abs(self.read.ratio_stops - self.after)


def read_pair(two: Pair, both: KeyAndFill, *, settings_known: bool) -> Told:
    """Read one."""
    known = KnownFill(two.known_stops, "the ball", both.key_from_right, both.key_from_above)
    fit = register(grey(two.reference), grey(two.frame))
    small = small_linear(two.reference), small_linear(two.frame)
    by_settings = two.settings_stops if settings_known else None
    read = fill_since(*small, fit, two.reference.shape[1], known, by_settings) if fit.fits else None
    return Told(two.known_stops, two.truth_stops, read)


def _row(name: str, told: Sequence[Told]) -> None:
    said = [t for t in told if t.read is not None and t.read.ratio_stops is not None]
    if not said:
        print(f"  {name:28} none of {len(told)} told")
        return
    error = np.array([t.error for t in said])
    print(
        f"  {name:28} {len(said):3} of {len(told):<3} told, off by {np.median(error):.2f} stop (median), "
        f"{np.percentile(error, 90):.2f} (90 %), within 0.4 stop {np.mean(error <= 0.4):.0%}"
    )


def main() -> None:
    """Print how far the reading is from the truth."""
    tables = [traced(seed, for_test="train" not in sys.argv) for seed in range(TABLES)]
    for settings_known in (True, False):
        told = []
        for number, both in enumerate(tables):
            other = tables[number - 1].table[0]
            thing = np.asarray(cv2.resize(other / np.percentile(other, 98) * 0.5, (600, 400)), np.float32)
            for i, (before, after) in enumerate(RATIOS):
                rng = np.random.default_rng([53, number, i])
                two = pair(both, before, after, rng, thing=thing if rng.random() < 0.5 else None)
                told.append(read_pair(two, both, settings_known=settings_known))
        changed = [t for t in told if t.before != t.after]
        still = [t for t in told if t.before == t.after]
        print(f" settings {'known' if settings_known else 'not known'}")
        _row("all", told)
        _row("light as in the reference", still)
        _row("light changed", changed)
        said = [t for t in changed if t.read is not None and t.read.ratio_stops is not None]
        right = sum(
            np.sign(t.read.change_stops) == np.sign(t.after - t.before) for t in said if t.read is not None
        )
        exact = sum(t.read is not None and t.read.change_stops == 0 for t in still)
        print(
            f"  side of the change right in {right} of {len(said)}; unchanged told as such in {exact} of {len(still)}"
        )


if __name__ == "__main__":
    main()
