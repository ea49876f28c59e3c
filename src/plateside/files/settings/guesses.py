"""What the person probably meant: the nearest key or name, the number in another unit, the text unquoted."""

import difflib
import math
import re
import unicodedata
from collections.abc import Iterable

from plateside.files.settings.grammar import Entry

_FACTORS: dict[str, tuple[tuple[str, float], ...]] = {
    "m": (("cm", 0.01), ("mm", 0.001), ("in", 0.0254), ("ft", 0.3048)),
    "mm": (("cm", 10.0), ("m", 1000.0), ("in", 25.4)),
    "kg": (("g", 0.001), ("lb", 0.45359237)),
    "s": (("ms", 0.001), ("min", 60.0), ("h", 3600.0)),
    "min": (("h", 60.0), ("s", 1 / 60)),
    "kB": (("MB", 1000.0), ("B", 0.001)),
    "lx": (("klx", 1000.0), ("fc", 10.7639104)),
    "deg": (("rad", 180 / math.pi),),
    "": (("%", 0.01),),
    "%": (("", 100.0),),
}
_IN_THOUSANDS = ("lx", "px", "mm", "kb")
"""Units of which people write no thousandths."""
_LIKELY = ("cm", "mm", "g", "%", "MB", "klx", "h", "ms")
"""Units people think in when they leave the unit away (inches and pounds only when they write them)."""

_SYNONYMS = {
    "lat": "latitude_deg", "lon": "longitude_deg", "long": "longitude_deg", "lng": "longitude_deg", "tz": "timezone",
    "zone": "timezone", "city": "name", "town": "name", "length": "depth_m", "facing": "bearing_deg",
    "faces": "bearing_deg", "direction": "bearing_deg", "aperture": "widest_aperture", "fnumber": "widest_aperture",
    "f_number": "widest_aperture", "focal": "focal_length_mm", "alt": "alt_text", "duration": "takes",
    "time": "takes", "from_window_m": "from_front_m", "author": "name", "photographer": "name", "yield": "serves",
    "servings": "serves", "color": "colour", "mass_kg": "weight_kg", "arm_mass_kg": "arm_weight_kg",
    "head_mass_kg": "head_weight_kg", "widest_f_number": "widest_aperture", "smallest_f_number": "smallest_aperture",
    "release": "model_release", "room_percent": "space_percent", "blocks": "furniture",
}  # fmt: skip
"""Words people write for a key."""

_WORD_SYNONYMS = {
    "flat lay": "overhead", "top down": "overhead", "top": "overhead", "birds eye": "overhead", "45": "three-quarter",
    "45 degrees": "three-quarter", "head on": "straight-on", "eye level": "straight-on", "side on": "straight-on",
    "jpg": "jpeg", "upright": "portrait", "vertical": "portrait", "lying": "landscape", "horizontal": "landscape",
    "cloudy": "overcast", "sunny": "clear", "grey": "overcast", "pour": "silk pour", "splash": "frozen drops",
    "cloth": "linen", "fabric": "linen", "marble": "stone", "slate": "stone", "matte": "matt", "shiny": "glossy",
    "hands": "hand", "back": "far", "behind": "far", "front": "near", "icing sugar": "falling sugar",
    "hero": "main", "process": "step", "close up": "detail", "handheld": "hand",
}  # fmt: skip
"""Trade words for an allowed word."""

_LETTERS = str.maketrans({"ø": "o", "ł": "l", "æ": "ae", "œ": "oe", "đ": "d", "ð": "d", "þ": "th", "ı": "i"})
"""Letters that carry no separable accent."""

_POINTS = {
    "n": 0.0, "nne": 22.5, "ne": 45.0, "ene": 67.5, "e": 90.0, "ese": 112.5, "se": 135.0, "sse": 157.5,
    "s": 180.0, "ssw": 202.5, "sw": 225.0, "wsw": 247.5, "w": 270.0, "wnw": 292.5, "nw": 315.0, "nnw": 337.5,
}  # fmt: skip


def nearest(word: str, choices: Iterable[str], *, cutoff: float = 0.6) -> str | None:
    """The choice most like `word`, case and accents apart, or None when none is like it."""
    plain = {folded(c): c for c in choices}
    found = difflib.get_close_matches(folded(word), list(plain), n=1, cutoff=cutoff)
    if found:
        return plain[found[0]]
    inside = [
        c for p, c in plain.items() if len(word) >= 3 and (folded(word) in p or p in folded(word) != "")
    ]
    return inside[0] if len(inside) == 1 else None


def folded(word: str) -> str:
    """Lower case, without accents, with hyphens, spaces and underscores alike."""
    plain = word.casefold()
    if not plain.isascii():
        plain = unicodedata.normalize("NFKD", plain.translate(_LETTERS))
        plain = "".join(c for c in plain if not unicodedata.combining(c))
    return " ".join(plain.replace("_", " ").replace("-", " ").split())


def nearest_word(word: str, allowed: tuple[str, ...]) -> str | None:
    """The allowed word that was probably meant: a trade word for it, or one spelt like it."""
    meant = _WORD_SYNONYMS.get(folded(word))
    return meant if meant in allowed else nearest(word, allowed)


def nearest_key(key: str, known: Iterable[str]) -> str | None:
    """The field most like a key that is unknown; 'width' finds 'width_m'."""
    choices = list(known)
    if _SYNONYMS.get(key.casefold()) in choices:
        return _SYNONYMS[key.casefold()]
    stems = {re.sub(r"_(m|mm|deg|px|kg|kb|s|lx|stops|percent)$", "", c): c for c in choices}
    written = re.sub(r"_(m|cm|mm|deg|px|kg|g|kb|s|lx|ft|in|stops|percent)$", "", key.casefold())
    if written in stems:
        return stems[written]
    british = {"color": "colour", "license": "licence", "gray": "grey", "center": "centre"}
    for there, here in british.items():
        if there in written and (again := nearest(written.replace(there, here), choices, cutoff=0.8)):
            return again
    return nearest(key, choices) or (stems[s] if (s := nearest(written, stems)) else None)


def number_in(text: str, unit: str) -> float | None:
    """The number a text stands for, in `unit`: '4,2', '4.2 m', '420 cm', '1/60', 'f/1.8', '30 %', 'NNE'."""
    plain = text.strip().replace("\N{MINUS SIGN}", "-").replace("\N{DEGREE SIGN}", "").strip()
    if unit == "deg" and (point := compass_deg(plain)) is not None:
        return point
    if unit == "deg" and (place := re.fullmatch(r"(\d+(?:[.,]\d+)?)\s*([NSEWnsew])", plain)):
        side = -1.0 if place[2] in "SWsw" else 1.0
        return side * float(place[1].replace(",", "."))
    plain = re.sub(r"^[fF]\s*/\s*", "", plain)
    match = re.fullmatch(r"(-?\d+(?:[.,]\d+)?)(?:\s*/\s*(\d+(?:[.,]\d+)?))?\s*([A-Za-z%\"']*)", plain)
    if match is None:
        return None
    value = float(commas_read(match[1], unit))
    if match[2]:
        below = float(match[2].replace(",", "."))
        if below == 0:
            return None
        value /= below
    written = {'"': "in", "'": "ft", "sec": "s", "degrees": "deg", "lux": "lx"}.get(match[3], match[3])
    if written in ("", unit):
        return value
    for name, factor in _FACTORS.get(unit, ()):
        if written.casefold() == name.casefold():
            return value * factor
    return None


def commas_read(number: str, unit: str) -> str:
    """A number's comma read as people mean it: '4,2' is 4.2, but '1,200' lux are twelve hundred."""
    grouped = unit.casefold() in _IN_THOUSANDS and re.fullmatch(r"-?[1-9]\d{0,2},\d{3}", number)
    return number.replace(",", "" if grouped else ".")


def from_other_unit(value: object, written: str, meant: str, unit: str) -> object:
    """The value of a key that was written with another unit at its end: 45 under width_cm is 450 for width_mm."""
    own = f"_{unit.casefold()}"
    if isinstance(value, bool) or not isinstance(value, int | float) or not meant.casefold().endswith(own):
        return value
    for name, factor in _FACTORS.get(unit, ()):
        if written.casefold().endswith(f"_{name.casefold()}"):
            return float(f"{value * factor:.10g}")
    return value


def compass_deg(text: str) -> float | None:
    """True bearing [deg] of a compass word or point: 'north', 'NNE', 'south-west', 'north by ...' no."""
    plain = folded(text).replace(" ", "").replace("facing", "")
    for word, letter in (("north", "n"), ("south", "s"), ("east", "e"), ("west", "w")):
        plain = plain.replace(word, letter)
    return _POINTS.get(plain)


def in_another_unit(value: float, entry: Entry) -> tuple[float, str] | None:
    """A number out of range, read in the unit that was probably meant: (value in the entry's unit, words).

    Of several readings that fit, the one nearest the field's default or example is taken.
    """
    readings: list[tuple[float, str]] = []
    if entry.unit == "deg" and entry.low == 0 and entry.high == 360:
        readings.append((value % 360, f"{_plain(value)} turned into 0 to 360"))
    if entry.unit == "s" and value >= 1:
        readings.append((1 / value, f"1/{_plain(value)} s"))
    for name, factor in _FACTORS.get(entry.unit, ()):
        if name in _LIKELY and (entry.unit or entry.high == 1 or entry.high == 0.98):
            shown = f"{_plain(value)} {name}"
            readings.append((value * factor, shown))
    fitting = [(v, w) for v, w in readings if fits(v, entry)]
    if not fitting:
        return None
    usual = _usual(entry)
    if usual is None or usual <= 0:
        return _rounded(fitting[0])
    return _rounded(min(fitting, key=lambda r: abs(math.log(max(r[0], 1e-12) / usual))))


def _rounded(reading: tuple[float, str]) -> tuple[float, str]:
    return float(f"{reading[0]:.6g}"), reading[1]


def fits(value: float, entry: Entry) -> bool:
    """Whether a number is in the entry's range."""
    return (entry.low is None or value >= entry.low) and (entry.high is None or value <= entry.high)


def _usual(entry: Entry) -> float | None:
    if isinstance(entry.default, int | float):
        return float(entry.default)
    match = re.search(r"=\s*(-?\d+(?:\.\d+)?)", entry.example)
    return float(match[1]) if match else None


def _plain(value: float) -> str:
    return f"{value:.10g}"
