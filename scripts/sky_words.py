"""The light under the words 'overcast' and 'broken', from published typical years: what light/sky.py's numbers rest on.

    python -m scripts.sky_words FILE.epw ... FILE.csv ...

Each file is one place: an EPW (IWEC: ASHRAE; TMY3 as EPW: NREL) or a TMY3 CSV. Hours with the sun over 5 degrees; the
cloud that counts is the opaque one where a file tells it apart: nine tenths or more is overcast, four to seven
tenths broken.
An hour's irradiances become light by Perez 1990, as everywhere. Printed are, place by place, how the hours lie to the
word [stops] and how many its range holds; what these places would set; and the same for each place held out.
"""

import sys
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np

from plateside.light.sky import BROKEN_SKY, RANGES, TWILIGHT_LX
from tests.synthetic.sky_hours import CLOUD, Hours, held, hours_of

FEWEST = 15
"""Hours that make a median."""
HELD = (1 / 6, 5 / 6)
"""The percentiles between which two hours in three lie."""


def fit_overcast(places: Sequence[Hours]) -> tuple[float, float]:
    """OVERCAST_LX and OVERCAST_POWER: least squares in stops on each place's medians by tenths of the sine."""
    sines, medians = [], []
    for p in places:
        for low in np.arange(0.0, 1.0, 0.1):
            bin_ = (p.sine >= low) & (p.sine < low + 0.1)
            if bin_.sum() >= FEWEST:
                sines.append(float(np.median(p.sine[bin_])))
                medians.append(float(np.median(p.diffuse_lx[bin_])))
    slope, level = np.polyfit(np.log(sines), np.log(np.array(medians) - TWILIGHT_LX), 1)
    return float(np.exp(level)), float(slope)


def fit_broken(places: Sequence[Hours]) -> float:
    """BROKEN_SKY: the mean of the places' medians, times what the word had already."""
    return float(BROKEN_SKY * 2 ** np.mean([np.median(p.off_diffuse) for p in places]))


def refitted(places: Sequence[Hours], word: str, by: Sequence[Hours]) -> list[Hours]:
    """The places under the word as the places `by` would set it."""
    if word == "overcast":
        most, power = fit_overcast(by)
        return [replace(p, word_diffuse_lx=TWILIGHT_LX + most * p.sine**power) for p in places]
    change = fit_broken(by) / BROKEN_SKY
    return [replace(p, word_diffuse_lx=p.word_diffuse_lx * change) for p in places]


def fit_range(places: Sequence[Hours]) -> tuple[float, float]:
    """Factors on the word's light between which two hours in three lie, every place counting the same: of the light
    from the sky, and for the overcast word, that has no sun, of all light on open ground."""
    ends = []
    for kind in ("off_diffuse", "off_whole") if not places[0].word_normal_lx.any() else ("off_diffuse",):
        values = np.concatenate([getattr(p, kind) for p in places])
        weight = np.concatenate([np.full(p.sine.size, 1 / p.sine.size) for p in places])
        order = np.argsort(values)
        ends.append(np.interp(HELD, np.cumsum(weight[order]) / len(places), values[order]))
    return float(2 ** min(e[0] for e in ends)), float(2 ** max(e[1] for e in ends))


def main() -> None:
    paths = [Path(name) for name in sys.argv[1:]]
    for word in CLOUD:
        places = [hours_of(path, word) for path in paths]
        direct_high = RANGES[word][3]
        print(
            f"{word}: {sum(p.sine.size for p in places)} hours of {len(places)} places, as light/sky.py has it"
        )
        for p in places:
            share = held(p, RANGES[word][0], RANGES[word][1], direct_high)
            print(
                f"  {p.place:30s}{p.sine.size:5d} hours, half of them over {np.median(p.off_diffuse):+.2f} stop (sky), "
                f"{np.median(p.off_whole):+.2f} (all); in the range {share[0]:.0%}, {share[1]:.0%}"
            )
        made = refitted(places, word, places)
        numbers = fit_overcast(places) if word == "overcast" else (fit_broken(places),)
        print("  by these places:", *(f"{x:.4g}" for x in (*numbers, *fit_range(made))))
        for k, p in enumerate(places if len(places) > 2 else ()):
            others = places[:k] + places[k + 1 :]
            low, high = fit_range(refitted(others, word, others))
            one = refitted([p], word, others)[0]
            share = held(one, low, high, direct_high)
            print(
                f"  held out: {p.place:30s} {np.median(one.off_diffuse):+.2f} stop; in the range {share[0]:.0%}, "
                f"{share[1]:.0%}"
            )


if __name__ == "__main__":
    main()
