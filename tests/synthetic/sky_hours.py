"""Hours of measured skies, and the words that hold for them."""

import csv
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from plateside.light import perez
from plateside.light.sky import word_series
from plateside.light.sun import sun_positions
from plateside.light.weather.epw import parse_epw
from plateside.light.weather.hours import Weather
from plateside.light.weather.tmy3 import parse_tmy3
from plateside.model.room import Place

Floats = NDArray[np.float64]


LEAST_SUN_DEG = 5.0


CLOUD = {"overcast": (0.85, 1.01), "broken": (0.35, 0.75)}
"""Opaque cloud, from and below [share of the sky]."""


YEAR = 2023
"""Any that is no leap year: only the sun's place is asked."""


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


def held(p: Hours, low: float, high: float, direct_high: float) -> tuple[float, float]:
    """Share of a place's hours in the range: of the light from the sky, and of all on open ground."""
    sky = (p.off_diffuse >= np.log2(low)) & (p.off_diffuse <= np.log2(high))
    whole = p.diffuse_lx + p.normal_lx * p.sine
    top = high * p.word_diffuse_lx + direct_high * p.word_normal_lx * p.sine
    bottom = low * p.word_diffuse_lx + (1.0 if direct_high == 1.0 else 0.0) * p.word_normal_lx * p.sine
    return float(sky.mean()), float(((whole >= bottom) & (whole <= top)).mean())
