"""Sensors under skies: from what is prepared for a spot to lux in bands, at one moment or many.

SkySun      sky and sun at moments, ready for the kernels
evaluate    light on all sensors at those moments
Lit         what comes out, with its range
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from plateside.ground.srgb import LUMINANCE
from plateside.light.colour import rgb_of_cct
from plateside.light.sky import SkySeries
from plateside.light.sun import SunPositions
from plateside.light.transport import Prepared
from plateside.model.light_answers import Array, Spread
from plateside.model.studio import Fit

MODEL_SPREAD = 0.05
"""What the model itself may be off, as a share (against ray tracing it is nearer; rooms are not boxes)."""

BEARING_DOUBT_DEG = 2.0
"""How far a window's bearing and the clock together may be off: a compass read with care, or eight minutes (common
practice, no source)."""
DOUBT = 2.5
"""Standard deviations of the skyline's height that the range covers. More than of anything else: a sun that comes or
stays away is three stops, not a third, so the range is to hold it nearly always (bench skyline_edge)."""


EDGE_SHARE = 0.1
"""Of the light: a sun in doubt that is less says nothing that the range does not hold anyway."""


@dataclass(frozen=True)
class SensorLight:
    """Light on s sensors at t moments."""

    sky: Array
    """From the sky, outside things it lights included, before its colour (t, b, s): one band, or three."""
    sun: Array
    """From the sun, what it lights outside and inside included, likewise."""
    direct_lx: Array
    """What of it comes straight from the sun, by aperture (t, a, s) [lx]."""
    series: SkySeries
    sun_least: Array | None = None
    """The least and the most of `sun` that the doubt about skyline, bearing and clock leaves (t, b, s)."""
    sun_most: Array | None = None

    @property
    def sky_bands_lx(self) -> Array:
        """In three bands (t, 3, s) [lx]."""
        return np.asarray(self.sky * rgb_of_cct(self.series.sky_cct_k)[:, :, None])

    @property
    def sun_bands_lx(self) -> Array:
        return np.asarray(self.sun * rgb_of_cct(self.series.sun_cct_k)[:, :, None])

    @property
    def sky_lx(self) -> Array:
        """Illuminance (t, s) [lx]."""
        return _luminance(self.sky, self.series.sky_cct_k)

    @property
    def sun_lx(self) -> Array:
        return _luminance(self.sun, self.series.sun_cct_k)

    @property
    def sun_ends_lx(self) -> tuple[Array, Array]:
        """The least and the most light from the sun that skyline, bearing and clock leave (t, s) [lx]."""
        k = self.series.sun_cct_k
        least = self.sun if self.sun_least is None else self.sun_least
        most = self.sun if self.sun_most is None else self.sun_most
        return _luminance(least, k), _luminance(most, k)

    @property
    def lux(self) -> Array:
        return np.asarray(self.sky_lx + self.sun_lx)


def _luminance(bands: Array, cct_k: Array) -> Array:
    """Light of one band is not tinted on its way: then its colour does not change its luminance."""
    if bands.shape[1] == 1:
        return bands[:, 0]
    return np.asarray(np.einsum("tb,tbs->ts", LUMINANCE * rgb_of_cct(cct_k), bands))


def sun_vectors(positions: SunPositions, front_rad: float) -> Array:
    """Unit vectors to the sun in the room's coordinates (t, 3)."""
    h, turn = np.radians(positions.elevation_deg), np.radians(positions.azimuth_deg) - front_rad
    return np.stack([np.sin(turn) * np.cos(h), np.cos(turn) * np.cos(h), np.sin(h)], axis=1)


def evaluate(
    prepared: Prepared, suns: Array, series: SkySeries, cells: int, split: int = 1, fit: Fit | None = None
) -> SensorLight:
    """Light on the prepared sensors.

    fit   with it, the sun is also asked with the skyline higher and lower and the room turned, as far as they may be
          off
    suns  unit vectors to the sun (t, 3); cells  of the sunbeam through each window, cut
    once more near the dish into `split` squared
    """
    sky, outside = prepared.sky(
        series.kind, series.shape, suns, series.diffuse_horizontal_lx, series.direct_normal_lx
    )
    shining = (series.direct_normal_lx > 0) & (suns[:, 2] > 0)
    moments, _, sensors = sky.shape
    beams = np.zeros_like(sky)
    least, most = beams, beams
    direct = np.zeros((moments, prepared.room.scene.openings.size, sensors))
    if np.any(shining):
        some, straight = prepared.sun(np.ascontiguousarray(suns[shining]), cells, split)
        beam = series.direct_normal_lx[shining][:, None, None]
        beams[shining] = some * beam
        direct[shining] = straight * beam
        if fit is not None:
            least, most = beams.copy(), beams.copy()
            for other in _in_doubt(prepared, suns[shining], cells, split, fit):
                least[shining] = np.minimum(least[shining], other * beam)
                most[shining] = np.maximum(most[shining], other * beam)
    return SensorLight(sky, outside + beams, direct, series, outside + least, outside + most)


def _in_doubt(prepared: Prepared, suns: Array, cells: int, split: int, fit: Fit) -> Iterator[Array]:
    """The sun's response where skyline and bearing are as far off as they may be, one after the other."""
    if prepared.room.scene.opposite.size:
        lift = DOUBT * fit.skyline_lift_spread_deg
        for skyline_deg in (-lift, lift):
            yield prepared.sun(np.ascontiguousarray(suns), cells, split, skyline_deg)[0]
    for turn_deg in (-BEARING_DOUBT_DEG, BEARING_DOUBT_DEG):
        c, s = np.cos(np.radians(turn_deg)), np.sin(np.radians(turn_deg))
        turned = np.stack(
            [suns[:, 0] * c + suns[:, 1] * s, suns[:, 1] * c - suns[:, 0] * s, suns[:, 2]], axis=1
        )
        yield prepared.sun(np.ascontiguousarray(turned), cells, split)[0]


def spread_of(
    sky_lx: float, sun_lx: float, series: SkySeries, fit: Fit, sun_ends: tuple[float, float] | None = None
) -> Spread:
    """A figure in lux with its range: of the sky's word or measurement, of the room's fit, of the model.

    sun_ends  the least and the most of sun_lx, where skyline, bearing and clock leave a doubt
    """
    value = sky_lx + sun_lx
    ends = None if sun_ends is None else (np.array([sun_ends[0]]), np.array([sun_ends[1]]))
    low, high = factors(np.array([sky_lx]), np.array([sun_lx]), series, fit, ends)
    return Spread(value, value * float(low[0]), value * float(high[0]))


def factors(
    sky_lx: Array, sun_lx: Array, series: SkySeries, fit: Fit, sun_ends: tuple[Array, Array] | None = None
) -> tuple[Array, Array]:
    """Low and high ends as factors: independent ranges added in squares of stops.

    sun_ends  the least and the most of sun_lx: the range then reaches from the low end of the one to the high end of
              the other, as either may be the truth
    """
    value = np.maximum(sky_lx + sun_lx, 1e-12)
    least, most = (sky_lx + end for end in ((sun_lx, sun_lx) if sun_ends is None else sun_ends))
    least, most = np.maximum(least, 1e-12), np.maximum(most, 1e-12)
    low = np.maximum((series.low * sky_lx + series.direct_low * (least - sky_lx)) / least, 1e-3)
    high = np.maximum((series.high * sky_lx + series.direct_high * (most - sky_lx)) / most, 1e-3)
    # where a sun may come or stay away, what is beside it (skylight over a lifted skyline, too) is held as surely
    sure = np.where(most - least > EDGE_SHARE * value, DOUBT, 1.0)
    room = sure**2 * ((fit.light_factor_spread_stops * np.log(2)) ** 2 + MODEL_SPREAD**2)
    down = np.sqrt(np.minimum(np.log(low), 0) ** 2 + room)
    up = np.sqrt(np.maximum(np.log(high), 0) ** 2 + room)
    return least / value * np.exp(-down), most / value * np.exp(up)
