"""Originals at their full size, and what is clipped in them: for who looks closely.

`whole_picture`  every pixel, as a display shows it
`clipping`       the mask of clipped pixels, levels and histograms: of a raw's photosites where there is a raw
"""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from plateside.files.originals import heifs, jpegs, raws
from plateside.files.originals.kinds import content_kind, is_display, is_raw
from plateside.files.originals.unreadable import fault, faults_in_words, unread
from plateside.files.originals.upright import upright
from plateside.frames.clipped import (
    CODES,
    ChannelHistogram,
    Mask,
    clipped_codes,
    counts_of_codes,
    histograms_of_codes,
)
from plateside.frames.levels import levels_of_codes
from plateside.model.errors import InputError
from plateside.model.pixels import RawLevels
from plateside.words.frame_files import said

WHOLE = 0.97
"""A preview with so many of the raw's pixels a side is the whole picture: makers cut a few rows off its edge."""


@dataclass(frozen=True, eq=False)
class Clipping:
    """What is clipped in an original."""

    kind: str
    """raw, JPEG or HEIC: whose levels these are"""
    mask: Mask
    """upright; a raw's is half size (`frames.clipped`)"""
    levels: RawLevels
    histograms: tuple[ChannelHistogram, ...]
    """red, green, blue"""


def whole_picture(path: Path) -> NDArray[np.uint8]:
    """Height x width x 3, uint8, sRGB, upright, every pixel.

    A raw gives its embedded preview where that has all the pixels, else it is developed whole.
    Raises InputError when the file cannot be decoded, CouldNotError when it cannot be read.
    """
    if is_display(path):
        return _decoded(path, as_stored=False)
    if not is_raw(path):
        raise fault("other kind", said("neither by name", name=path.name))
    with faults_in_words(path.name):
        preview = _whole_preview(path)
        return raws.developed(path, half=False) if preview is None else preview


def clipping(path: Path) -> Clipping:
    """What is clipped. Raises as `whole_picture`."""
    if is_raw(path):
        with faults_in_words(path.name):
            return Clipping("raw", *raws.clipping(path))
    picture = _decoded(path, as_stored=True)
    counts = counts_of_codes(picture)
    levels = levels_of_codes(counts, CODES)
    return Clipping(_kind(path), clipped_codes(picture), levels, histograms_of_codes(counts))


def _whole_preview(path: Path) -> NDArray[np.uint8] | None:
    found = raws.preview(path)
    if found is None:
        return None
    data, orientation = found
    longest = WHOLE * max(raws.raw_size(path))
    if not isinstance(data, bytes):
        return upright(data, orientation) if max(data.shape) >= longest else None
    try:
        if max(jpegs.checked_size(data, path.name)) < longest:
            return None
        return jpegs.decode(data, path.name, None, orientation)
    except InputError:
        return None  # a damaged preview says nothing of the raw around it


def _decoded(path: Path, *, as_stored: bool) -> NDArray[np.uint8]:
    if _kind(path) == "HEIC":
        return heifs.decode(path, None, as_stored=as_stored)
    return jpegs.decode(jpegs.read_bytes(path), path.name, None, as_stored=as_stored)


def _kind(path: Path) -> str:
    """By content: a phone's HEIC may have been given a JPEG's name, and a JPEG a HEIC's."""
    try:
        with path.open("rb") as file:
            return "HEIC" if content_kind(file.read(64)) == "HEIC" else "JPEG"
    except OSError as error:
        raise unread(path.name, error) from error
