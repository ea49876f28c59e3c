"""What the sky gives: luminance over the sky, light on the ground, the sun's light, by word, by type or by measurement.

Sky               the sky at one moment
SkySeries         the sky at many moments
sky_for           a word or a Sky, made ready for moments
cie_sky           one of CIE's fifteen general skies, or 16, the traditional overcast sky
perez_series      a sky from irradiances (a weather file, a clear-sky model, a cloud forecast)

**Words.** Every word stands for a published model and for a range (low, high: factors on the value, about two times in
three; the ranges are ours, judged from the scatter those models' authors report):

clear     CIE type 12. Irradiances of the simplified Solis model (P. Ineichen, Solar Energy 82, 2008) with
          aerosol optical depth 0.1 at 700 nm and 1.4 cm of water; luminous efficacy by Perez 1990.
hazy      CIE type 13. The same with aerosol optical depth 0.35 and 2.0 cm.
broken    CIE type 10. The clear sky under 5 eighths of cloud by F. Kasten and G. Czeplak (Solar Energy 24, 1980):
          global x (1 - 0.75 N^3.4), diffuse/global = 0.3 + 0.7 N^2, N = 5/8; then the sky's part times BROKEN_SKY, so
          that the hours of published typical years with four to seven tenths of opaque cloud lie evenly about it. The
          sun comes and goes: its light is the mean over time, its range reaches from none to all of the clear sun's.
overcast  The traditional overcast sky (type 16), horizontal illuminance 300 + OVERCAST_LX sin(h)^OVERCAST_POWER lux, h
          the sun's elevation: the middle of the hours with nine tenths of opaque cloud or more. No sun.

The numbers of broken and overcast, and both ranges, are fitted by scripts/sky_words.py to the hours of nine published
typical years; two more places are held out (docs/measured.md).

**Twilight**: from the sun's setting to 6 degrees below, the light falls from 300 lx to 3.4 lx (end of civil
twilight, US Naval Observatory), evenly in stops, and goes on so.
Over the sun's last degree above the horizon the day's light goes over into it.

**Colour** (correlated colour temperature, on the daylight locus): the overcast sky 6500 K, broken 7000 K (published:
overcast 6000-7000), hazy 8000 K (shade under a hazy sky 7500-8400), clear 12500 K (blue sky alone 12000-20000, and
12500 by the spectral model below with the sun at 45 degrees); direct sun by its elevation, SUN_CCT_K (published: noon
sun 5000-5600, sunset 1900-2400).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from plateside.light import perez
from plateside.light.cie_types import CIE_TYPES, TRADITIONAL
from plateside.light.ineichen2008 import solis_irradiances
from plateside.light.sky_light import KINDS, OVERCAST, PEREZ, relative_luminance
from plateside.light.sky_tables import CIE_GRADATION, CIE_INDICATRIX
from plateside.light.sun import pressure_hpa
from plateside.model.errors import RefusedError
from plateside.model.light_answers import Array, IntArray

SKY_WORDS = ("clear", "hazy", "broken", "overcast")

AEROSOL = {"clear": 0.1, "hazy": 0.35, "broken": 0.1}
WATER_CM = {"clear": 1.4, "hazy": 2.0, "broken": 1.4}
CIE_TYPE = {"clear": 12, "hazy": 13, "broken": 10, "overcast": 16}
SKY_CCT_K = {"clear": 12500.0, "hazy": 8000.0, "broken": 7000.0, "overcast": 6500.0}
CLOUD_SHARE = 5 / 8
BROKEN_SKY = 0.78
OVERCAST_LX, OVERCAST_POWER = 48000.0, 1.39
RANGES = {
    "clear": (0.8, 1.35, 0.85, 1.08),
    "hazy": (0.75, 1.35, 0.6, 1.25),
    "broken": (0.6, 1.3, 0.0, 2.5),
    "overcast": (0.55, 1.65, 1.0, 1.0),
}
"""Low and high of the diffuse part, low and high of the sun's part."""
TWILIGHT_LX = 300.0
LAST_DEG = 1.0
TWILIGHT_END_LX, TWILIGHT_END_DEG = 3.4, -6.0

SUN_CCT_ELEVATION_DEG = np.array([1.0, 2.0, 3.0, 5.0, 7.0, 10.0, 15.0, 20.0, 30.0, 45.0, 60.0, 90.0])
SUN_CCT_K = np.array([1720.0, 2120, 2480, 3050, 3460, 3900, 4360, 4640, 4980, 5220, 5340, 5420])
"""Made by scripts/sun_colour.py from the spectral model of R. Bird and C. Riordan (Journal of Climate and Applied
Meteorology 25,
1986; pvlib's spectrl2): aerosol optical depth 0.08 at 500 nm, 1.4 cm of water, 0.3 cm of ozone."""


@dataclass(frozen=True)
class Sky:
    """The sky at one moment: how luminance is spread over it, and how much light it gives.

    Luminance follows (1 + a exp(b / sin g)) (1 + c [exp(d x) - k exp(d pi/2)] + e cos2 x), g the elevation of the
    point, x its angle from the sun; k is 1 for CIE's general skies and 0 for Perez's; or, for the traditional
    overcast sky, (1 + 2 sin g)/3. It is scaled so that the horizontal gets `diffuse_horizontal_lx`.
    """

    name: str
    kind: str
    """"cie", "perez" or "overcast" (the traditional overcast sky)."""
    a: float
    b: float
    c: float
    d: float
    e: float
    diffuse_horizontal_lx: float
    direct_normal_lx: float
    sky_cct_k: float = 6500.0
    sun_cct_k: float = 5500.0
    low: float = 1.0
    """Low end of the sky's light, as a factor."""
    high: float = 1.0
    direct_low: float = 1.0
    """Low end of the sun's light, as a factor."""
    direct_high: float = 1.0


@dataclass(frozen=True)
class SkySeries:
    """The sky at t moments; arrays (t,), shape (t, 5)."""

    name: str
    kind: IntArray
    shape: Array
    diffuse_horizontal_lx: Array
    direct_normal_lx: Array
    sky_cct_k: Array
    sun_cct_k: Array
    low: float = 1.0
    high: float = 1.0
    direct_low: float = 1.0
    direct_high: float = 1.0

    def at(self, index: int) -> Sky:
        """The sky at one of the moments."""
        words = {number: word for word, number in KINDS.items()}
        a, b, c, d, e = (float(x) for x in self.shape[index])
        return Sky(
            self.name, words[int(self.kind[index])], a, b, c, d, e, float(self.diffuse_horizontal_lx[index]),
            float(self.direct_normal_lx[index]), float(self.sky_cct_k[index]), float(self.sun_cct_k[index]),
            self.low, self.high, self.direct_low, self.direct_high,
        )  # fmt: skip


def sun_cct_k(elevation_deg: Array) -> Array:
    """Correlated colour temperature of the direct sun [K] by its elevation."""
    return np.asarray(np.interp(elevation_deg, SUN_CCT_ELEVATION_DEG, SUN_CCT_K))


def twilight_lx(true_elevation_deg: Array) -> Array:
    """Horizontal illuminance of the twilight sky [lx], at most TWILIGHT_LX."""
    slope = np.log(TWILIGHT_LX / TWILIGHT_END_LX) / -TWILIGHT_END_DEG
    return np.asarray(TWILIGHT_LX * np.exp(slope * np.clip(true_elevation_deg, -18.0, 0.0)))


def _into_the_night(diffuse_lx: Array, elevation_deg: Array, true_elevation_deg: Array) -> Array:
    """By day the sky's own light, by night twilight's; over the sun's last degree the one becomes the other."""
    dusk = twilight_lx(true_elevation_deg)
    day = np.log(np.maximum(diffuse_lx, dusk) / dusk)
    return np.asarray(dusk * np.exp(day * np.clip(elevation_deg / LAST_DEG, 0.0, 1.0)))


def cie_sky(
    number: int, diffuse_horizontal_lx: float, direct_normal_lx: float = 0.0, sky_cct_k: float = 6500.0,
    sun_cct_k: float = 5500.0,
) -> Sky:  # fmt: skip
    """CIE general sky 1 to 15, or 16, the traditional overcast sky, with the light it gives."""
    if number == TRADITIONAL:
        return Sky(
            f"cie:{TRADITIONAL}", "overcast", 0, -1, 0, -1, 0, diffuse_horizontal_lx, direct_normal_lx,
            sky_cct_k, sun_cct_k,
        )  # fmt: skip
    if number not in CIE_TYPES:
        raise RefusedError("no such sky type", got=number)
    gradation, indicatrix = CIE_TYPES[number]
    a, b = CIE_GRADATION[gradation]
    c, d, e = CIE_INDICATRIX[indicatrix]
    return Sky(
        f"cie:{number}",
        "cie",
        a,
        b,
        c,
        d,
        e,
        diffuse_horizontal_lx,
        direct_normal_lx,
        sky_cct_k,
        sun_cct_k,
    )


def luminance_ratio(sky: Sky, elevation_deg: float, from_sun_deg: float, sun_elevation_deg: float) -> float:
    """Luminance of a point of the sky over the zenith's; the point's elevation and its angle from the sun [deg]."""
    kind = KINDS[sky.kind]
    of = (kind, sky.a, sky.b, sky.c, sky.d, sky.e)
    point = relative_luminance(
        *of, float(np.sin(np.radians(elevation_deg))), float(np.cos(np.radians(from_sun_deg)))
    )
    return float(point / relative_luminance(*of, 1.0, float(np.sin(np.radians(sun_elevation_deg)))))


def clear_irradiances(
    elevation_deg: Array, aerosol: float, water_cm: float, altitude_m: float, day_of_year: Array | float
) -> tuple[Array, Array]:
    """Direct normal and diffuse horizontal irradiance of a cloudless sky [W/m2] (simplified Solis)."""
    dni, dhi = solis_irradiances(
        np.maximum(elevation_deg, 0.01), aerosol, water_cm, pressure_hpa(altitude_m),
        perez.extraterrestrial_wm2(day_of_year),
    )  # fmt: skip
    up = elevation_deg > 0
    return np.where(up, dni, 0.0), np.where(up, dhi, 0.0)


def word_series(
    word: str, elevation_deg: Array, *, true_elevation_deg: Array | None = None, altitude_m: float = 0.0,
    day_of_year: Array | float = 172.0,
) -> SkySeries:  # fmt: skip
    """The sky of a word at moments when the sun stands at these elevations [deg]."""
    if word not in SKY_WORDS:
        raise RefusedError("no such sky", got=word, allowed=SKY_WORDS)
    h = np.asarray(elevation_deg, dtype=np.float64)
    low_h = h if true_elevation_deg is None else true_elevation_deg
    direct = np.zeros_like(h)
    if word == "overcast":
        diffuse = TWILIGHT_LX + OVERCAST_LX * np.sin(np.radians(np.maximum(h, 0.0))) ** OVERCAST_POWER
    else:
        dni, dhi = clear_irradiances(h, AEROSOL[word], WATER_CM[word], altitude_m, day_of_year)
        if word == "broken":
            sine = np.sin(np.radians(np.maximum(h, 0.01)))
            under_cloud = (dni * sine + dhi) * (1 - 0.75 * CLOUD_SHARE**3.4)
            dhi = under_cloud * (0.3 + 0.7 * CLOUD_SHARE**2)
            dni = np.minimum(dni, np.maximum(under_cloud - dhi, 0.0) / sine)
            dhi = dhi * BROKEN_SKY
        diffuse, direct = perez.illuminances(dni, dhi, h, day_of_year)
        direct = np.where(h > 0, direct, 0.0)
    diffuse = _into_the_night(diffuse, h, low_h)
    plain = cie_sky(CIE_TYPE[word], 1.0)
    count = h.size
    low, high, direct_low, direct_high = RANGES[word]
    return SkySeries(
        name=word,
        kind=np.full(count, KINDS[plain.kind], dtype=np.int64),
        shape=np.tile([plain.a, plain.b, plain.c, plain.d, plain.e], (count, 1)).astype(np.float64),
        diffuse_horizontal_lx=diffuse,
        direct_normal_lx=direct,
        sky_cct_k=np.full(count, SKY_CCT_K[word]),
        sun_cct_k=sun_cct_k(h),
        low=low, high=high, direct_low=direct_low, direct_high=direct_high,
    )  # fmt: skip


def perez_series(
    dni_wm2: Array, dhi_wm2: Array, elevation_deg: Array, *, true_elevation_deg: Array | None = None,
    day_of_year: Array | float = 172.0, dew_point_c: Array | float = 10.0, name: str = "measured",
    low: float = 0.8, high: float = 1.25,
) -> SkySeries:  # fmt: skip
    """The sky from direct normal and diffuse horizontal irradiance [W/m2] at moments with these sun elevations [deg].

    low, high  range of the light, as factors
    """
    h = np.asarray(elevation_deg, dtype=np.float64)
    low_h = h if true_elevation_deg is None else true_elevation_deg
    dni = np.where(h > 0, np.maximum(dni_wm2, 0.0), 0.0)
    dhi = np.maximum(np.asarray(dhi_wm2, dtype=np.float64), 0.0)
    diffuse, direct = perez.illuminances(dni, dhi, h, day_of_year, dew_point_c)
    which, _ = perez.clearness_brightness(dni, dhi, h, day_of_year)
    dark = dhi <= 0.5
    shape = perez.shape(dni, dhi, h, day_of_year)
    plain = cie_sky(16, 1.0)
    shape[dark] = [plain.a, plain.b, plain.c, plain.d, plain.e]
    diffuse = _into_the_night(diffuse, h, low_h)
    return SkySeries(
        name=name,
        kind=np.where(dark, OVERCAST, PEREZ).astype(np.int64),
        shape=shape,
        diffuse_horizontal_lx=diffuse,
        direct_normal_lx=direct,
        sky_cct_k=np.interp(which, [0, 2, 5, 7], [6500.0, 7000.0, 8000.0, 12500.0]),
        sun_cct_k=sun_cct_k(h),
        low=low, high=high, direct_low=low, direct_high=high,
    )  # fmt: skip


def sky_for(
    sky: "str | Sky | SkySeries", elevation_deg: Array, *, true_elevation_deg: Array | None = None,
    altitude_m: float = 0.0, day_of_year: Array | float = 172.0,
) -> SkySeries:  # fmt: skip
    """A word, a Sky (the same at every moment) or a series, for moments with these sun elevations [deg]."""
    if isinstance(sky, str):
        return word_series(
            sky,
            elevation_deg,
            true_elevation_deg=true_elevation_deg,
            altitude_m=altitude_m,
            day_of_year=day_of_year,
        )
    count = np.asarray(elevation_deg).size
    if isinstance(sky, SkySeries):
        if sky.diffuse_horizontal_lx.size != count:
            raise RefusedError("sky of other moments", got=int(sky.diffuse_horizontal_lx.size), wanted=count)
        return sky
    return SkySeries(
        name=sky.name,
        kind=np.full(count, KINDS[sky.kind], dtype=np.int64),
        shape=np.tile([sky.a, sky.b, sky.c, sky.d, sky.e], (count, 1)).astype(np.float64),
        diffuse_horizontal_lx=np.full(count, sky.diffuse_horizontal_lx),
        direct_normal_lx=np.full(count, sky.direct_normal_lx),
        sky_cct_k=np.full(count, sky.sky_cct_k),
        sun_cct_k=np.full(count, sky.sun_cct_k),
        low=sky.low, high=sky.high, direct_low=sky.direct_low, direct_high=sky.direct_high,
    )  # fmt: skip


def joined(name: str, parts: Sequence[SkySeries]) -> SkySeries:
    """Series one after another as one; the widest range of all."""
    return replace(
        parts[0],
        name=name,
        kind=np.concatenate([p.kind for p in parts]),
        shape=np.concatenate([p.shape for p in parts]),
        diffuse_horizontal_lx=np.concatenate([p.diffuse_horizontal_lx for p in parts]),
        direct_normal_lx=np.concatenate([p.direct_normal_lx for p in parts]),
        sky_cct_k=np.concatenate([p.sky_cct_k for p in parts]),
        sun_cct_k=np.concatenate([p.sun_cct_k for p in parts]),
        low=min(p.low for p in parts),
        high=max(p.high for p in parts),
        direct_low=min(p.direct_low for p in parts),
        direct_high=max(p.direct_high for p in parts),
    )
