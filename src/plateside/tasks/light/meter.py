"""What measured light teaches: a reading kept, the studio fitted to its readings, a window's bearing from the sun."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from math import log2
from pathlib import Path

from plateside.files.originals.kinds import is_raw
from plateside.files.originals.metadata import read_settings
from plateside.files.originals.pixels import linear_picture
from plateside.files.settings.load import open_shoot
from plateside.files.settings.write import Add, Put, Take, update_studio
from plateside.light.meter.bearing import Grazing, PatchCorner, bearing_from_sun
from plateside.light.meter.facts import BearingKept, CardRead, SavedFit, SavedReading
from plateside.light.meter.fit import FEWEST, FitReport, fit_studio
from plateside.light.meter.iso12232 import illuminance_from_grey_card
from plateside.light.moment import light_at
from plateside.light.sky import SKY_WORDS
from plateside.light.sun import zone_of
from plateside.model.errors import InputError
from plateside.model.frame import Settings
from plateside.model.gear import Camera
from plateside.model.progress import Progress, silent
from plateside.model.readings import same_entries
from plateside.model.room import Spot
from plateside.model.studio import Reading, Studio
from plateside.tasks.light.place import moment_in, spot_of, studio_file_of, window_of
from plateside.words.light import refusals

CORNER_WORDS = {"top-left": "top left", "top-right": "top right", "bottom-left": "bottom left",
                "bottom-right": "bottom right"}  # fmt: skip


CardArea = tuple[float, float, float, float]
MIDDLE: CardArea = (0.4, 0.4, 0.2, 0.2)
"""Left, top, width, height as shares of the picture: where the card is looked for when nothing is said."""
LEAST_LX = 0.01
"""Where the model sees less, a reading cannot have come from the window."""
MOST_LX = 200000.0
"""Full sun is half of it."""
MOST_FRAMES = 300
"""Raws to choose a grey card's frame from."""
MOST_UNEVEN = 0.25
"""A patch that scatters more than this about its mean is no evenly lit card."""


def keep_reading(
    given: Path, spot: str, at: str, illuminance_lx: float, sky: str, evidence: str = ""
) -> SavedReading:
    """Add a typed lux reading to the studio file.

    Raises InputError for a reading that cannot be, SettingsError when the file is wrong, CouldNotError from the disk.
    """
    studio_file, _, studio = studio_file_of(given)
    when = moment_in(zone_of(studio.place), at)
    return _keep(studio_file, studio, spot_of(studio, spot), when, illuminance_lx, sky, "lux", 0.1, evidence)


def keep_card(
    given: Path,
    spot: str,
    frame: Path,
    sky: str,
    at: str = "",
    card: CardArea = MIDDLE,
    reflectance: float = 0.18,
) -> SavedReading:
    """Add a reading from a raw frame of the grey card, which lay flat where the dish stands.

    at    when it was taken; empty: by the camera's clock and its offset in the studio file
    card  where the card is in the picture, as shares: left, top, width, height
    Raises InputError when the frame is no raw, does not tell its exposure, or the patch is no evenly lit card.
    """
    studio_file, _, studio = studio_file_of(given)
    read = read_card(given, frame, at, card, reflectance)
    if read.when is None:
        raise InputError(*refusals.no_time_in_frame(frame.name))
    return _keep(
        studio_file, studio, spot_of(studio, spot), read.when, read.illuminance_lx, sky, "grey card",
        read.spread_stops, frame.name,
    )  # fmt: skip


def read_card(
    given: Path, frame: Path, at: str = "", card: CardArea = MIDDLE, reflectance: float = 0.18
) -> CardRead:
    """The light on a grey card by its raw frame; nothing is written. Arguments and errors as keep_card's, but a frame
    that does not say when it was taken is read all the same."""
    _, _, studio = studio_file_of(given)
    settings = read_settings(frame)
    camera = _camera(studio, settings)
    if settings.f_number is None or settings.exposure_s is None or settings.iso is None:
        raise InputError(refusals.no_exposure_in_frame(frame.name))
    measured = illuminance_from_grey_card(
        f_number=settings.f_number,
        exposure_s=settings.exposure_s,
        iso=settings.iso,
        raw_share=_raw_share(frame, card),
        card_reflectance=reflectance,
        magnification=_magnification(settings),
        meter_factor=camera.meter_factor,
    )
    zone = zone_of(studio.place)
    when = moment_in(zone, at) if at else None
    if when is None and settings.taken_at is not None:
        when = (settings.taken_at + timedelta(seconds=camera.clock_offset_s)).replace(tzinfo=zone)
    return CardRead(measured.illuminance_lx, measured.spread_stops, when)


def card_frames(root: Path) -> list[str]:
    """The raws among a shoot's frames, newest first, by their path in the frames folder; at most MOST_FRAMES."""
    folder = open_shoot(root).folder.frames_dir
    raws = [p for p in folder.rglob("*") if p.is_file() and is_raw(p)] if folder.is_dir() else []
    raws.sort(key=lambda p: (-p.stat().st_mtime, p.name))
    return [p.relative_to(folder).as_posix() for p in raws[:MOST_FRAMES]]


def card_frame(root: Path, name: str) -> Path:
    """The file of one of card_frames. Raises InputError for another name."""
    if name not in card_frames(root):
        raise InputError(refusals.no_such_raw(name))
    return open_shoot(root).folder.frames_dir / name


def _raw_share(frame: Path, card: CardArea) -> float:
    """Mean green level of the card's patch over saturation."""
    picture = linear_picture(frame)
    if not picture.is_raw:
        raise InputError(refusals.no_raw(frame.name))
    high, wide = picture.rgb.shape[:2]
    left, top, width, height = card
    if not (0 <= left < left + width <= 1 and 0 <= top < top + height <= 1):
        raise InputError(refusals.patch_outside(card))
    patch = picture.rgb[
        int(top * high) : max(int((top + height) * high), int(top * high) + 1),
        int(left * wide) : max(int((left + width) * wide), int(left * wide) + 1),
        1,
    ]
    mean = float(patch.mean())
    if mean > 0 and float(patch.std()) > MOST_UNEVEN * mean:
        raise InputError(*refusals.patch_uneven(frame.name))
    return mean / picture.saturation[1]


def _magnification(settings: Settings) -> float:
    """Image over subject size from the focus distance, when the frame tells it; else far away."""
    if not settings.focal_length_mm or not settings.focus_distance_m:
        return 0.0
    beyond = settings.focus_distance_m * 1000 - settings.focal_length_mm
    return settings.focal_length_mm / beyond if beyond > settings.focal_length_mm else 0.0


def _camera(studio: Studio, settings: Settings) -> Camera:
    named = [c for c in studio.cameras if c.exif_model and c.exif_model == settings.camera_model]
    return (named or list(studio.cameras) or [Camera(name="unknown")])[0]


def _keep(
    studio_file: Path,
    studio: Studio,
    place: Spot,
    when: datetime,
    illuminance_lx: float,
    sky: str,
    source: str,
    spread_stops: float,
    evidence: str,
) -> SavedReading:
    if not LEAST_LX <= illuminance_lx <= MOST_LX:
        raise InputError(refusals.reading_out_of_range(illuminance_lx, LEAST_LX, MOST_LX))
    if sky not in SKY_WORDS:
        raise InputError(refusals.reading_without_sky(sky, SKY_WORDS))
    predicted = light_at(studio, place, when, sky).horizontal_lx
    if predicted.value < LEAST_LX:
        raise InputError(refusals.reading_in_the_dark(f"{when:%Y-%m-%d %H:%M}"))
    reading = Reading(
        at=when.replace(tzinfo=None).isoformat(timespec="minutes"),
        spot=place.name,
        illuminance_lx=round(illuminance_lx, 2),
        sky=sky,
        source=source,
        evidence=evidence,
    )
    # the same frame kept again takes the place of what it said before: one card counts once
    again = [Take(("readings", at)) for at in same_entries(studio.readings, reading)]
    now = update_studio(studio_file, [*again, Add(("readings",), reading)])
    return SavedReading(
        studio_file=studio_file.name,
        spot=place.name,
        at=when,
        sky=sky,
        source=source,
        illuminance_lx=illuminance_lx,
        spread_stops=spread_stops,
        predicted_lx=predicted,
        off_stops=log2(illuminance_lx / predicted.value),
        instead=len(again),
        readings=len(now.readings),
        fit_needs=FEWEST,
    )


def fit_to_readings(given: Path, today: date, progress: Progress = silent) -> SavedFit:
    """Fit the studio's factors to its readings and write [fit].

    Raises InputError for fewer than three readings; what was fitted before is taken out first, not fitted upon.
    """
    studio_file, _, _ = studio_file_of(given)
    found = what_readings_teach(given, today, progress)
    update_studio(studio_file, [Put(("fit",), found.fit)])
    return SavedFit(studio_file.name, found)


def what_readings_teach(given: Path, today: date, progress: Progress = silent) -> FitReport:
    """The studio's factors fitted to its readings; nothing is written. Raises as fit_to_readings."""
    _, _, studio = studio_file_of(given)
    return fit_studio(studio, date=today.isoformat(), progress=progress)


def find_bearing(given: Path, window: str, notes: Sequence[Sequence[str]], keep: bool) -> BearingKept:
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
    return BearingKept(pane.name, found, studio_file.name if keep else "")


def _mark(note: Sequence[str], when: datetime) -> Grazing | PatchCorner:
    if len(note) == 2 and note[1] in ("left", "right"):
        return Grazing(when, note[1])
    if len(note) in (4, 5) and note[1] in CORNER_WORDS:
        try:
            numbers = [float(n) for n in note[2:]]
        except ValueError:
            numbers = []
        if numbers:
            return PatchCorner(when, CORNER_WORDS[note[1]], numbers[0], numbers[1], *numbers[2:])
    raise InputError(refusals.unread_note(" ".join(note)))
