"""What measured light teaches: a reading kept, the studio fitted to its readings, a window's bearing from the sun."""

from dataclasses import dataclass
from datetime import datetime
from math import log2
from pathlib import Path

from plateside.files.settings import Add, Put, update_studio
from plateside.light.answers import Spread, rounded
from plateside.light.meter import BearingFound, Grazing, PatchCorner, bearing_from_sun
from plateside.light.moment import light_at
from plateside.light.sun import zone_of
from plateside.model.errors import InputError
from plateside.model.studio import Reading
from plateside.tasks.light_place import moment_in, spot_of, studio_file_of, window_of
from plateside.tasks.light_words import CAUTION

CORNER_WORDS = {"top-left": "top left", "top-right": "top right", "bottom-left": "bottom left",
                "bottom-right": "bottom right"}  # fmt: skip


@dataclass(frozen=True)
class ReadingKept:
    """A reading put into the studio file, and how far the model was from it."""

    studio_file: str
    spot: str
    at: datetime
    sky: str
    illuminance_lx: float
    predicted_lx: Spread
    off_stops: float
    """Measured over predicted [stops]."""
    readings: int
    """How many the studio file now holds."""

    def lines(self) -> list[str]:
        facts = [
            f"Kept in {self.studio_file}: {rounded(self.illuminance_lx)} lx at {self.spot}, "
            f"{self.at:%Y-%m-%d %H:%M}, {self.sky} sky.",
            f"The model said {self.predicted_lx.words('lx')}: the room is {self.off_stops:+.1f} stops from it.",
        ]
        if self.readings < 3:
            facts.append(
                f"{self.readings} of the 3 readings that a fit needs; other hours and skies teach most."
            )
        else:
            facts.append(
                f"{self.readings} readings are kept; fit the studio to them with: plateside light --fit"
            )
        return facts


@dataclass(frozen=True)
class BearingReport:
    """A window's bearing from noted moments."""

    window: str
    found: BearingFound
    kept_in: str
    """The studio file when it was written there, else empty."""

    def lines(self) -> list[str]:
        facts = [f"{self.window}: {line[0].lower()}{line[1:]}" for line in self.found.lines()[:1]]
        facts += self.found.lines()[1:]
        facts += [
            f"  {one.mark.when:%Y-%m-%d %H:%M}: {one.bearing_deg:.1f} degrees (give or take {one.spread_deg:.1f})"
            for one in self.found.marks
        ]
        if self.kept_in:
            facts.append(f"Written to {self.kept_in}.")
        else:
            facts.append(
                f"To keep it: bearing_deg = {self.found.bearing_deg:.1f} for {self.window!r}, or run again with --keep."
            )
        return [*facts, CAUTION]


def keep_reading(
    given: Path, spot: str, at: str, illuminance_lx: float, sky: str, evidence: str = ""
) -> ReadingKept:
    """Add a typed lux reading to the studio file.

    Raises InputError for a reading that cannot be, SettingsError when the file is wrong, CouldNotError from the disk.
    """
    if not 0.01 <= illuminance_lx <= 200000:
        raise InputError(
            f"{illuminance_lx:g} lx was read; a light meter on the dish shows from 0.01 to 200000 lx."
        )
    if sky not in ("clear", "hazy", "broken", "overcast"):
        raise InputError(f"The sky of a reading is {sky!r}; say how it was: clear, hazy, broken or overcast.")
    studio_file, _, studio = studio_file_of(given)
    place = spot_of(studio, spot)
    when = moment_in(zone_of(studio.place), at)
    predicted = light_at(studio, place, when, sky).horizontal_lx
    if predicted.value <= 0:
        raise InputError(
            f"At {when:%Y-%m-%d %H:%M} the sun is so far down that the window gives no light: check date and time "
            "(and switch lamps off before a reading)."
        )
    reading = Reading(
        at=when.replace(tzinfo=None).isoformat(timespec="minutes"),
        spot=place.name,
        illuminance_lx=illuminance_lx,
        sky=sky,
        source="lux",
        evidence=evidence,
    )
    now = update_studio(studio_file, [Add(("readings",), reading)])
    return ReadingKept(
        studio_file=studio_file.name,
        spot=place.name,
        at=when,
        sky=sky,
        illuminance_lx=illuminance_lx,
        predicted_lx=predicted,
        off_stops=log2(illuminance_lx / predicted.value),
        readings=len(now.readings),
    )


def find_bearing(given: Path, window: str, notes: list[list[str]], keep: bool) -> BearingReport:
    """A window's true bearing from noted moments.

    notes  each as words: [moment, 'left' or 'right'] for the moment the sun grazed the wall beside the window, or
           [moment, 'top-left' ..., metres along the wall, metres from the wall, metres high] for a patch's corner
    keep   write it to the studio file
    Raises InputError for a note that cannot be read or contradicts the almanac.
    """
    studio_file, _, studio = studio_file_of(given)
    pane = window_of(studio, window)
    zone = zone_of(studio.place)
    marks = [_mark(note, moment_in(zone, note[0])) for note in notes]
    found = bearing_from_sun(studio.place, studio, pane, marks)
    if keep:
        where = ("windows", studio.windows.index(pane), "bearing_deg")
        update_studio(studio_file, [Put(where, round(found.bearing_deg, 1))])
    return BearingReport(pane.name, found, studio_file.name if keep else "")


def _mark(note: list[str], when: datetime) -> Grazing | PatchCorner:
    if len(note) == 2 and note[1] in ("left", "right"):
        return Grazing(when, note[1])
    if len(note) in (4, 5) and note[1] in CORNER_WORDS:
        try:
            numbers = [float(n) for n in note[2:]]
        except ValueError:
            numbers = []
        if numbers:
            return PatchCorner(when, CORNER_WORDS[note[1]], numbers[0], numbers[1], *numbers[2:])
    raise InputError(
        f"The noted moment {' '.join(note)!r} cannot be read. Write when the sun grazed the wall, as "
        "'--bearing 2027-07-15T11:24 left', or where a corner of the sun patch lay, as "
        "'--bearing 2027-07-15T09:30 top-left 1.20 0.85 0' (metres along the wall from its left end seen from inside, "
        "from the wall, above the floor)."
    )
