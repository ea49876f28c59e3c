"""Sensors under skies: from what is prepared for a spot to lux in bands, at one moment or many.

SkySun      sky and sun at moments, ready for the kernels
evaluate    light on all sensors at those moments
Lit         what comes out, with its range
"""

from dataclasses import dataclass

import numpy as np

from plateside.ground.srgb import LUMINANCE
from plateside.light.answers import Array, Spread
from plateside.light.colour import rgb_of_cct
from plateside.light.sky import SkySeries
from plateside.light.sun import SunPositions
from plateside.light.transport import Prepared
from plateside.model.studio import Fit

MODEL_SPREAD = 0.05
"""What the model itself may be off, as a share (against ray tracing it is nearer; rooms are not boxes)."""


@dataclass(frozen=True)
class Lit:
    """Light on s sensors at t moments."""

    sky: Array
    """From the sky, outside things it lights included, before its colour (t, b, s): one band, or three."""
    sun: Array
    """From the sun, what it lights outside and inside included, likewise."""
    direct_lx: Array
    """What of it comes straight from the sun, by aperture (t, a, s) [lx]."""
    series: SkySeries

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


def evaluate(prepared: Prepared, suns: Array, series: SkySeries, cells: int, split: int = 1) -> Lit:
    """Light on the prepared sensors.

    suns  unit vectors to the sun (t, 3); cells  of the sunbeam through each window, cut
    once more near the dish into `split` squared
    """
    sky, outside = prepared.sky(
        series.kind, series.shape, suns, series.diffuse_horizontal_lx, series.direct_normal_lx
    )
    shining = (series.direct_normal_lx > 0) & (suns[:, 2] > 0)
    moments, _, sensors = sky.shape
    beams = np.zeros_like(sky)
    direct = np.zeros((moments, len(prepared.room.scene.aperture_f), sensors))
    if np.any(shining):
        some, straight = prepared.sun(np.ascontiguousarray(suns[shining]), cells, split)
        beam = series.direct_normal_lx[shining][:, None, None]
        beams[shining] = some * beam
        direct[shining] = straight * beam
    return Lit(sky, outside + beams, direct, series)


def spread_of(sky_lx: float, sun_lx: float, series: SkySeries, fit: Fit) -> Spread:
    """A figure in lux with its range: of the sky's word or measurement, of the room's fit, of the model."""
    value = sky_lx + sun_lx
    low, high = factors(np.array([sky_lx]), np.array([sun_lx]), series, fit)
    return Spread(value, value * float(low[0]), value * float(high[0]))


def factors(sky_lx: Array, sun_lx: Array, series: SkySeries, fit: Fit) -> tuple[Array, Array]:
    """Low and high ends as factors: independent ranges added in squares of stops."""
    value = np.maximum(sky_lx + sun_lx, 1e-12)
    low = np.maximum((series.low * sky_lx + series.direct_low * sun_lx) / value, 1e-3)
    high = np.maximum((series.high * sky_lx + series.direct_high * sun_lx) / value, 1e-3)
    room = (fit.light_factor_spread_stops * np.log(2)) ** 2 + MODEL_SPREAD**2
    down = np.sqrt(np.minimum(np.log(low), 0) ** 2 + room)
    up = np.sqrt(np.maximum(np.log(high), 0) ** 2 + room)
    return np.exp(-down), np.exp(up)
