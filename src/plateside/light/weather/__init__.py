"""The sky from weather: a typical year's file, or a forecast's cloud column that the user pastes.

Text in, arrays out; whoever calls has read the file.

epw     a year of hours from an EPW file (EnergyPlus, Auxiliary Programs: "EnergyPlus Weather File (EPW)
        Data Dictionary")
tmy3    a year of hours from a TMY3 file (Wilcox and Marion, Users Manual for TMY3 Data Sets, NREL/TP-581-43156)
hours   what both give: hourly irradiances in local standard time, and what they are at any moment
cloud   a pasted forecast: time and cloud cover in percent
skies   the sky at given moments from either, for the light engine
kasten1980  irradiances from cloud cover (Kasten and Czeplak, Solar Energy 24, 1980)
"""

from plateside.light.weather.cloud import CloudCover, parse_cloud_cover, sky_word
from plateside.light.weather.epw import parse_epw
from plateside.light.weather.hours import Irradiances, Weather
from plateside.light.weather.kasten1980 import irradiances_from_cloud
from plateside.light.weather.skies import forecast_skies, weather_skies
from plateside.light.weather.tmy3 import parse_tmy3

__all__ = [
    "CloudCover",
    "Irradiances",
    "Weather",
    "forecast_skies",
    "irradiances_from_cloud",
    "parse_cloud_cover",
    "parse_epw",
    "parse_tmy3",
    "sky_word",
    "weather_skies",
]
