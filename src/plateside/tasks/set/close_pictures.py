"""A frame's own pixels, part by part, and what is clipped or sharp in it; for one thread.

The last frame that was asked for is kept decoded: who looks closely moves about in it.
"""

import base64
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.files.folder import SHOOT_FILE, can_lie_in, shoot_folder
from plateside.files.journal.state import read_state
from plateside.files.originals.pixels import display_picture
from plateside.files.originals.whole_picture import Clipping, clipping, whole_picture
from plateside.files.settings.load import load_shoot
from plateside.frames.clipped import BIT, STOPS, Mask, pooled, sampled
from plateside.frames.peaks import peaks_of
from plateside.frames.sharpness import WORK_PX
from plateside.model.errors import InputError
from plateside.words.set import refusals
from plateside.words.set.closer import levels_sentences

TILE_PX = 512
MASK_PX = 1600
"""Longer side of a whole mask: about what a screen shows of it."""
QUALITY = 93
MASKS = ("any", *BIT, "sharp")
"""Which mask: clipped in any channel, in one, or sharp edges."""


@dataclass(frozen=True)
class CloseSize:
    """How large a frame is, pixel for pixel."""

    wide: int
    high: int
    tile: int
    """side of a part [px]"""


@dataclass(frozen=True)
class LevelsShown:
    """How a frame's levels lie below clipping."""

    kind: str
    """raw, JPEG or HEIC: whose levels these are"""
    counts: tuple[tuple[int, ...], ...]
    """red, green, blue: by quarters of a stop, from the darkest up; the last is clipped"""
    stops: int
    """how far below clipping the first begins"""
    headroom_stops: tuple[float, float, float]
    clipped_share: tuple[float, float, float]
    said: tuple[str, ...]


class ClosePictures:
    """The pictures of one shoot's frames at full size."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self._whole: tuple[str, NDArray[np.uint8]] | None = None
        self._clipping: tuple[str, Clipping] | None = None
        self._sharp: tuple[str, Mask] | None = None

    def size(self, frame: str) -> CloseSize:
        """Its size. Raises InputError, CouldNotError when the frame or its file is not there or cannot be read."""
        high, wide = self._picture(frame).shape[:2]
        return CloseSize(wide, high, TILE_PX)

    def tile(self, frame: str, column: int, row: int) -> str:
        """One part as a JPEG, in base 64. Raises as `size`, and InputError for a part beside the frame."""
        picture = self._picture(frame)
        left, top, wide, high = _part(picture, column, row)
        part = np.ascontiguousarray(picture[top : top + high, left : left + wide, ::-1])
        # no colour is averaged over two pixels: that is what is looked for
        how = [
            cv2.IMWRITE_JPEG_QUALITY, QUALITY, cv2.IMWRITE_JPEG_SAMPLING_FACTOR,
            cv2.IMWRITE_JPEG_SAMPLING_FACTOR_444,
        ]  # fmt: skip
        return _text(cv2.imencode(".jpg", part, how)[1])

    def mask(self, frame: str, which: str, column: int = -1, row: int = -1) -> str:
        """A mask, or one part of it, as a PNG in base 64: opaque where it holds.

        which  one of MASKS
        Raises as `tile`, and InputError for a mask that is none.
        """
        if which not in MASKS:
            raise InputError(refusals.NO_SUCH_FRAME)
        mask = self._mask(frame, which)
        if column < 0:
            return _png(pooled(mask, MASK_PX))
        picture = self._picture(frame)
        high, wide = picture.shape[:2]
        return _png(sampled(mask, *_part(picture, column, row), wide, high))

    def levels(self, frame: str) -> LevelsShown:
        """Histogram and headroom. Raises as `size`."""
        found = self._clipped(frame)
        levels = found.levels
        return LevelsShown(
            found.kind,
            tuple(h.counts for h in found.histograms),
            STOPS,
            levels.headroom_stops,
            levels.clipped_share,
            tuple(levels_sentences(found.kind, levels)),
        )

    def _mask(self, frame: str, which: str) -> Mask:
        if which == "sharp":
            if self._sharp is None or self._sharp[0] != frame:
                # twice the size at which edges are looked for: enough, and quick of a raw
                self._sharp = frame, peaks_of(display_picture(self._path(frame), 2 * WORK_PX)).mask
            return self._sharp[1]
        mask = self._clipped(frame).mask
        return np.asarray(mask & BIT[which] if which in BIT else mask, np.uint8)

    def _clipped(self, frame: str) -> Clipping:
        if self._clipping is None or self._clipping[0] != frame:
            self._clipping = frame, clipping(self._path(frame))
        return self._clipping[1]

    def _picture(self, frame: str) -> NDArray[np.uint8]:
        if self._whole is None or self._whole[0] != frame:
            self._whole = None  # two whole pictures at once would be hundreds of megabytes
            self._whole = frame, whole_picture(self._path(frame))
        return self._whole[1]

    def _path(self, frame: str) -> Path:
        name = read_state(self.root).landed.get(frame)
        if name is None:
            raise InputError(refusals.NOT_LANDED)
        path = shoot_folder(self.root, load_shoot(self.root / SHOOT_FILE)).frames_dir / name
        if not can_lie_in(name) or not path.is_file():
            raise InputError(refusals.frame_gone(name))
        return path


def _part(picture: NDArray[np.uint8], column: int, row: int) -> tuple[int, int, int, int]:
    """Left, top, width, height [px] of a part. Raises InputError for one beside the frame."""
    high, wide = picture.shape[:2]
    left, top = column * TILE_PX, row * TILE_PX
    if not (0 <= left < wide and 0 <= top < high):
        raise InputError(refusals.NO_SUCH_FRAME)
    return left, top, min(TILE_PX, wide - left), min(TILE_PX, high - top)


def _png(mask: Mask) -> str:
    """Black, with the mask as its opacity."""
    shown = np.zeros((*mask.shape, 4), np.uint8)
    shown[..., 3] = np.where(mask, np.uint8(255), np.uint8(0))
    return _text(cv2.imencode(".png", shown, [cv2.IMWRITE_PNG_COMPRESSION, 3])[1])


def _text(data: NDArray[np.uint8]) -> str:
    return base64.b64encode(data.tobytes()).decode()
