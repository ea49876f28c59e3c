"""What is known of the lens of each frame of a run: by the raw's own word, else by a profile, else left alone."""

from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from plateside.files.cache import key_of
from plateside.files.lens_profiles import NotFound, Profile, profile_of
from plateside.files.originals.dng_opcodes import LensOpcodes, lens_opcodes
from plateside.files.originals.kinds import is_raw
from plateside.files.originals.metadata import read_settings
from plateside.files.originals.raws import raw_size
from plateside.finish.lens import Lens, lens_of_opcodes, put_right
from plateside.finish.lens_facts import (
    CAMERA_MADE,
    DAMAGED,
    FILE,
    NOTHING_TO_DO,
    OFF,
    ON,
    PROFILE,
    SHADING,
    LensDone,
)
from plateside.finish.opcodes import DamagedOpcodesError, Opcode, opcodes_of
from plateside.finish.squaring import Focal
from plateside.model.frame import Settings
from plateside.model.pixels import LinearPicture

_METHOD = 2
_TRIED_PX = 480
_DIAGONAL_35MM = 43.267


@dataclass(frozen=True, eq=False)
class LensFound:
    """Of one frame."""

    done: LensDone
    orientation: int = 1
    key: tuple[object, ...] = ()
    """of all that its correction depends on besides the frame; empty: it is left alone"""
    profile: Profile | None = None
    opcodes: tuple[tuple[Opcode, ...], tuple[Opcode, ...]] = ((), ())
    of: LensOpcodes | None = None

    def lens(self, size: tuple[int, int]) -> Lens | None:
        """The table for the frame, upright, in that width and height [px]; None: it is left alone."""
        if not self.done.corrected:
            return None
        lying = size[::-1] if self.orientation >= 5 else size
        if self.profile is not None:
            found = self.profile.lens_for(lying)
        else:
            assert self.of is not None  # noqa: S101 - one of both is there
            found = lens_of_opcodes(*self.opcodes, self.of.size, self.of.pattern).scaled(lying)
        return None if found.to_frame is None and found.gain is None else found.upright(self.orientation)


@dataclass(eq=False)
class Lenses:
    """The lenses of one run."""

    use: str = OFF
    """ON, OFF, or the profile to take where several fit"""
    _found: dict[Path, LensFound] = field(default_factory=dict)

    def of(self, path: Path) -> LensFound:
        """What is known of a frame's lens. Raises CouldNotError when its file cannot be opened."""
        if path not in self._found:
            self._found[path] = _lens_of(path, self.use)
        return self._found[path]

    def shaded(self, path: Path, linear: np.ndarray, picture: LinearPicture) -> np.ndarray:
        """A developed picture, of any size, with the light put back that its lens lost; it is not moved."""
        height, width = linear.shape[:2]
        found = self.of(path)
        lens = found.lens((width, height)) if SHADING in found.done.does else None
        gain = None if lens is None else lens.shading((0, height, 0, width))
        return linear if gain is None else put_right(linear, gain, np.asarray(picture.to_srgb, np.float32))

    def shading_key(self, path: Path) -> list[object]:
        """What `shaded` depends on."""
        found = self.of(path)
        return list(found.key) if SHADING in found.done.does else []


def _lens_of(path: Path, use: str) -> LensFound:
    if not is_raw(path):
        return LensFound(LensDone(CAMERA_MADE))
    settings = read_settings(path)
    if use == OFF:
        return LensFound(LensDone(OFF, settings.lens_model))
    own = lens_opcodes(path)
    if own is not None:
        try:
            mosaic, picture = opcodes_of(own.mosaic), opcodes_of(own.picture)
            if mosaic or picture:
                return _by_file(path, settings, own, mosaic, picture)
        except DamagedOpcodesError:
            return LensFound(LensDone(DAMAGED, path.name))
    return _by_profile(settings, "" if use == ON else use)


def _by_file(
    path: Path, settings: Settings, own: LensOpcodes, mosaic: tuple[Opcode, ...], picture: tuple[Opcode, ...]
) -> LensFound:
    size = raw_size(path)
    wide, high = size[::-1] if settings.orientation >= 5 else size
    left, top = own.corner
    # LibRaw begins a Bayer mosaic at an even column and row: of an active area that does not, it leaves the first out,
    # which moves what the lens does by hundredths of a pixel
    if (wide, high) not in (own.size, (own.size[0] - left % 2, own.size[1] - top % 2)):
        raise DamagedOpcodesError("size")
    # tried at once, so that what is said of it is what will be done
    does = lens_of_opcodes(mosaic, picture, own.size, own.pattern).does
    if not does:
        return LensFound(LensDone(DAMAGED, path.name))
    key = (FILE, _METHOD, key_of(own.mosaic.hex(), own.picture.hex()))
    return LensFound(LensDone(FILE, "", does), settings.orientation, key, None, (mosaic, picture), own)


def _by_profile(settings: Settings, named: str) -> LensFound:
    found = profile_of(settings, named)
    if isinstance(found, NotFound):
        return LensFound(LensDone(found.code, found.name, (), found.others))
    if found.key not in _does:
        try:
            _does[found.key] = found.lens_for((_TRIED_PX * 3 // 2, _TRIED_PX)).does
        except DamagedOpcodesError:
            _does[found.key] = ()
    does = _does[found.key]
    if not does:
        return LensFound(LensDone(NOTHING_TO_DO, found.name, (), found.others))
    key = (PROFILE, _METHOD, *found.key)
    return LensFound(LensDone(PROFILE, found.name, does, found.others), settings.orientation, key, found)


_does: dict[tuple[object, ...], tuple[str, ...]] = {}
"""What each profile puts right, by its key: many frames of a shoot have the same."""


def focal_of(settings: Settings, size: tuple[int, int], sensor_width_mm: float | None = None) -> Focal | None:
    """How far the lens stood from the sensor [px of a picture of that size], as the file and the studio say.

    sensor_width_mm  of the camera in the studio; None: it is not there
    """
    focal = settings.focal_length_mm
    if focal is None:
        return None
    # a lens that is focused near stands further off: 1/f = 1/v + 1/u
    away = (settings.focus_distance_m or 0.0) * 1000
    image, spread = (focal * away / (away - focal), 0.01) if away > 2 * focal else (1.04 * focal, 0.04)
    width = settings.sensor_width_mm or sensor_width_mm
    if width is not None:
        return Focal(image / width * max(size), spread)
    if settings.focal_length_35mm is None:
        return None
    on_35mm = settings.focal_length_35mm * image / focal
    return Focal(on_35mm / _DIAGONAL_35MM * float(np.hypot(*size)), float(np.hypot(spread, 0.02)))
