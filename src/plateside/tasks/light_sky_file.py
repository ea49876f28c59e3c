"""Her own forecast or weather file, given on the page: read, checked, and kept in the shoot's folder `sky`.

The page's answer to the command's --forecast and --weather. A forecast is kept with its times written out, so that bare
times go on meaning the day they were given for.
"""

from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np

from plateside.files.atomic import write_text
from plateside.files.settings import open_shoot
from plateside.light.weather import parse_cloud_cover, parse_epw, parse_tmy3
from plateside.tasks.light_choice import sky_file
from plateside.tasks.light_words import day_words


@dataclass(frozen=True)
class KeptSky:
    """What was given."""

    kind: str
    """forecast or typical year"""
    words: str

    def lines(self) -> list[str]:
        return [self.words]


def keep_sky_file(root: Path, text: str, day: date) -> KeptSky:
    """Keep what was given; a forecast or a year that was there before gives way.

    day  the day that bare times in a forecast belong to
    Raises InputError, with the line, for what is neither; nothing is kept then.
    """
    place = open_shoot(root).studio.place
    text = text.removeprefix("\ufeff")
    if _is_year(text):
        found = parse_epw(text) if _is_epw(text) else parse_tmy3(text)
        write_text(sky_file(root, "typical year"), text)
        return KeptSky("typical year", f"The typical year of {found.place_name} is kept with the shoot.")
    cloud = parse_cloud_cover(text, place.timezone, day)
    seconds = cloud.times_utc.astype("datetime64[s]")
    rows = [f"{at}Z,{100 * share:g}" for at, share in zip(seconds, cloud.share, strict=True)]
    write_text(sky_file(root, "forecast"), "\n".join(["time,cloud cover in percent", *rows]) + "\n")
    first, last = (
        datetime.fromtimestamp(int(at), ZoneInfo(place.timezone))
        for at in (seconds[0].astype(np.int64), seconds[-1].astype(np.int64))
    )
    until = f"{last:%H:%M}" if first.date() == last.date() else f"{day_words(last.date())} {last:%H:%M}"
    return KeptSky(
        "forecast",
        f"The forecast from {day_words(first.date())} {first:%H:%M} to {until} is kept with the shoot.",
    )


def _is_epw(text: str) -> bool:
    return text[:9].upper().startswith("LOCATION,")


def _is_year(text: str) -> bool:
    """An EPW file, or a TMY3 one: its second line names the columns."""
    return _is_epw(text) or "ETR" in "".join(text.splitlines()[1:2])
