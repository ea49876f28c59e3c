"""Skies by their names, without numbers: a page offers them without loading the engine."""

from plateside.light.cie_types import TRADITIONAL

FORECAST_HEAD = "time,cloud cover in percent"
"""First line of a forecast as it is kept: what its columns are."""

CIE_SKIES = {
    1: "overcast, steeply graded",
    2: "overcast, steeply graded, slightly brighter towards the sun",
    3: "overcast, moderately graded",
    4: "overcast, moderately graded, slightly brighter towards the sun",
    5: "uniform",
    6: "partly cloudy, no gradation, slightly brighter towards the sun",
    7: "partly cloudy, no gradation, brighter about the sun",
    8: "partly cloudy, no gradation, distinct corona",
    9: "partly cloudy, the sun hidden",
    10: "partly cloudy, brighter about the sun",
    11: "white-blue, distinct corona",
    12: "clear, low turbidity",
    13: "clear, polluted",
    14: "cloudless, turbid, broad corona",
    15: "white-blue, turbid, broad corona",
    TRADITIONAL: "the traditional overcast sky",
}
"""The sixteen skies of the CIE (the international commission that sets the standards of lighting), in our words."""


def cie_phrase(name: str) -> str:
    """'CIE type 3, overcast, moderately graded' of 'cie:3'."""
    number = int(name.partition(":")[2])
    words = CIE_SKIES[number]
    return words if number == TRADITIONAL else f"CIE type {number}, {words}"
