"""The light under the words 'overcast' and 'broken', from published typical years: what light/sky.py's numbers rest on.

    python -m scripts.sky_words FILE.epw ... FILE.csv ...

Each file is one place: an EPW (IWEC: ASHRAE; TMY3 as EPW: NREL) or a TMY3 CSV. Hours with the sun over 5 degrees; the
cloud that counts is the opaque one where a file tells it apart: nine tenths or more is overcast, four to seven
tenths broken.
An hour's irradiances become light by Perez 1990, as everywhere. Printed are, place by place, how the hours lie to the
word [stops] and how many its range holds; what these places would set; and the same for each place held out.
"""

import csv
import sys
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from plateside.light import perez
from plateside.light.sky import BROKEN_SKY, RANGES, TWILIGHT_LX, word_series
from plateside.light.sun import sun_positions
from plateside.light.weather.epw import parse_epw
from plateside.light.weather.hours import Weather
from plateside.light.weather.tmy3 import parse_tmy3
from plateside.model.studio import Place

Floats = NDArray[np.float64]
LEAST_SUN_DEG = 5.0
CLOUD = {"overcast": (0.85, 1.01), "broken": (0.35, 0.75)}
"""Opaque cloud, from and below [share of the sky]."""
YEAR = 2023
"""Any that is no leap year: only the sun's place is asked."""
FEWEST = 15
"""Hours that make a median."""
HELD = (1 / 6, 5 / 6)
"""The percentiles between which two hours in three lie."""


@dataclass(frozen=True)
class Hours:
    """The daylit hours of one place under one word."""

    place: str
    elevation_deg: Floats
    diffuse_lx: Floats
    normal_lx: Floats
    word_diffuse_lx: Floats
    word_normal_lx: Floats

    @property
    def sine(self) -> Floats:
        return np.asarray(np.sin(np.radians(self.elevation_deg)))

    @property
    def off_diffuse(self) -> Floats:
        """The hours' light from the sky over the word's [stops]."""
        return np.asarray(np.log2(self.diffuse_lx / self.word_diffuse_lx))

    @property
    def off_whole(self) -> Floats:
        """The hours' light on open ground over the word's [stops]."""
        ours = self.word_diffuse_lx + self.word_normal_lx * self.sine
        return np.asarray(np.log2((self.diffuse_lx + self.normal_lx * self.sine) / ours))


def opaque_share(path: Path) -> Floats:
    """Opaque cloud by the file's rows; total cloud where opaque is not told."""
    rows = list(csv.reader(path.read_text(encoding="utf-8", errors="replace").splitlines()))
    if rows[0][0].upper() == "LOCATION":
        total = np.array([float(row[22]) for row in rows[8:] if len(row) > 23])
        opaque = np.array([float(row[23]) for row in rows[8:] if len(row) > 23])
    else:
        head = [name.strip() for name in rows[1]]
        total = np.array([float(row[head.index("TotCld (tenths)")]) for row in rows[2:]])
        opaque = np.array([float(row[head.index("OpqCld (tenths)")]) for row in rows[2:]])
    known = (opaque >= 0) & (opaque <= 10)
    return np.asarray(np.where(known, opaque, np.where(total <= 10, total, np.nan)) / 10)


def read(path: Path) -> Weather:
    text = path.read_text(encoding="utf-8", errors="replace")
    return parse_epw(text) if text[:9].upper() == "LOCATION," else parse_tmy3(text)


def hours_of(path: Path, word: str) -> Hours:
    """A typical year's hours under that word."""
    weather = read(path)
    days = np.flatnonzero(np.arange(366) != 59)  # the table's own copy of 29 February is no hour of the file
    rows = (days[:, None] * 24 + np.arange(24)).ravel()
    local = np.datetime64(f"{YEAR}-01-01T00:30") + np.arange(365 * 24) * np.timedelta64(3600, "s")
    seconds = local.astype("datetime64[s]").astype(np.float64) - weather.utc_offset_h * 3600
    place = Place(
        latitude_deg=weather.latitude_deg, longitude_deg=weather.longitude_deg, timezone="UTC",
        altitude_m=max(weather.altitude_m, 0.0),
    )  # fmt: skip
    sun = sun_positions(place, seconds)
    day = np.repeat(np.arange(1.0, 366.0), 24)
    low, high = CLOUD[word]
    cloud = opaque_share(path)
    dni, dhi = weather.hours.direct_normal_w_m2[rows], weather.hours.diffuse_horizontal_w_m2[rows]
    dew = np.nan_to_num(weather.hours.dew_point_c[rows], nan=10.0)
    use = (cloud >= low) & (cloud < high) & (sun.elevation_deg > LEAST_SUN_DEG) & (dhi > 1.0)
    h = sun.elevation_deg[use]
    diffuse, normal = perez.illuminances(dni[use], dhi[use], h, day[use], dew[use])
    said = word_series(word, h, altitude_m=place.altitude_m, day_of_year=day[use])
    return Hours(weather.place_name, h, diffuse, normal, said.diffuse_horizontal_lx, said.direct_normal_lx)


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


def held(p: Hours, low: float, high: float, direct_high: float) -> tuple[float, float]:
    """Share of a place's hours in the range: of the light from the sky, and of all on open ground."""
    sky = (p.off_diffuse >= np.log2(low)) & (p.off_diffuse <= np.log2(high))
    whole = p.diffuse_lx + p.normal_lx * p.sine
    top = high * p.word_diffuse_lx + direct_high * p.word_normal_lx * p.sine
    bottom = low * p.word_diffuse_lx + (1.0 if direct_high == 1.0 else 0.0) * p.word_normal_lx * p.sine
    return float(sky.mean()), float(((whole >= bottom) & (whole <= top)).mean())


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
