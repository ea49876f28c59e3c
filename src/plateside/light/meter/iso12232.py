"""The camera as a light meter: from a frame of a grey card to the light that fell on it.

ISO 12232 (2006, 2019): a saturation-based speed S means that the sensor saturates at H_sat = 78 / S [lx s], and the
exposure at the sensor is H = q L t / N^2 with q = (pi/4) T v cos^4 = 0.65 (lens transmittance 0.9, vignetting 0.98,
10 degrees off axis). Close up, the lens stands further from the sensor and N grows to N (1 + m/P), m the
magnification and P the pupil magnification. A matt card of reflectance rho that gets E lux has the luminance
rho E / pi. So, with the raw level as a share r of saturation,

    E = pi / rho * r * 78 / S * (N (1 + m/P))^2 / (0.65 t).

Makers may state a speed by another of the standard's definitions (standard output sensitivity, recommended exposure
index), so that a camera's own constant can be half a stop away. It is the same for every frame: `fit_studio` finds
its product with glass and dirt, and `Camera.meter_factor` holds it once it is known.
"""

from dataclasses import dataclass
from math import hypot, pi

from plateside.ground.iso12232 import SATURATION, Q
from plateside.model.errors import RefusedError

GREY_CARD = 0.18

_LOWEST_SHARE, _HIGHEST_SHARE = 0.004, 0.97
_SHUTTER_STOPS = 0.10
"""Marked against real: shutter and aperture each step by exact thirds (f/5.6 is 5.66), and mechanics add some."""
_CARD_STOPS = 0.10
"""Card's own reflectance and how squarely it lay."""
_SPEED_STOPS = 0.45
"""Which definition of speed the maker took, and the lens's true transmittance."""
_KNOWN_SPEED_STOPS = 0.10
"""What is left of it when the camera's constant was found against a meter."""


@dataclass(frozen=True)
class MeasuredLight:
    """Light measured on the card."""

    illuminance_lx: float
    spread_stops: float
    """One standard deviation [stops]."""


def illuminance_from_grey_card(
    *,
    f_number: float,
    exposure_s: float,
    iso: float,
    raw_share: float,
    card_reflectance: float = GREY_CARD,
    magnification: float = 0.0,
    pupil_magnification: float = 1.0,
    meter_factor: float = 1.0,
) -> MeasuredLight:
    """Illuminance [lx] on a matt card that fills a patch of the frame.

    raw_share      mean raw level of the card's patch over black, as a share of saturation over black (green channel)
    magnification  image size over subject size; 0 for far away
    meter_factor   the camera's own constant (Camera.meter_factor): what it reads over what was there
    Raises InputError for a patch that is blown out or nearly black, and for settings that cannot be.
    """
    for name, value in (
        ("f-number", f_number),
        ("exposure", exposure_s),
        ("ISO", iso),
        ("meter factor", meter_factor),
    ):
        if not value > 0:
            raise RefusedError("exposure not above zero", name=name, got=value)
    if not 0.02 <= card_reflectance <= 0.98:
        raise RefusedError("grey card reflectance", got=card_reflectance)
    if not 0 <= magnification <= 10 or not pupil_magnification > 0:
        raise RefusedError("magnification", got=magnification)
    if raw_share > _HIGHEST_SHARE:
        raise RefusedError("grey card blown out", share=raw_share)
    if raw_share < _LOWEST_SHARE:
        raise RefusedError("grey card black", share=raw_share)
    effective = f_number * (1 + magnification / pupil_magnification)
    luminance = raw_share * SATURATION / iso * effective**2 / (Q * exposure_s)
    speed = _SPEED_STOPS if meter_factor == 1.0 else _KNOWN_SPEED_STOPS
    return MeasuredLight(
        illuminance_lx=pi * luminance / card_reflectance / meter_factor,
        spread_stops=hypot(speed, _SHUTTER_STOPS, _CARD_STOPS),
    )
