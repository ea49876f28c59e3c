"""What measured light teaches about a studio.

iso12232  the camera as a meter: from a frame of a grey card to lux
bearing   a window's true bearing from the sun
"""

from plateside.light.meter.bearing import BearingFound, Grazing, MarkBearing, PatchCorner, bearing_from_sun
from plateside.light.meter.iso12232 import MeasuredLight, illuminance_from_grey_card, meter_factor_from

__all__ = [
    "BearingFound",
    "Grazing",
    "MarkBearing",
    "MeasuredLight",
    "PatchCorner",
    "bearing_from_sun",
    "illuminance_from_grey_card",
    "meter_factor_from",
]
