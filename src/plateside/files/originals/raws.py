"""Raw files through LibRaw: the embedded preview at once, the sensor's own numbers after one unpack."""

from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any, TypeVar

import cv2
import numpy as np
import rawpy
from numpy.typing import NDArray

from plateside.files.originals.ahead import begin
from plateside.files.originals.in_hand import in_hand
from plateside.files.originals.jpegs import check_pixels
from plateside.files.originals.kinds import jpeg_size
from plateside.files.originals.tiff_directories import is_picture
from plateside.files.originals.unreadable import fault, unread
from plateside.files.originals.upright import orientation_of_flip, upright
from plateside.files.originals.whole import other_kind
from plateside.frames.clipped import (
    ChannelHistogram,
    Mask,
    clipped_cells,
    clipped_linear,
    histograms_of_counts,
    histograms_of_linear,
)
from plateside.frames.exposure import DISPLAY_OVER_SATURATION
from plateside.frames.levels import levels_of_counts, levels_of_picture
from plateside.frames.mosaic import bin_cells, count_levels
from plateside.frames.noise import NoiseProfile, noise_of_mosaic
from plateside.ground.srgb import TO_XYZ
from plateside.model.counted import CountedPicture, counted
from plateside.model.pixels import LinearPicture, RawLevels
from plateside.words.frame_files import said as sentence

_T = TypeVar("_T", np.uint8, np.uint16)
_WIDEST_BALANCE = 16.0
"""A multiplier beyond this is a fault in the file: followed, too few of the 16 bits would be left."""


@contextmanager
def opened(path: Path) -> Iterator[Any]:
    """A raw file opened by LibRaw, closed at the end; InputError with the reason when it is damaged."""
    try:
        with path.open("rb") as file:
            empty = not file.read(1)
    except OSError as error:
        raise unread(path.name, error) from error
    if empty:
        raise fault("empty", sentence("empty", name=path.name))
    raw = rawpy.RawPy()
    try:
        try:
            raw.open_file(str(path))
            check_pixels(raw.sizes.raw_width, raw.sizes.raw_height, path.name)
            yield raw
        except rawpy.LibRawError as error:
            said = error.args[0] if error.args else error
            said = said.decode(errors="replace") if isinstance(said, bytes) else said
            code = "other kind" if isinstance(error, rawpy.LibRawFileUnsupportedError) else "damaged"
            if code == "other kind" and is_picture(path):
                raise other_kind(path.name, "TIFF picture") from error
            raise fault(code, sentence("not a raw", name=path.name, why=said)) from error
    finally:
        raw.close()


def raw_size(path: Path) -> tuple[int, int]:
    """Width and height [px], upright, from the headers."""
    with opened(path) as raw:
        size = raw.sizes
        return (size.height, size.width) if size.flip & 4 else (size.width, size.height)


def preview(path: Path) -> tuple[bytes | NDArray[np.uint8], int] | None:
    """The embedded JPEG (bytes) or bitmap (array) and the EXIF orientation to give it; None when there is none."""
    with opened(path) as raw:
        try:
            thumb = raw.extract_thumb()
        except (rawpy.LibRawNoThumbnailError, rawpy.LibRawUnsupportedThumbnailError):
            return None
        orientation = orientation_of_flip(raw.sizes.flip)
        size = jpeg_size(thumb.data) if isinstance(thumb.data, bytes) else thumb.data.shape[1::-1]
        # some programs store it upright already
        if orientation >= 5 and size and (size[0] < size[1]) != (raw.sizes.width < raw.sizes.height):
            orientation = 1
        return thumb.data, orientation


def developed(path: Path, *, metered: bool = False, half: bool = True) -> NDArray[np.uint8]:
    """Half-size (or whole) sRGB by LibRaw, as-shot white balance: for raws without a usable preview.

    metered  as bright as it was exposed (a metered scene's white lies half a stop below saturation, ISO 12232), not
             brightened until it looks well
    """
    how: dict[str, Any] = {"no_auto_bright": False}
    if metered:
        how = {"no_auto_bright": True, "bright": DISPLAY_OVER_SATURATION, "gamma": (2.4, 12.92)}
    with opened(path) as raw:
        # LibRaw guesses from black pixels where cells of 6 x 6 lack a colour: wrongly, where a corner is dark
        later = half and raw.raw_pattern is not None and raw.raw_pattern.size > 4
        if later:
            how["demosaic_algorithm"] = rawpy.DemosaicAlgorithm.LINEAR
        picture: NDArray[np.uint8] = raw.postprocess(
            half_size=half and not later, use_camera_wb=True, output_bps=8, **how
        )
        return _halved(picture, half, later)


def linear(
    path: Path, half: bool, noise: NoiseProfile | None = None, iso: float | None = None
) -> LinearPicture:
    """The sensor's numbers as a linear picture; half size by binning 2 x 2, else LibRaw's AHD interpolation.

    noise  what the file says of its noise; None: it is looked for
    iso    what the file says of that
    """
    with opened(path) as raw:
        raw.unpack()
        return _linear(raw, half, noise_of(raw, noise, iso))


def measures(path: Path) -> tuple[LinearPicture, RawLevels]:
    """Half-size linear picture and levels after one unpack."""
    with opened(path) as raw:
        raw.unpack()
        return _measured(raw)


def _measured(raw: Any) -> tuple[LinearPicture, RawLevels]:
    picture = _linear(raw, True)
    return picture, _levels(raw, picture)


def read_ahead(path: Path) -> Callable[[], tuple[LinearPicture, RawLevels]]:
    """`measures(path)` when called; its unpack begins at once, beside what else is done."""
    stack = ExitStack()

    def unpack() -> Any:
        with in_hand(path):
            raw = stack.enter_context(opened(path))
            raw.unpack()
            return raw
        raise AssertionError("unreachable")

    begun = begin(unpack)

    def finish() -> tuple[LinearPicture, RawLevels]:
        # what went wrong in the other thread is told here, and in words
        with stack:
            return _measured(begun())
        raise AssertionError("unreachable")

    return finish


def clipping(path: Path) -> tuple[Mask, RawLevels, tuple[ChannelHistogram, ...]]:
    """Which photosites are clipped (upright, half size of a mosaic), levels and histograms, after one unpack."""
    with opened(path) as raw:
        raw.unpack()
        if _is_mosaic(raw):
            black, white = _black_white(raw)
            mosaic, pattern = raw.raw_image_visible, _pattern(raw)
            counts = count_levels(mosaic, pattern)
            mask = upright(clipped_cells(mosaic, pattern, black, white), orientation_of_flip(raw.sizes.flip))
            return mask, levels_of_counts(counts, black, white), histograms_of_counts(counts, black, white)
        picture = _linear(raw, True)
        return clipped_linear(picture), _levels(raw, picture), histograms_of_linear(picture)


def levels(path: Path) -> RawLevels:
    """Levels of every photosite after one unpack."""
    with opened(path) as raw:
        raw.unpack()
        return _levels(raw, None)


def _is_mosaic(raw: Any) -> bool:
    """Whether its photosites can be counted and binned here; to be asked before LibRaw develops, which forgets it."""
    pattern = raw.raw_pattern
    return (
        raw.raw_type == rawpy.RawType.Flat
        and pattern is not None
        and pattern.shape in ((2, 2), (6, 6))
        and raw.num_colors == 3
        and raw.raw_image_visible.dtype == np.uint16
    )


def _is_bayer(raw: Any) -> bool:
    return _is_mosaic(raw) and raw.raw_pattern.shape == (2, 2)


def _pattern(raw: Any) -> NDArray[np.int64]:
    top, left = raw.sizes.top_margin, raw.sizes.left_margin
    rows, columns = raw.raw_pattern.shape
    return np.array(
        [[raw.raw_color(top + y, left + x) for x in range(columns)] for y in range(rows)], np.int64
    )


def _black_white(raw: Any) -> tuple[tuple[float, ...], tuple[float, ...]]:
    black = tuple(float(v) for v in raw.black_level_per_channel)
    stated = raw.camera_white_level_per_channel
    whole = float(raw.white_level)
    # Some files state 0, or a linearity limit above what the data can reach: the smaller one is met first.
    white = tuple(min(float(v), whole) if v else whole for v in (stated or (0, 0, 0, 0)))
    return black, white


def _multipliers(raw: Any) -> tuple[float, float, float]:
    shot = [float(v) for v in raw.camera_whitebalance[:3]]
    if not all(np.isfinite(shot)) or min(shot) <= 0:
        shot = [float(v) for v in raw.daylight_whitebalance[:3]]
    if not all(np.isfinite(shot)) or min(shot) <= 0:
        return 1.0, 1.0, 1.0
    return shot[0] / shot[1], 1.0, shot[2] / shot[1]


Matrix = tuple[tuple[float, float, float], ...]


def _matrices(raw: Any) -> tuple[Matrix, Matrix | None]:
    """Balanced camera to linear sRGB, and XYZ to camera. Without a known camera: identity and None.

    LibRaw gives the first; the second is its inverse, with each channel's size under daylight (D65) put
    back, which is the only thing that the first has lost.
    """
    to_srgb = np.asarray(raw.color_matrix, float)[:3, :3]
    if not np.all(np.isfinite(to_srgb)) or abs(np.linalg.det(to_srgb)) < 1e-6:
        return _tuples(np.eye(3)), None
    to_srgb = to_srgb / to_srgb.sum(axis=1, keepdims=True)  # white stays white after balancing
    daylight = np.asarray(raw.daylight_whitebalance[:3], float)
    if not np.all(np.isfinite(daylight)) or daylight.min() <= 0:
        return _tuples(to_srgb), None
    xyz_to_camera = np.diag(1 / daylight) @ np.linalg.inv(to_srgb) @ np.linalg.inv(TO_XYZ)
    return _tuples(to_srgb), _tuples(xyz_to_camera)


def _tuples(matrix: NDArray[Any]) -> Matrix:
    return tuple((float(a), float(b), float(c)) for a, b, c in matrix)


def _linear(raw: Any, half: bool, noise: NoiseProfile | None = None) -> LinearPicture:
    if raw.num_colors not in (1, 3):
        return _by_libraw(raw, half)
    # before LibRaw develops, which forgets the pattern
    smeared = _is_bayer(raw)
    to_srgb, xyz_to_camera = _matrices(raw)
    white_balance, saturation = _multipliers(raw), (1.0, 1.0, 1.0)
    if raw.num_colors == 1:
        to_srgb, xyz_to_camera, white_balance = _tuples(np.eye(3)), None, (1.0, 1.0, 1.0)
    if half and _is_mosaic(raw):
        black, white = _black_white(raw)
        rgb = bin_cells(raw.raw_image_visible, _pattern(raw), black, white)
        rgb = upright(rgb, orientation_of_flip(raw.sizes.flip))
    else:
        rgb, saturation = _demosaiced(raw, half)
    return LinearPicture(
        rgb=rgb,
        saturation=saturation,
        white_balance=white_balance,
        to_srgb=to_srgb,
        xyz_to_camera=xyz_to_camera,
        is_raw=True,
        noise=noise,
        noise_smeared=smeared,
        scale=0.5 if half else 1.0,
    )


def noise_of(raw: Any, stated: NoiseProfile | None, iso: float | None) -> NoiseProfile | None:
    """By the file's own word, else by what the flat parts of a Bayer mosaic show; None: it cannot be told."""
    if stated is not None and raw.num_colors == 3:
        return stated
    if not _is_bayer(raw):
        return None
    black, white = _black_white(raw)
    return noise_of_mosaic(raw.raw_image_visible, _pattern(raw), black, white, iso)


def binned(raw: Any, noise: NoiseProfile | None) -> LinearPicture:
    """An unpacked raw in half its size; LibRaw keeps the mosaic of a Bayer sensor, and makes it anew of others."""
    return _linear(raw, True, noise)


def whole(raw: Any, noise: NoiseProfile | None) -> CountedPicture:
    """An unpacked raw in its whole size, by LibRaw's AHD interpolation, its noise known. LibRaw forgets the mosaic."""
    if raw.num_colors not in (1, 3):
        return counted(_by_libraw(raw, False))
    to_srgb, white_balance = _matrices(raw)[0], _multipliers(raw)
    if raw.num_colors == 1:
        to_srgb, white_balance = _tuples(np.eye(3)), (1.0, 1.0, 1.0)
    smeared = _is_bayer(raw)
    counts, per_count, saturation = _interpolated(raw, False)
    r, g, b = (float(v) for v in per_count)
    return CountedPicture(counts, (r, g, b), saturation, white_balance, to_srgb, True, noise, smeared)


def _demosaiced(raw: Any, half: bool) -> tuple[NDArray[np.float32], tuple[float, float, float]]:
    """Camera colours of LibRaw's interpolation, white 1, and the level at which each channel is clipped."""
    counts, per_count, saturation = _interpolated(raw, half)
    return counts * per_count, saturation


def _interpolated(
    raw: Any, half: bool
) -> tuple[NDArray[np.uint16], NDArray[np.float32], tuple[float, float, float]]:
    """Counts of LibRaw's interpolation, what makes camera colours of them, and each channel's level when clipped.

    Interpolation compares the channels with each other, so it is given balanced ones; the balance is taken out again
    afterwards. LibRaw is told of a white so far above the sensor's that the strongest channel still fits below it: no
    channel is cut that was not cut by the sensor.
    """
    one_colour = raw.num_colors == 1
    shot = np.ones(3) if one_colour else np.asarray(_multipliers(raw))
    shot = np.clip(shot / shot.min(), 1, _WIDEST_BALANCE)
    black, white = _black_white(raw)
    sites = (0, 1, 2, 3) if _is_bayer(raw) else tuple(range(raw.num_colors))
    four = np.append(shot, shot[1] * (_second_green(black, white) if len(sites) == 4 else 1.0))
    four /= four.min()
    shot = four[:3]
    # LibRaw scales all channels by the lowest black and one white
    lowest = min(black[c] for c in sites)
    span = max(float(raw.white_level) - lowest, 1.0)
    stretched = int(np.ceil(span * _headroom(raw, four)))
    no_mosaic = _no_mosaic(raw)
    counts = raw.postprocess(
        half_size=half, gamma=(1, 1), no_auto_bright=True, output_bps=16, use_camera_wb=False,
        user_wb=list(four), output_color=rawpy.ColorSpace.raw, no_auto_scale=False, adjust_maximum_thr=0.0,
        user_sat=stretched,
    )  # fmt: skip
    rgb = np.broadcast_to(counts.reshape(*counts.shape[:2], -1), (*counts.shape[:2], 3))
    rgb = np.ascontiguousarray(_halved(rgb, half, no_mosaic))
    per_count = (stretched / span / 65535 / shot).astype(np.float32)
    r, g, b = ((white[c] - black[c]) / span for c in ((0, 0, 0) if one_colour else (0, 1, 2)))
    return rgb, per_count, (r if r > 0 else 1.0, g if g > 0 else 1.0, b if b > 0 else 1.0)


def _second_green(black: tuple[float, ...], white: tuple[float, ...]) -> float:
    """What brings the second green to the first one's scale, where each has its own black."""
    first, second = (white[c] - black[c] for c in (1, 3))
    return first / second if min(first, second) > 0 else 1.0


def _headroom(raw: Any, four: NDArray[np.float64]) -> float:
    """How far above white the highest count lies once balanced by `four` multipliers (R, G, B, G), at least 1."""
    if not _is_bayer(raw):
        return float(four[:3].max())
    black, _ = _black_white(raw)
    mosaic, pattern = raw.raw_image_visible, _pattern(raw)
    most = 1.0
    for y, x in ((0, 0), (0, 1), (1, 0), (1, 1)):
        colour = int(pattern[y, x])
        gain = four[colour]
        most = max(
            most,
            gain
            * (float(mosaic[y::2, x::2].max()) - black[colour])
            / (float(raw.white_level) - black[colour]),
        )
    return most


def _by_libraw(raw: Any, half: bool) -> LinearPicture:
    """A sensor of other than one or three colours: linear sRGB as LibRaw makes it, balanced, clipped at white."""
    whole = _no_mosaic(raw)
    counts = raw.postprocess(
        half_size=half, gamma=(1, 1), no_auto_bright=True, output_bps=16, use_camera_wb=True,
        output_color=rawpy.ColorSpace.sRGB, adjust_maximum_thr=0.0,
    )  # fmt: skip
    rgb = np.asarray(_halved(counts[..., :3], half, whole) / np.float32(65535), np.float32)
    return LinearPicture(rgb=rgb, is_raw=True, scale=0.5 if half else 1.0)


def _no_mosaic(raw: Any) -> bool:
    """Every pixel has all its colours; to be asked before LibRaw develops, which forgets the pattern."""
    return raw.raw_pattern is None or raw.raw_pattern.size == 1


def _halved(counts: NDArray[_T], half: bool, whole: bool) -> NDArray[_T]:
    """Half size by area where LibRaw left the picture whole."""
    height, width = counts.shape[:2]
    if not (half and whole):
        return counts
    as_one = np.ascontiguousarray(counts)
    return np.asarray(
        cv2.resize(as_one, (width // 2, height // 2), interpolation=cv2.INTER_AREA), counts.dtype
    )


def _levels(raw: Any, picture: LinearPicture | None) -> RawLevels:
    if _is_mosaic(raw):
        black, white = _black_white(raw)
        return levels_of_counts(count_levels(raw.raw_image_visible, _pattern(raw)), black, white)
    return levels_of_picture((picture or _linear(raw, True)).rgb, is_raw=True)
