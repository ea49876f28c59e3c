"""The CIE's general skies, which they are: plain numbers, so that a page can offer them without the engine.

CIE_TYPES   ISO 15469:2004 / CIE S 011/E:2003, Spatial distribution of daylight, CIE standard general sky, table 1
            (also S. Darula, R. Kittler, Proceedings eSim 2002, 11-13)
"""

CIE_TYPES = {
    1: (1, 1),
    2: (1, 2),
    3: (2, 1),
    4: (2, 2),
    5: (3, 1),
    6: (3, 2),
    7: (3, 3),
    8: (3, 4),
    9: (4, 2),
    10: (4, 3),
    11: (4, 4),
    12: (5, 4),
    13: (5, 5),
    14: (6, 5),
    15: (6, 6),
}
"""Of each type: which gradation and indicatrix of sky_tables."""

TRADITIONAL = 16
"""The traditional overcast sky, which the standard lists beside its fifteen."""
