"""How often a frame is taken for one of the colour chart: with the chart in it, with what looks like one, with neither.

    python -m bench chart_frames

Charts and look-alikes are rendered on tables (tests/synthetic/chart_frames.py), 24 megapixels at half size, seeds from
9000; frames without either are those of `false_finds`.
"""

from collections.abc import Callable, Iterable
from functools import partial

import numpy as np

from bench.false_finds import Picture, cakes, made, photographs, traced
from plateside.finish.chart_seen import MOST_MEAN, chart_apart
from tests.synthetic.chart_frames import LOOK_ALIKES, as_shown, chart_flat, look_alike, seen_on, table

EACH = 20
CHARTS = {
    "a third of the width": (0.33, 0.0, 25, 0.0), "at an angle": (0.33, 0.4, 25, 0.0), "any turn": (0.25, 0.2, 90, 0.0),
    "an eighth": (0.125, 0.15, 25, 0.0), "a twelfth": (0.083, 0.1, 25, 0.0), "3 stops dim": (0.3, 0.2, 25, -3.0),
    "4 stops dim": (0.3, 0.2, 25, -4.0), "1/3 stop over": (0.3, 0.1, 25, 0.33),
}  # fmt: skip
"""Width, slant and turn at most, stops."""


def charted(how: tuple[float, float, float, float], rng: np.random.Generator) -> Picture:
    width, slant, turn, stops = how
    flat = chart_flat(rng.uniform(0.08, 0.25))
    turned = rng.uniform(-turn, turn) + 180 * int(rng.integers(2))
    return as_shown(
        seen_on(table(rng), flat, rng, width, turned, slant * rng.random()), rng, stops, noise=0.003
    )


def alike(kind: str, rng: np.random.Generator) -> Picture:
    thing, width = look_alike(kind, rng), rng.uniform(0.2, 0.7)
    laid = seen_on(table(rng), thing, rng, width, rng.uniform(-40, 40), rng.uniform(0, 0.3))
    return as_shown(laid, rng, rng.uniform(-2, 0.3))


def tell(what: str, frames: Iterable[Picture]) -> None:
    """Print how many are seen, and how far off the colours of any 24 patches are."""
    apart = np.array([chart_apart(frame) for frame in frames])
    known = apart[np.isfinite(apart)]
    off = f"{known.min():.1f} to {known.max():.1f}" if known.size else "-"
    print(f"  {what:22}{(apart < MOST_MEAN).sum():4} of {apart.size:3} seen; CIEDE2000 {off}", flush=True)


def several(make: Callable[[np.random.Generator], Picture]) -> Iterable[Picture]:
    return (make(np.random.default_rng([9000, n])) for n in range(EACH))


def main() -> None:
    """Print the table."""
    for what, how in CHARTS.items():
        tell(what, several(partial(charted, how)))
    for kind in LOOK_ALIKES:
        tell(kind, several(partial(alike, kind)))
    for what, frames in {
        "made": made(60),
        "traced": traced(6),
        "photographs": photographs(),
        "cakes": cakes(60),
    }.items():
        tell(what, frames)


if __name__ == "__main__":
    main()
