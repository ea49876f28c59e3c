"""Texts that must have a form: dates, times of day, durations, zones, colours, addresses, short names.

Each form says what is wrong with a text, and what was probably meant. Which field has which form is in `FORMS`; a test
holds that every field named there exists. What a form allows is said in words/allowed.py.
"""

import datetime as dt
import re
from collections.abc import Callable
from functools import cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from plateside.files.settings.guesses import folded, nearest
from plateside.model.gear import Prop, Surface
from plateside.model.room import Place
from plateside.model.shoot import Channel, Creator, Shoot, Shot, Step
from plateside.model.studio import Fit, Reading

Judgement = tuple[str, str] | None
"""None when the text has the form, else (the form by its name in words/allowed.py, what was probably meant or "")."""


YEARS = (1990, 2200)
"""Of photographs and shoots; where clocks and the sun's place are known well enough, too."""


def a_date(text: str) -> Judgement:
    """A calendar date as 2027-07-15 (ISO 8601), of the years in which light is planned."""
    if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
        try:
            year = dt.date.fromisoformat(text).year
            if not YEARS[0] <= year <= YEARS[1]:
                return "year", ""
            return None
        except ValueError:
            return "calendar date", ""
    match = re.fullmatch(r"\s*(\d{4})[-./ ](\d{1,2})[-./ ](\d{1,2})\s*", text)
    meant = ""
    if match:
        meant = f"{match[1]}-{int(match[2]):02d}-{int(match[3]):02d}"
    elif match := re.fullmatch(r"\s*(\d{1,2})[-./ ](\d{1,2})[-./ ](\d{4})\s*", text):
        first, second = int(match[1]), int(match[2])
        if first > 12 >= second:
            meant = f"{match[3]}-{second:02d}-{first:02d}"
        elif second > 12 >= first:
            meant = f"{match[3]}-{first:02d}-{second:02d}"
    return "date", meant if meant and a_date(meant) is None else ""


def a_time(text: str) -> Judgement:
    """A time of day as 09:30, on the 24-hour clock (ISO 8601)."""
    if re.fullmatch(r"([01]\d|2[0-3]):[0-5]\d", text):
        return None
    allowed = "time"
    match = re.fullmatch(r"\s*(\d{1,2})(?:[:.h]\s*(\d{2}))?(?::00)?\s*([ap])?\.?m?\.?\s*", text.lower())
    if match is None:
        return allowed, ""
    hour, minute = int(match[1]), int(match[2] or 0)
    if match[3] == "p" and hour < 12:
        hour += 12
    if match[3] == "a" and hour == 12:
        hour = 0
    return allowed, f"{hour:02d}:{minute:02d}" if hour < 24 and minute < 60 else ""


def a_moment(text: str) -> Judgement:
    """A local date and time as 2027-07-15T13:30 (ISO 8601, without an offset: the place gives the zone)."""
    if re.fullmatch(r"\d{4}-\d{2}-\d{2}T([01]\d|2[0-3]):[0-5]\d(:[0-5]\d)?", text):
        day = a_date(text[:10])
        return None if day is None else (day[0], "")
    match = re.fullmatch(r"\s*(\S+?)[T ,]+(\S+?)(Z|[+-]\d\d:?\d\d)?\s*", text)
    meant = ""
    if match:
        day = a_date(match[1])
        clock = a_time(match[2][:5])
        parts = (day[1] if day else match[1], clock[1] if clock else match[2][:5])
        meant = "T".join(parts) if all(parts) else ""
    return "moment", meant


_DURATION = re.compile(
    r"P(?=[\dT])(?:(\d{1,4})D)?(?:T(?=\d)(?:(\d{1,6})H)?(?:(\d{1,6})M)?(?:(\d{1,6}(?:\.\d{1,6})?)S)?)?"
)


def a_duration(text: str) -> Judgement:
    """A duration of days, hours, minutes, seconds, as PT8M or PT1H30M (ISO 8601)."""
    if _DURATION.fullmatch(text):
        return None
    allowed = "duration"
    plain = folded(text)
    if match := re.fullmatch(r"p(\d+)([hms])", plain):
        return "duration after T", f"PT{match[1]}{match[2].upper()}"
    if match := re.fullmatch(r"(?:p|t|pt)?\s*((?:\d+\s*[dhms]\s*)+)", plain):
        meant = "PT" + re.sub(r"\s", "", match[1]).upper()
        return allowed, meant if _DURATION.fullmatch(meant) else ""
    if match := re.fullmatch(r"(\d+):([0-5]\d)", plain):
        return allowed, f"PT{int(match[1])}H{int(match[2])}M" if int(match[2]) else f"PT{int(match[1])}H"
    words = {"d": 0, "h": 0, "m": 0, "s": 0}
    rest = plain
    for number, word in re.findall(
        r"(\d+)\s*(days?|hours?|hrs?|h|minutes?|mins?|m|seconds?|secs?|s)\b", plain
    ):
        words[word[0]] += int(number)
        rest = re.sub(rf"{number}\s*{word}\b", "", rest, count=1)
    if re.fullmatch(r"\d+", plain):
        return allowed, f"PT{plain}M"
    if any(words.values()) and not re.sub(r"\b(and|about)\b|[ ,.]", "", rest):
        clock = "".join(f"{words[k]}{k.upper()}" for k in "hms" if words[k])
        day = f"{words['d']}D" if words["d"] else ""
        return allowed, f"P{day}{'T' + clock if clock else ''}"
    return allowed, ""


def a_place_on_disk(text: str) -> Judgement:
    """A folder or a file that a disk can have: no part longer than 255 bytes (POSIX NAME_MAX of Linux and macOS)."""
    if (
        len(text) <= 1_000
        and "\0" not in text
        and all(len(p.encode()) <= 255 for p in re.split(r"[/\\]", text))
    ):
        return None
    return "place on disk", ""


@cache
def _zones() -> frozenset[str]:
    return frozenset(z for z in available_timezones() if "/" in z or z == "UTC")


def a_zone(text: str) -> Judgement:
    """A time zone of the IANA database, as Europe/Lisbon."""
    allowed = "zone"
    if not text:
        return allowed, ""
    try:
        ZoneInfo(text)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        short = {z.rsplit("/", 1)[-1]: z for z in sorted(_zones())}
        near = nearest(text, _zones(), cutoff=0.8) or short.get(text.replace(" ", "_").title())
        if near is None and (city := nearest(text.split("/")[-1], short, cutoff=0.8)):
            near = short[city]
        return allowed, near or ""
    if "/" not in text and text != "UTC":
        return allowed, ""
    return None


def a_colour(text: str) -> Judgement:
    """An sRGB colour as #a9b4ba."""
    if re.fullmatch(r"#[0-9A-Fa-f]{6}", text):
        return None
    bare = text.strip().lstrip("#")
    meant = ""
    if re.fullmatch(r"[0-9A-Fa-f]{3}", bare):
        meant = "#" + "".join(c * 2 for c in bare)
    elif re.fullmatch(r"[0-9A-Fa-f]{6}([0-9A-Fa-f]{2})?", bare):
        meant = "#" + bare[:6]
    elif match := re.fullmatch(r"rgb\(?\s*(\d+)\s*,\s*(\d+)\s*,\s*(\d+)\s*\)?", bare):
        parts = [int(match[n]) for n in (1, 2, 3)]
        meant = "#{:02x}{:02x}{:02x}".format(*parts) if max(parts) < 256 else ""
    return "colour", meant


def an_address(text: str) -> Judgement:
    """A web address that begins with https:// or http://."""
    if re.fullmatch(r"https?://[^\s/\"<>]+\.?[^\s\"<>]*", text):
        return None
    meant = f"https://{text.strip()}" if re.fullmatch(r"[\w-]+(\.[\w-]+)+(/\S*)?", text.strip()) else ""
    return "address", meant


def a_short_name(text: str) -> Judgement:
    """A name that is also a file name everywhere: letters a to z, digits, hyphens."""
    reserved = re.fullmatch(r"(con|prn|aux|nul|com\d|lpt\d)", text.lower())
    if re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9-]*", text) and not reserved and len(text) <= 60:
        return None
    meant = re.sub(r"[^a-z0-9]+", "-", folded(text)).strip("-")[:60].strip("-")
    meant = f"{meant}-1" if reserved else meant
    return "short name", meant


def a_language(text: str) -> Judgement:
    """A language tag as en or pt-PT (BCP 47)."""
    if re.fullmatch(r"[A-Za-z]{2,3}(-[A-Za-z]{4})?(-([A-Za-z]{2}|\d{3}))?", text):
        return None
    meant = {"english": "en", "portuguese": "pt", "french": "fr", "german": "de", "spanish": "es"}.get(
        folded(text), text.replace("_", "-")
    )
    return "language", meant if meant != text and a_language(meant) is None else ""


def a_country(text: str) -> Judgement:
    """A two-letter country code (ISO 3166-1), as PT."""
    if re.fullmatch(r"[A-Z]{2}", text) and text not in ("UK", "EN"):
        return None
    meant = {
        "uk": "GB", "england": "GB", "scotland": "GB", "wales": "GB", "britain": "GB", "great britain": "GB",
        "united kingdom": "GB", "usa": "US", "united states": "US", "america": "US", "portugal": "PT",
        "australia": "AU", "new zealand": "NZ", "ireland": "IE", "spain": "ES", "france": "FR", "germany": "DE",
        "canada": "CA", "italy": "IT", "norway": "NO", "en": "GB",
    }.get(folded(text), text.upper() if re.fullmatch(r"[A-Za-z]{2}", text) else "")  # fmt: skip
    return "country", meant


Form = Callable[[str], Judgement]

FORMS: dict[tuple[type, str], tuple[Form, bool]] = {
    (Place, "timezone"): (a_zone, False),
    (Place, "country"): (a_country, True),
    (Surface, "colour"): (a_colour, False),
    (Prop, "colour"): (a_colour, False),
    (Reading, "at"): (a_moment, False),
    (Fit, "date"): (a_date, True),
    (Step, "takes"): (a_duration, False),
    (Step, "looks_fresh_for"): (a_duration, True),
    (Shot, "name"): (a_short_name, False),
    (Shot, "date"): (a_date, True),
    (Shot, "from_time"): (a_time, True),
    (Shot, "to_time"): (a_time, True),
    (Channel, "name"): (a_short_name, False),
    (Creator, "licence_url"): (an_address, True),
    (Creator, "acquire_url"): (an_address, True),
    (Creator, "page_url"): (an_address, True),
    (Creator, "language"): (a_language, False),
    (Shoot, "studio"): (a_place_on_disk, False),
    (Shoot, "frames"): (a_place_on_disk, False),
    (Shoot, "date"): (a_date, False),
    (Shoot, "from_time"): (a_time, False),
    (Shoot, "to_time"): (a_time, False),
}
"""Which field has which form, and whether it may be empty."""


def form_of(cls: type, name: str) -> str:
    """A field's form by its name in words/allowed.py, or ''."""
    if (cls, name) not in FORMS:
        return ""
    judged = FORMS[(cls, name)][0]("\0")
    return judged[0] if judged else ""
