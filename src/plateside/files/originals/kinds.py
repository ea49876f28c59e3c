"""Which files are frames, and how large a JPEG says it is before anything is decoded.

Lists: file-name endings that LibRaw 0.22 opens. `jpeg_size` reads the start-of-frame marker
(ITU-T T.81, annex B), so that an oversized picture is refused before a byte of it is decoded.
"""

from pathlib import Path

JPEG_ENDINGS = frozenset({".jpg", ".jpeg", ".jpe", ".jfif"})

_RAW = """
    3fr ari arw bay braw cap cr2 cr3 crw cs1 dc2 dcr dng drf dsc eip erf fff gpr iiq k25 kc2 kdc mdc mef mos mrw
    nef nrw orf pef ptx pxn qtk raf raw rdc rw2 rwl rwz sr2 srf srw sti x3f
"""
RAW_ENDINGS = frozenset("." + ending for ending in _RAW.split())

OTHER_PICTURE_ENDINGS = frozenset(
    {".png", ".tif", ".tiff", ".heic", ".heif", ".avif", ".webp", ".gif", ".bmp"}
)
"""Pictures, but not what a camera hands over here; said, not silently skipped."""

LARGEST_PX = 200_000_000
"""Larger pictures are refused before decoding: 200 megapixels, beyond any camera used here, is 1.2 GB in memory."""


def is_jpeg(path: Path) -> bool:
    """By its name."""
    return path.suffix.lower() in JPEG_ENDINGS


def is_raw(path: Path) -> bool:
    """By its name."""
    return path.suffix.lower() in RAW_ENDINGS


_NO_LENGTH = frozenset({0x01, *range(0xD0, 0xD9)})
_START_OF_FRAME = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}


def jpeg_size(data: bytes) -> tuple[int, int] | None:
    """Width and height [px] stated in a JPEG's header, or None when `data` is not a JPEG's beginning."""
    if data[:2] != b"\xff\xd8":
        return None
    at = 2
    while at + 4 <= len(data):
        if data[at] != 0xFF:
            return None
        marker = data[at + 1]
        if marker == 0xFF:  # fill byte
            at += 1
            continue
        if marker in _NO_LENGTH:
            at += 2
            continue
        length = int.from_bytes(data[at + 2 : at + 4], "big")
        if marker in _START_OF_FRAME:
            if at + 9 > len(data):
                return None
            height = int.from_bytes(data[at + 5 : at + 7], "big")
            return int.from_bytes(data[at + 7 : at + 9], "big"), height
        if marker in (0xD9, 0xDA) or length < 2:
            return None
        at += 2 + length
    return None
