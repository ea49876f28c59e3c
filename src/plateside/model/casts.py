"""How far a colour is off, in words: a photographer sees 'a little too warm', not a number of mired."""

_BARELY, _A_LITTLE, _CLEARLY = 5.0, 15.0, 40.0
"""Mired up to which a change of colour is said so; about 5 is the least that an eye sees side by side (common
practice, no source)."""


def how_much(mired: float) -> str:
    """'barely', 'a little', 'clearly' or 'much'."""
    size = abs(mired)
    if size < _BARELY:
        return "barely"
    if size < _A_LITTLE:
        return "a little"
    return "clearly" if size < _CLEARLY else "much"


def warmer_by(mired: float, than: str = "") -> str:
    """As 'a little warmer than the reference (12 mired)': the words first, the number for who wants it."""
    words = f"{how_much(mired)} {'warmer' if mired > 0 else 'cooler'}{' than ' if than else ''}{than}"
    return f"{words} ({abs(mired):.0f} mired)"


def too_warm_by(mired: float) -> str:
    """As 'clearly too warm (25 mired)'."""
    return f"{how_much(mired)} too {'warm' if mired > 0 else 'cool'} ({abs(mired):.0f} mired)"
