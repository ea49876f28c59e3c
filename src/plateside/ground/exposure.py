"""Exposure: light, f-number, shutter and ISO, exact and as the camera writes them.

`ev`, `ev100`                      exposure value
`exposure_s`, `f_number`, `iso`    each from the other three and the light (ISO 2720:1974, incident form)
`illuminance_lx`, `luminance_cd_m2`   light from settings or from EV
`level_share`, `lux_at_camera`     light on the dish, as a camera looks at it from an elevation
`apex`                             Av, Tv, Sv, Ev
`close_loss_stops`, `effective_f_number`     light lost on the way
`F_NUMBERS`, `SHUTTERS`, `ISOS`    thirds of a stop: exact value and nominal word
`nearest`, `f_number_words`, `shutter_words`, `iso_words`

Sources: ISO 2720:1974 (N²/t = E S/C, L S/K; C = 250 for a flat receptor, K = 12.5); exact scales 2**(k/6),
nominal marks as cameras are engraved (common practice). Computing is done on exact values throughout.
"""

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:  # its words are said by pages, whose server does without numpy
    import numpy as np
    from numpy.typing import NDArray

Number = TypeVar("Number", float, "NDArray[np.float64]")

INCIDENT_C = 250.0
"""Incident-light calibration constant for a flat receptor [lx s] (ISO 2720)."""
REFLECTED_K = 12.5
"""Reflected-light calibration constant [cd s/m²] (ISO 2720 allows 10.6 to 13.4)."""


def ev(f_number: float, exposure_s: float) -> float:
    """Exposure value log2(N²/t)."""
    return math.log2(f_number * f_number / exposure_s)


def ev100(f_number: float, exposure_s: float, iso: float = 100.0) -> float:
    """Exposure value brought to ISO 100."""
    return ev(f_number, exposure_s) - math.log2(iso / 100.0)


def ev100_of_light(illuminance_lx: float) -> float:
    """EV100 that light asks for; -inf for none."""
    return math.log2(illuminance_lx * 100.0 / INCIDENT_C) if illuminance_lx > 0 else -math.inf


def illuminance_lx(ev100: float, c: float = INCIDENT_C) -> float:
    """Illuminance [lx] that an EV100 stands for: 2.5 x 2**EV with C = 250."""
    return float(c / 100.0 * 2.0**ev100)


def luminance_cd_m2(ev100: float, k: float = REFLECTED_K) -> float:
    """Luminance [cd/m²] that an EV100 stands for: 2**(EV - 3) with K = 12.5."""
    return float(k / 100.0 * 2.0**ev100)


def exposure_s(f_number: Number, illuminance_lx: Number, iso: Number, c: float = INCIDENT_C) -> Number:
    """Shutter [s] for an f-number (the effective one at close focus), light [lx] and ISO."""
    return f_number * f_number * c / (illuminance_lx * iso)


def f_number(exposure_s: float, illuminance_lx: float, iso: float, c: float = INCIDENT_C) -> float:
    """f-number (effective) for a shutter [s], light [lx] and ISO."""
    return math.sqrt(exposure_s * illuminance_lx * iso / c)


def iso(f_number: Number, exposure_s: Number, illuminance_lx: Number, c: float = INCIDENT_C) -> Number:
    """ISO for an f-number (effective), shutter [s] and light [lx]."""
    return f_number * f_number * c / (exposure_s * illuminance_lx)


def effective_f_number(f_number: Number, magnification: Number, pupil_magnification: Number) -> Number:
    """N (1 + m/P): what the sensor gets at close focus."""
    return f_number * (1.0 + magnification / pupil_magnification)


def close_loss_stops(magnification: float, pupil_magnification: float = 1.0) -> float:
    """Light lost to close focus [stops]: 2 log2(1 + m/P)."""
    return 2.0 * math.log2(1.0 + magnification / pupil_magnification)


@dataclass(frozen=True)
class Apex:
    """Additive exposure numbers: Av + Tv = Ev; Sv is 5 at ISO 100."""

    av: float
    tv: float
    sv: float
    ev: float


def level_share(elevation_deg: float) -> float:
    """Share of the level reading in the light a camera sees on a dish: sin² of its elevation, all of it from above."""
    return math.sin(math.radians(elevation_deg)) ** 2


def lux_at_camera(level_lx: Number, facing_lx: Number, share: float) -> Number:
    """Light [lx] to expose for: tops of the food by the level reading, fronts by the one that faces the camera.

    E = E_facing + (E_level - E_facing) share: where both fall on one surface, a cosine split of the receptor (ours).
    """
    return facing_lx + (level_lx - facing_lx) * share


def apex(f_number: float, exposure_s: float, iso: float) -> Apex:
    """The additive (APEX) numbers of an exposure."""
    av, tv = 2.0 * math.log2(f_number), -math.log2(exposure_s)
    return Apex(av=av, tv=tv, sv=math.log2(iso / 3.125), ev=av + tv)


@dataclass(frozen=True)
class ScaleMark:
    """One mark of a scale: its exact value and the word the camera shows."""

    exact: float
    words: str


_F_WORDS = (
    "1 1.1 1.2 1.4 1.6 1.8 2 2.2 2.5 2.8 3.2 3.5 4 4.5 5 5.6 6.3 7.1 8 9 10 11 13 14 16 18 20 22 25 29 32 "
    "36 40 45 51 57 64"
)
_T_WORDS = (
    "30 25 20 15 13 10 8 6 5 4 3.2 2.5 2 1.6 1.3 1 0.8 0.6 1/2 0.4 1/3 1/4 1/5 1/6 1/8 1/10 1/13 1/15 1/20 "
    "1/25 1/30 1/40 1/50 1/60 1/80 1/100 1/125 1/160 1/200 1/250 1/320 1/400 1/500 1/640 1/800 1/1000 "
    "1/1250 1/1600 1/2000 1/2500 1/3200 1/4000 1/5000 1/6400 1/8000"
)
_ISO_WORDS = (
    "25 32 40 50 64 80 100 125 160 200 250 320 400 500 640 800 1000 1250 1600 2000 2500 3200 4000 5000 6400 "
    "8000 10000 12800 16000 20000 25600 32000 40000 51200 64000 80000 102400 128000 160000 204800"
)

F_NUMBERS = tuple(ScaleMark(2.0 ** (k / 6), f"f/{w}") for k, w in enumerate(_F_WORDS.split(" ")))
SHUTTERS = tuple(ScaleMark(2.0 ** ((15 - k) / 3), f"{w} s") for k, w in enumerate(_T_WORDS.split(" ")))
"""Slowest first."""
ISOS = tuple(ScaleMark(100.0 * 2.0 ** ((k - 6) / 3), f"ISO {w}") for k, w in enumerate(_ISO_WORDS.split(" ")))


def nearest(scale: tuple[ScaleMark, ...], value: float) -> ScaleMark:
    """The mark nearest to a value, in stops."""
    return min(scale, key=lambda mark: abs(math.log2(mark.exact / value)))


def f_number_words(value: float) -> str:
    """'f/5.6'."""
    return nearest(F_NUMBERS, value).words


def shutter_words(value_s: float) -> str:
    """'1/60 s'; beyond 30 s, whole seconds."""
    if value_s > 36.0:
        return f"{value_s:.0f} s"
    return nearest(SHUTTERS, value_s).words


def iso_words(value: float) -> str:
    """'ISO 640'."""
    return nearest(ISOS, value).words


def within(scale: tuple[ScaleMark, ...], low: float, high: float) -> tuple[ScaleMark, ...]:
    """Marks from `low` to `high`, which may be nominal: half a step of slack each way; never empty."""
    slack = abs(scale[1].exact / scale[0].exact) ** 0.5
    slack = max(slack, 1.0 / slack)
    inside = tuple(m for m in scale if low / slack < m.exact < high * slack)
    return inside or (nearest(scale, low),)
