"""The sun's place among the stars and the Earth's turn, from a published series, cut short.

apparent_sun   right ascension, declination, distance and apparent sidereal time
delta_t_s      terrestrial minus universal time

Earth's longitude and distance: the VSOP87 terms (P. Bretagnon, G. Francou, Astronomy and Astrophysics 202, 1988) as
abridged by J. Meeus, Astronomical Algorithms, and printed in I. Reda, A. Andreas, NREL/TP-560-34302, table A4.2; of
those the terms of 2e-6 rad and more. Nutation: its four greatest terms (Meeus, chapter 22); the Sun's latitude, always
under 1.2 arc seconds, is taken as none. Delta T: F. Espenak and J. Meeus, Five Millennium Canon of Solar Eclipses
(NASA/TP-2006-214141). Against the whole algorithm, 1990 to 2100, the direction to the sun is within 0.002 degrees.
"""

import numpy as np

from plateside.model.light_answers import Array

LONGITUDE = (
    ((1.75347046, 0.0, 0.0), (0.03341656, 4.6692568, 6283.07585), (3.4894e-4, 4.6261, 12566.1517),
     (3.497e-5, 2.7441, 5753.3849), (3.418e-5, 2.8289, 3.5231), (3.136e-5, 3.6277, 77713.7715),
     (2.676e-5, 4.4181, 7860.4194), (2.343e-5, 6.1352, 3930.2097), (1.324e-5, 0.7425, 11506.7698),
     (1.273e-5, 2.0371, 529.691), (1.199e-5, 1.1096, 1577.3435), (9.9e-6, 5.233, 5884.927), (9.02e-6, 2.045, 26.298),
     (8.57e-6, 3.508, 398.149), (7.8e-6, 1.179, 5223.694), (7.53e-6, 2.533, 5507.553), (5.05e-6, 4.583, 18849.228),
     (4.92e-6, 4.205, 775.523), (3.57e-6, 2.92, 0.067), (3.17e-6, 5.849, 11790.629), (2.84e-6, 1.899, 796.298),
     (2.71e-6, 0.315, 10977.079), (2.43e-6, 0.345, 5486.778), (2.06e-6, 4.806, 2544.314), (2.05e-6, 1.869, 5573.143),
     (2.02e-6, 2.458, 6069.777)),
    ((6283.31966747, 0.0, 0.0), (2.06059e-3, 2.678235, 6283.07585), (4.303e-5, 2.6351, 12566.1517),
     (4.25e-6, 1.59, 3.523)),
    ((5.2919e-4, 0.0, 0.0), (8.72e-5, 1.0721, 6283.0758), (3.09e-6, 0.867, 12566.152)),
    ((2.89e-6, 5.844, 6283.076),),
)  # fmt: skip
"""Amplitude [rad], phase [rad], rate [rad in a thousand years], by powers of the time in thousands of years."""
DISTANCE = (
    ((1.00013989, 0.0, 0.0), (0.016707, 3.0984635, 6283.07585), (1.3956e-4, 3.05525, 12566.1517),
     (3.084e-5, 5.1985, 77713.7715), (1.628e-5, 1.1739, 5753.3849), (1.576e-5, 2.8469, 7860.4194)),
    ((1.03019e-3, 1.10749, 6283.07585),),
)  # fmt: skip
ABERRATION_ARCSEC = 20.4898
NUTATION = (
    ((125.04452, -1934.136261), -17.20, 9.20),
    ((2 * 280.4665, 2 * 36000.7698), -1.32, 0.57),
    ((2 * 218.3165, 2 * 481267.8813), -0.23, 0.10),
    ((2 * 125.04452, -2 * 1934.136261), 0.21, -0.09),
)
"""Argument [deg, deg a century], longitude by its sine and obliquity by its cosine [arc seconds]."""


def delta_t_s(year: float) -> float:
    """Terrestrial minus universal time [s] in a year (with its share)."""
    t = year - 2000.0
    if 2005 <= year < 2050:
        return 62.92 + 0.32217 * t + 0.005589 * t**2
    if 1986 <= year < 2005:
        return (
            63.86
            + 0.3345 * t
            - 0.060374 * t**2
            + 0.0017275 * t**3
            + 0.000651814 * t**4
            + 0.00002373599 * t**5
        )
    if 1961 <= year < 1986:
        return 45.45 + 1.067 * (year - 1975) - (year - 1975) ** 2 / 260 - (year - 1975) ** 3 / 718
    parabola = -20.0 + 32.0 * ((year - 1820.0) / 100.0) ** 2
    return parabola - 0.5628 * (2150.0 - year) if 2050 <= year < 2150 else parabola


def apparent_sun(seconds: Array, delta_t: float) -> tuple[Array, Array, Array, Array]:
    """Right ascension and declination [rad], distance [AU], apparent sidereal time at Greenwich [rad].

    seconds  since 1970 UTC (n,); delta_t  terrestrial minus universal time [s]
    """
    days = seconds / 86400.0 - 10957.5  # from 2000 January 1, 12 h
    century = (days + delta_t / 86400.0) / 36525.0
    longitude, distance = _sum(LONGITUDE, century / 10), _sum(DISTANCE, century / 10)
    psi, eps = np.zeros_like(century), np.zeros_like(century)
    for (at, rate), by_sine, by_cosine in NUTATION:
        angle = np.radians(at + rate * century)
        psi += by_sine * np.sin(angle)
        eps += by_cosine * np.cos(angle)
    tilt = np.radians((84381.448 - 46.8150 * century + eps) / 3600)
    apparent_longitude = longitude + np.pi + np.radians((psi - ABERRATION_ARCSEC / distance) / 3600)
    right_ascension = np.arctan2(np.cos(tilt) * np.sin(apparent_longitude), np.cos(apparent_longitude))
    declination = np.arcsin(np.sin(tilt) * np.sin(apparent_longitude))
    turn = 280.46061837 + 360.98564736629 * days + 0.000387933 * (days / 36525) ** 2
    sidereal = np.radians((turn + psi / 3600 * np.cos(tilt)) % 360)
    return right_ascension, declination, distance, sidereal


def _sum(series: tuple[tuple[tuple[float, float, float], ...], ...], time: Array) -> Array:
    whole = np.zeros_like(time)
    for power, terms in enumerate(series):
        part = np.zeros_like(time)
        for amplitude, phase, rate in terms:
            part += amplitude * np.cos(phase + rate * time) if rate else amplitude
        whole += part * time**power
    return whole
