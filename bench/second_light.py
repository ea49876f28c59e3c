"""A second light suspected from one frame: found and false by family of made scenes, none used in fitting.

    python -m bench.second_light [folder]     (folder keeps the traced tables between runs; else they are traced anew)

Lamps of 2500 to 3500 K that give a fifth to a half of the light somewhere on the hero (its brightest twentieth against
the window), windows of 5000 to 11 000 K. `as told`: at the limit set on other scenes (bench/made/fit_lamps.py).
Intervals are Wilson's, 95 %, frames of one table taken as if independent, which they are not quite.
"""

import sys
import tempfile
from collections.abc import Iterable, Sequence
from dataclasses import replace
from importlib.util import find_spec
from pathlib import Path

import numpy as np

from bench.made.fit_lamps import Case, flat_cases, rich_cases, traced_cases
from bench.made.scenes import TEST
from plateside.frames.exposure import small_linear
from plateside.frames.second_light import suspicion
from plateside.frames.verdict import SUSPECTED

FLATS, TABLES, MIXES, RICH, RICH_MIXES = 200, 28, 6, 36, 8
FLATS_FROM, TABLES_FROM, RICH_FROM = 400_000, 42, 44
"""Scenes before these served earlier figures. These have also served to compare a way that was not taken
(docs/decisions/0005-frames.md): a change needs flat scenes from 600 000, tables from 70 and rich tables from 80 on."""
Judged = list[tuple[Case, float]]


def wilson(hits: int, number: int) -> tuple[float, float]:
    """95 % interval of a share (Wilson, J. Am. Stat. Assoc. 22, 1927)."""
    if number == 0:
        return 0.0, 1.0
    z, p = 1.96, hits / number
    middle = (p + z * z / (2 * number)) / (1 + z * z / number)
    half = z * float(np.sqrt(p * (1 - p) / number + z * z / (4 * number**2))) / (1 + z * z / number)
    return max(middle - half, 0.0), min(middle + half, 1.0)


def judged(cases: Iterable[Case]) -> Judged:
    """Each case without its picture, and how strongly a lamp is suspected."""
    out = []
    for case in cases:
        strength = suspicion(small_linear(case.picture)).strength
        out.append((replace(case, picture=case.picture[:1, :1]), strength))
    return out


def _told(title: str, hits: Sequence[bool]) -> str:
    low, high = wilson(sum(hits), len(hits))
    return f"{title} {sum(hits):4d} of {len(hits):<4d} {np.mean(hits) if hits else 0:4.0%} ({low:.0%} to {high:.0%})"


def row(name: str, all_judged: Judged) -> None:
    """One line of the table."""
    off = [s for case, s in all_judged if not case.lamp]
    on = [s for case, s in all_judged if case.lamp]
    at_five = float(np.mean(np.array(on) > np.quantile(off, 0.95)))
    found = _told("found", [s >= SUSPECTED for s in on])
    false = _told("false", [s >= SUSPECTED for s in off])
    print(f"{name:28} {found}   {false}   at 5 % false alarms: {at_five:.0%} found")


def main() -> None:
    """Print the table."""
    print("one frame, as told")
    row("flat scenes", judged(flat_cases(TEST, FLATS, FLATS_FROM)))
    if find_spec("mitsuba") is None:
        print("traced tables: the renderer is not installed (pip install 'plateside[picture]')")
        return
    with tempfile.TemporaryDirectory() as own:
        given = [a for a in sys.argv[1:] if Path(a).is_dir()]
        folder = Path(given[0] if given else own)
        traced = judged(traced_cases(folder, TABLES, MIXES, for_test=True, first=TABLES_FROM))
        rich = judged(rich_cases(folder, RICH, RICH_MIXES, for_test=True, first=RICH_FROM))
    row("traced tables", traced)
    row("rich tables", rich)
    row("  sky alone", [j for j in rich if not j[0].sun])
    row("  sky and sun", [j for j in rich if j[0].sun])
    for low, high in ((0.0, 0.15), (0.15, 0.4), (0.4, 1.01)):
        hits = [s >= SUSPECTED for case, s in rich if case.lamp and low <= case.fifth_share < high]
        name = f"  a fifth or more on {low:.0%} to {min(high, 1):.0%} of the hero"
        print(f"{name:48} {_told('found', hits)}")
    for low, high in ((0.2, 0.3), (0.3, 0.4), (0.4, 0.5)):
        hits = [s >= SUSPECTED for case, s in (*traced, *rich) if case.lamp and low <= case.share < high]
        name = f"  tables, {low:.0%} to {high:.0%} of the light"
        print(f"{name:48} {_told('found', hits)}")


if __name__ == "__main__":
    main()
