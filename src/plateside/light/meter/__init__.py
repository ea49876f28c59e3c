"""What measured light teaches about a studio.

iso12232  the camera as a meter: from a frame of a grey card to lux
bearing   a window's true bearing from the sun
fit       factors on the model from three or more readings, with their spread
"""

from plateside.light.meter.bearing import BearingFound, Grazing, MarkBearing, PatchCorner, bearing_from_sun
from plateside.light.meter.fit import Evidence, FitReport, fit_studio
from plateside.light.meter.iso12232 import MeasuredLight, illuminance_from_grey_card, meter_factor_from

__all__ = [
    "BearingFound",
    "Evidence",
    "FitReport",
    "Grazing",
    "MarkBearing",
    "MeasuredLight",
    "PatchCorner",
    "bearing_from_sun",
    "fit_studio",
    "illuminance_from_grey_card",
    "meter_factor_from",
]
