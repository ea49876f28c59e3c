"""The CIE's general skies, which they are: plain words and numbers, so that a page can offer them without the engine.

CIE_TYPES   ISO 15469:2004 / CIE S 011/E:2003, Spatial distribution of daylight, CIE standard general sky, table 1
            (also S. Darula, R. Kittler, Proceedings eSim 2002, 11-13)
"""

CIE_TYPES = {
    1: (1, 1, "overcast, steeply graded"),
    2: (1, 2, "overcast, steeply graded, slightly brighter towards the sun"),
    3: (2, 1, "overcast, moderately graded"),
    4: (2, 2, "overcast, moderately graded, slightly brighter towards the sun"),
    5: (3, 1, "uniform"),
    6: (3, 2, "partly cloudy, no gradation, slightly brighter towards the sun"),
    7: (3, 3, "partly cloudy, no gradation, brighter about the sun"),
    8: (3, 4, "partly cloudy, no gradation, distinct corona"),
    9: (4, 2, "partly cloudy, the sun hidden"),
    10: (4, 3, "partly cloudy, brighter about the sun"),
    11: (4, 4, "white-blue, distinct corona"),
    12: (5, 4, "clear, low turbidity"),
    13: (5, 5, "clear, polluted"),
    14: (6, 5, "cloudless, turbid, broad corona"),
    15: (6, 6, "white-blue, turbid, broad corona"),
}
"""Of each type: which gradation and indicatrix of sky_tables, and what it is in our words."""

TRADITIONAL = 16
"""The traditional overcast sky, which the standard lists beside its fifteen."""
TRADITIONAL_WORDS = "the traditional overcast sky"
