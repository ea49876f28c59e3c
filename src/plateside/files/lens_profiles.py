"""Lens profiles, by camera and lens as EXIF names them: lensfun's, through lensfunpy, the extra `lens`.

The data comes in lensfunpy's package and is read there, unmodified: lensfun's database, by its contributors, Creative
Commons Attribution-ShareAlike 3.0 (docs/decisions/0041). A lens is believed when it is named as its profile is, but
for spaces, case and the maker's name; what is only like it is offered, never taken.
"""

import functools
import importlib.util
import re
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from plateside.finish.lens import Lens, believed, lens_of_opcodes, places_of
from plateside.finish.lens_facts import (
    NO_CAMERA,
    NO_EXTRA,
    NO_FOCAL_LENGTH,
    NO_LENS,
    NOTHING_TO_DO,
    SEVERAL,
    UNKNOWN,
)
from plateside.finish.opcodes import Warp, fitted_warp
from plateside.model.frame import Settings

CREDIT = "lensfun"
_MOST_OFFERED = 4
_PLACES = (32, 24)
"""Across and down, of a picture, that its law is fitted to."""
_VIGNETTING_CELLS = 512
_NO_MOVE_PX = 0.02
FAR_M = 1000.0
"""Where EXIF says no distance: lensfun's own default."""


@dataclass(frozen=True, eq=False)
class Profile:
    """A lens's profile, for the settings of one frame."""

    lens: Any
    crop: float
    """diagonal of 36 x 24 mm over that of the sensor"""
    name: str
    focal_length_mm: float
    f_number: float | None
    distance_m: float
    key: tuple[object, ...]
    """of all that its correction depends on"""
    others: tuple[str, ...] = ()
    """you chose it: profiles that may fit, it among them"""

    def lens_for(self, size: tuple[int, int]) -> Lens:
        """The table for a picture of that width and height, as the sensor lies [px].

        Raises DamagedOpcodesError for a profile that folds the picture.
        """

        _step, x, y = places_of(size)
        warps = self._warp(size)
        found = lens_of_opcodes((), warps, size, ())
        return believed(replace(found, gain=self._gain(size, x, y)))

    def _warp(self, size: tuple[int, int]) -> tuple[Warp, ...]:
        """lensfun's places, as one law for each colour.

        Its laws are all of the distance from the middle, and what tangents add, so that is what is fitted. Its maps
        are off them by some tenths of a pixel at 24 megapixels: along a row each place is found by adding to the last
        one in 24 bits. Place by place it follows its law. We stand between the two (`bench lenses`).
        """
        import lensfunpy

        flags = lensfunpy.ModifyFlags
        made = self._modifier(size, flags.DISTORTION | flags.TCA, self.f_number or 8.0)
        width, height = size
        columns = np.linspace(0, width - 1, _PLACES[0]).round().astype(int)
        x, y = np.meshgrid(columns.astype(float), np.linspace(0, height - 1, _PLACES[1]))
        asked = made.apply_subpixel_geometry_distortion
        alone = [asked(*at, 1, 1) for at in zip(x.flat, y.flat, strict=True)]
        if any(place is None for place in alone):
            return ()
        in_rows = np.stack([asked(0.0, float(at), width, 1)[0, columns] for at in y[:, 0]])
        found = (in_rows + np.reshape(alone, in_rows.shape)).astype(np.float64) / 2
        each = [fitted_warp(x, y, found[..., plane, 0], found[..., plane, 1], size) for plane in range(3)]
        warp = Warp(
            np.stack([one[0] for one in each]), np.stack([one[1] for one in each]), np.tile([0.0, 1.0], (3, 1)),
            (0.5, 0.5),
        )  # fmt: skip
        at = [np.stack(warp.source(x, y, size, plane)) for plane in range(3)]
        if max(float(np.abs(one - np.stack([x, y])).max()) for one in at) < _NO_MOVE_PX:
            return ()
        if max(float(np.abs(one - at[1]).max()) for one in at) < _NO_MOVE_PX:
            return (Warp(warp.radial[1:2], warp.tangential[1:2], warp.valid[:1], warp.centre),)
        return (warp,)

    def _gain(self, size: tuple[int, int], x: Any, y: Any) -> Any:
        """lensfun shades a whole picture only; it is smooth, and looked up in a small one of the same shape."""
        import lensfunpy

        if self.f_number is None:
            return None
        share = _VIGNETTING_CELLS / max(size)
        small = max(round(size[0] * share), 2), max(round(size[1] * share), 2)
        made = self._modifier(small, lensfunpy.ModifyFlags.VIGNETTING, self.f_number)
        light = np.ones((small[1], small[0], 3), np.float32)
        if not made.apply_color_modification(light):
            return None
        gain = light[..., :1].astype(np.float64)
        if not np.isfinite(gain).all() or np.abs(gain - 1).max() < 0.002:
            return None
        # its corners are the middles of the corner pixels, of either picture
        step = (size[0] - 1) / max(small[0] - 1, 1), (size[1] - 1) / max(small[1] - 1, 1)
        of_small = Lens(size, (0.0, 0.0), step, None, gain)
        return of_small.gain_at(x, y)

    def _modifier(self, size: tuple[int, int], flags: int, f_number: float) -> Any:
        import lensfunpy

        made = lensfunpy.Modifier(self.lens, self.crop, *size)
        made.initialize(
            self.focal_length_mm, f_number, self.distance_m, scale=1.0, targeom=self.lens.type,
            pixel_format=np.float32, flags=flags,
        )  # fmt: skip
        return made


@dataclass(frozen=True)
class NotFound:
    """Why there is no profile."""

    code: str
    name: str = ""
    """the lens, or the camera, as its file says it"""
    others: tuple[str, ...] = ()
    """profiles that may fit"""


def profile_of(settings: Settings, named: str = "") -> Profile | NotFound:
    """The profile of the lens that a frame was taken with. `named`: the one you chose where several may fit."""
    base = _database()
    if base is None:
        return NotFound(NO_EXTRA)
    cameras = _cameras(base, settings)
    if not cameras:
        return NotFound(NO_CAMERA, settings.camera_model)
    found = _lenses(base, cameras[0], settings)
    exact = [lens for lens in found if _plain(lens) == _plain_name(settings.lens_model, lens.maker)]
    if settings.lens_model and not exact:  # lensfun looks for whole words, and names are run together
        wanted, mount = settings.lens_model, cameras[0].mount
        same = [
            one
            for one in base.lenses
            if mount in one.mounts and _plain(one) == _plain_name(wanted, one.maker)
        ]
        exact = _of_focal(same, settings.focal_length_mm)
    if not settings.lens_model:
        # a camera whose lens cannot be changed has a mount of its own, and often no name for its lens
        fixed = cameras[0].mount[:1].islower()
        exact, found = (found, found) if fixed else ([], [])
    names = list(dict.fromkeys(_name(lens) for lens in exact))
    offered = () if len(names) == 1 else tuple(names or dict.fromkeys(_name(lens) for lens in found))
    chosen = [lens for lens in found if named and named in (_name(lens), lens.model)]
    if chosen:
        exact, names = chosen, list(dict.fromkeys(_name(lens) for lens in chosen))
    if len(names) != 1:
        if not offered:
            return NotFound(UNKNOWN if settings.lens_model else NO_LENS, settings.lens_model)
        return NotFound(SEVERAL, settings.lens_model, offered[:_MOST_OFFERED])
    # named by the command it may be one that was not among the first
    offered = tuple(dict.fromkeys([*offered[:_MOST_OFFERED], *names])) if offered else ()
    return _for(_calibrated_on(exact, cameras[0].crop_factor), cameras[0].crop_factor, settings, offered)


def _for(lens: Any, crop: float, settings: Settings, offered: tuple[str, ...]) -> Profile | NotFound:
    focal = settings.focal_length_mm
    if focal is None and lens.min_focal and lens.min_focal == lens.max_focal:
        focal = float(lens.min_focal)
    if focal is None:
        return NotFound(NO_FOCAL_LENGTH, _name(lens), offered)
    if not (lens.calib_distortion or lens.calib_tca or lens.calib_vignetting):
        return NotFound(NOTHING_TO_DO, _name(lens), offered)
    distance = settings.focus_distance_m or FAR_M
    key = (
        CREDIT,
        _version(),
        lens.maker,
        lens.model,
        lens.crop_factor,
        crop,
        focal,
        settings.f_number,
        distance,
    )
    return Profile(lens, crop, _name(lens), focal, settings.f_number, distance, key, offered)


@functools.cache
def _database() -> Any:
    if importlib.util.find_spec("lensfunpy") is None:
        return None
    import lensfunpy

    return lensfunpy.Database()


@functools.cache
def _version() -> str:
    from importlib.metadata import version

    return version("lensfunpy")


def _cameras(base: Any, settings: Settings) -> list[Any]:
    """Of that very name; a camera of more than one picture shape has an entry for each, and is left alone."""
    if not settings.camera_model:
        return []
    maker = settings.camera_make or None
    found = base.find_cameras(maker, settings.camera_model)
    wanted = _plain_name(settings.camera_model, settings.camera_make)
    same = [one for one in found if _plain_name(one.model, one.maker) == wanted]
    kinds = {(one.mount, round(one.crop_factor, 3)) for one in same}
    return same if len(kinds) == 1 else []


def _lenses(base: Any, camera: Any, settings: Settings) -> list[Any]:
    found = list(base.find_lenses(camera, None, settings.lens_model or None))
    return _of_focal(found, settings.focal_length_mm)


def _of_focal(found: list[Any], focal: float | None) -> list[Any]:
    if focal is None:
        return found
    # a zoom's ends are written to the millimetre, and makers round them their own way
    return [
        one for one in found
        if not one.min_focal or 0.97 * one.min_focal - 0.6 <= focal <= 1.03 * (one.max_focal or one.min_focal) + 0.6
    ]  # fmt: skip


def _calibrated_on(lenses: list[Any], crop: float) -> Any:
    """The same lens as measured on the sensor nearest to the camera's, and as large: beyond it is a guess."""
    large = [one for one in lenses if one.crop_factor <= crop * 1.02]
    return (
        max(large, key=lambda one: one.crop_factor) if large else min(lenses, key=lambda one: one.crop_factor)
    )


def _name(lens: Any) -> str:
    maker, model = str(lens.maker or ""), str(lens.model or "")
    return model if _letters(model).startswith(_letters(maker)) else f"{maker} {model}".strip()


def _plain(lens: Any) -> str:
    return _plain_name(str(lens.model or ""), str(lens.maker or ""))


def _plain_name(name: str, maker: str) -> str:
    """Without case, spaces and the maker's name; 'F2.8', 'f/2.8' and '1:2.8' are one, and so are 24.0 and 24."""
    text = name.lower()
    words = [word for word in re.findall(r"[a-z]+", (maker or "").lower()) if len(word) > 2]
    for word in words:
        text = re.sub(rf"\b{word}\b", " ", text).removeprefix(word)
    text = re.sub(r"\b(?:f\s*/?\s*|1\s*:\s*)(?=\d)", "f", text)
    text = re.sub(r"(\d+)\.0+(?!\d)", r"\1", text)
    # a hyphen counts only between numbers: 24-70
    text = re.sub(r"(?<!\d)-|-(?!\d)", "", text)
    return re.sub(r"[^a-z0-9.\-+]", "", text)


def _letters(text: str) -> str:
    return re.sub(r"[^a-z0-9]", "", text.lower())
