"""What a frame's own metadata says of it: EXIF 2.32 through exifread (0.3 ms; LibRaw's own would unpack the raw)."""

import contextlib
import logging
import math
import warnings
from dataclasses import replace
from datetime import datetime, timedelta
from io import BytesIO
from pathlib import Path
from typing import Any, BinaryIO

import exifread

from plateside.files.originals.in_hand import in_hand
from plateside.files.originals.kinds import content_kind, is_display
from plateside.files.originals.tiff_directories import directories
from plateside.files.originals.unreadable import unread
from plateside.model.errors import InputError
from plateside.model.frame import Settings

# exifread logs every odd tag; here an odd tag is simply a fact that is not known.
logging.getLogger("exifread").setLevel(logging.CRITICAL)

_LONGEST_TEXT = 200
_NOISE_PROFILE = 51041
_PICTURE_TAGS = ("EXIF Contrast", "EXIF Saturation", "EXIF CustomRendered", "EXIF SceneCaptureType")
_PICTURE_WORDS = (
    "picturemode",
    "picturestyle",
    "picturecontrol",
    "creativestyle",
    "filmmode",
    "dynamicrange",
)


def read_settings(path: Path) -> Settings:
    """The camera's settings as the file states them; what it does not state is None.

    Times are the camera's own clock, naive, with sub-seconds when written. Values are nominal, as written
    (1/3 s stays 0.333...). Raises CouldNotError when the file cannot be opened; odd or missing metadata
    is no error.
    """
    try:
        with path.open("rb") as file:
            is_heif = is_display(path) and content_kind(file.read(64)) == "HEIC"
            file.seek(0)
            if not is_heif:
                settings = settings_of(_tags(file))
                noise = _noise_of_raw(file)
                return settings if noise is None else replace(settings, noise_profile=noise)
    except OSError as error:
        raise unread(path.name, error) from error
    # loaded only for a HEIF: its decoder takes a second to load, which nothing else that reads metadata should wait
    from plateside.files.originals import heifs

    # a HEIF's own boxes say how it is turned, and its decoder turns it: EXIF's word for it would turn it twice
    # (ISO/IEC 23008-12, 6.5.10 and annex A)
    with contextlib.suppress(InputError), in_hand(path):
        return replace(settings_of(_tags(BytesIO(heifs.exif(path)))), orientation=1)
    return Settings()


def _tags(file: BinaryIO) -> dict[str, Any]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        # A damaged file may raise nearly anything from inside the parser; all of it means "says nothing".
        with contextlib.suppress(Exception):
            return dict(exifread.process_file(file, details=True, extract_thumbnail=False))
        with contextlib.suppress(Exception):
            file.seek(0)
            return dict(exifread.process_file(file, details=False, extract_thumbnail=False))
    return {}


def settings_of(tags: dict[str, Any]) -> Settings:
    """Settings out of exifread's tags (exposed for files whose metadata comes another way)."""
    # A DNG may keep these in its first directory instead of the EXIF one (TIFF/EP does so as well).
    tags = {f"EXIF {k[6:]}": v for k, v in tags.items() if k.startswith("Image ")} | tags
    exposure_s = _number(tags, "EXIF ExposureTime")
    if exposure_s is None and (apex := _number(tags, "EXIF ShutterSpeedValue")) is not None:
        exposure_s = _power(-apex)
    f_number = _number(tags, "EXIF FNumber")
    if f_number is None and (apex := _number(tags, "EXIF ApertureValue")) is not None:
        f_number = _power(apex / 2)
    iso = _number(tags, "EXIF ISOSpeedRatings") or _number(tags, "EXIF PhotographicSensitivity")
    if iso is None or iso >= 65535:  # EXIF 2.3: 65535 means "look in RecommendedExposureIndex"
        iso = _number(tags, "EXIF RecommendedExposureIndex") or iso
    orientation = _number(tags, "Image Orientation")
    distance = _number(tags, "EXIF SubjectDistance")
    return Settings(
        taken_at=_taken_at(tags),
        camera_model=_text(tags, "Image Model"),
        camera_make=_text(tags, "Image Make"),
        lens_model=_lens_model(tags),
        focal_length_mm=_positive(_number(tags, "EXIF FocalLength")),
        f_number=_positive(f_number),
        exposure_s=_positive(exposure_s),
        iso=int(iso) if iso and 0 < iso < 1e9 else None,
        auto_iso=_auto_iso(tags),
        auto_white_balance=_auto_white_balance(tags),
        stabiliser_on=_stabiliser(tags),
        exposure_bias_stops=_bias(tags),
        focus_distance_m=_positive(distance),
        orientation=int(orientation) if orientation and 1 <= orientation <= 8 else 1,
        baseline_exposure_stops=_baseline_exposure(tags),
        noise_profile=_noise_profile(tags),
        picture_setting=_picture_setting(tags),
        sensor_width_mm=_sensor_width(tags),
        focal_length_35mm=_positive(_number(tags, "EXIF FocalLengthIn35mmFilm")),
    )


def _lens_model(tags: dict[str, Any]) -> str:
    """EXIF 2.32 LensModel, else what the maker's note calls so; makers write dashes for a lens they do not know."""
    for name in ("EXIF LensModel", "MakerNote LensModel", "MakerNote LensType"):
        text = _text(tags, name)
        if any(c.isalpha() for c in text) and "unknown" not in text.lower():
            return text
    return ""


def _sensor_width(tags: dict[str, Any]) -> float | None:
    """EXIF 2.32, FocalPlaneXResolution: pixels for each inch (2), centimetre (3), millimetre (4), micrometre (5)."""
    resolution, width = (
        _number(tags, f"EXIF {name}") for name in ("FocalPlaneXResolution", "ExifImageWidth")
    )
    unit = {2: 25.4, 3: 10.0, 4: 1.0, 5: 0.001}.get(int(_number(tags, "EXIF FocalPlaneResolutionUnit") or 2))
    if not resolution or not width or unit is None or resolution < 0:
        return None
    found = width / resolution * unit
    return found if 2 < found < 150 else None


def _baseline_exposure(tags: dict[str, Any]) -> float | None:
    stops = _number(tags, "Image Tag 0xC62A")
    return stops if stops is not None and -2 <= stops <= 4 else None


def _noise_profile(tags: dict[str, Any]) -> tuple[tuple[float, float], ...] | None:
    """As the first directory states it, where some write it."""
    # a DOUBLE comes as a tuple of one
    values = [v[0] if isinstance(v, tuple) and v else v for v in _values(tags, "Image Tag 0xC761")]
    return _noise_of([v for v in values if isinstance(v, float)])


def _noise_of_raw(file: BinaryIO) -> tuple[tuple[float, float], ...] | None:
    """As the raw's own directory states it: the specification's place, which exifread passes over."""
    stated = (_noise_of(d.doubles(_NOISE_PROFILE)) for d in directories(file) if d.of_a_sensor)
    return next((noise for noise in stated if noise is not None), None)


def _noise_of(numbers: list[float]) -> tuple[tuple[float, float], ...] | None:
    """DNG 1.3, NoiseProfile: S and O for each colour plane, or one pair for all; None: no such numbers."""
    pairs = list(zip(numbers[::2], numbers[1::2], strict=False))
    if len(numbers) in (2, 6) and all(0 < s < 0.1 and abs(o) < 0.1 for s, o in pairs):
        return tuple(pairs * (3 // len(pairs)))
    return None


def _picture_setting(tags: dict[str, Any]) -> str:
    """EXIF 2.32 Contrast, Saturation, CustomRendered, SceneCaptureType, and what a maker's note calls by such names."""
    said = [f"{name} {tags[name]}" for name in _PICTURE_TAGS if name in tags]
    for name, tag in sorted(tags.items()):
        low = name.lower().replace(" ", "")
        if name.startswith("MakerNote") and any(word in low for word in _PICTURE_WORDS):
            said.append(f"{name[10:]} {tag}"[:60])
    return "; ".join(said)[:_LONGEST_TEXT]


def _bias(tags: dict[str, Any]) -> float | None:
    stops = _number(tags, "EXIF ExposureBiasValue")
    return stops if stops is not None and abs(stops) < 64 else None


def _power(stops: float) -> float | None:
    return 2.0**stops if abs(stops) < 64 else None


def _values(tags: dict[str, Any], name: str) -> list[Any]:
    tag = tags.get(name)
    values = getattr(tag, "values", None)
    if isinstance(values, list | tuple):
        return list(values)
    return [] if values is None else [values]


def _number(tags: dict[str, Any], name: str) -> float | None:
    values = _values(tags, name)
    if not values or isinstance(values[0], str | bytes):
        return None
    try:
        number = float(values[0])
    except (TypeError, ValueError, ArithmeticError):
        return None
    return number if math.isfinite(number) else None


def _positive(value: float | None) -> float | None:
    return value if value is not None and 0 < value < 1e6 else None


def _text(tags: dict[str, Any], name: str) -> str:
    """What stands in a tag, as it can be shown: damaged tags hold anything, and much of it."""
    if name not in tags:
        return ""
    text = str(tags[name]).split("\0")[0].strip()[:_LONGEST_TEXT]
    return "".join(c for c in text if c.isprintable()).strip()


def _taken_at(tags: dict[str, Any]) -> datetime | None:
    for name in ("EXIF DateTimeOriginal", "EXIF DateTimeDigitized", "Image DateTime"):
        with contextlib.suppress(ValueError, OverflowError):
            at = datetime.strptime(_text(tags, name)[:19], "%Y:%m:%d %H:%M:%S")
            if not 1900 <= at.year <= 2200:
                continue
            digits = _text(tags, "EXIF SubSecTimeOriginal")
            if digits.isascii() and digits.isdigit():
                at += timedelta(seconds=float(f"0.{digits}"))
            return at
    return None


def _auto_white_balance(tags: dict[str, Any]) -> bool | None:
    value = _number(tags, "EXIF WhiteBalance")  # tag 41987: 0 auto, 1 manual
    return None if value is None else value == 0


def _auto_iso(tags: dict[str, Any]) -> bool | None:
    """EXIF has no word for it; makers' notes sometimes have."""
    for name, tag in tags.items():
        if name.startswith("MakerNote") and "iso" in name.lower():
            said = str(tag).strip().lower()
            if said in ("auto", "auto iso", "iso auto") or ("autoiso" in name.lower() and said == "on"):
                return True
            if "autoiso" in name.lower() and said == "off":
                return False
    return None


def _stabiliser(tags: dict[str, Any]) -> bool | None:
    for name, tag in tags.items():
        low = name.lower().replace(" ", "")
        if name.startswith("MakerNote") and ("imagestabili" in low or "vibrationreduction" in low):
            said = str(tag).strip().lower()
            if said.startswith(("off", "none")) or said == "0":
                return False
            if said.startswith("on") or said in ("1", "2"):
                return True
    return None
