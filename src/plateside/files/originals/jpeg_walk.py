"""A JPEG's segments, walked from its first byte to its end marker (ITU-T T.81, annex B). Pure: bytes in, facts out.

The end marker counts only where the walk meets it: one inside an EXIF preview, or in any other segment, is not the
picture's own. CIPA DC-007 (multi-picture format) states how far the pictures behind the first one reach.
"""

import re
import struct
from dataclasses import dataclass

_ALONE = frozenset({0x00, 0x01, *range(0xD0, 0xD8)})
_START_OF_FRAME = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
_PROGRESSIVE = frozenset({0xC2, 0xC6, 0xCA, 0xCE})
# in coded data FF is followed by 0 (a stuffed byte) or a restart marker; anything else begins the next segment
_NEXT_MARKER = re.compile(rb"\xff[^\x00\xff\xd0-\xd7]")
MOST_SCANS = 100
"""A picture built up in more passes than this takes minutes to open; cameras and editors write about ten."""
MOST_PASSED_PX = 1_000_000_000
"""Passes times pixels: each pass goes over all blocks again, whatever it brings. 100 megapixels in ten passes."""
MOST_PX_A_BYTE = 400
"""A whole picture has no more pixels than this a byte: with one bit a code, six blocks of DC alone for 256 pixels at
4:2:0 (T.81, F.1.2), it is 341."""


@dataclass(frozen=True)
class JpegWalk:
    """How far a walk came."""

    is_jpeg: bool
    end: int | None
    """Place after the end marker; None when it was not reached."""
    in_one_scan: bool = False
    """A sequential picture whose first scan holds all its components: nothing but coded data comes before the end."""
    scans: int = 0
    more_until: int = 0
    """Where the further pictures end that the file says it holds; 0: it says nothing of any."""


def walk(data: bytes, whole: bool = True) -> JpegWalk:
    """Walk a JPEG's segments.

    data    the file, or its beginning
    whole   False: stop at the first scan
    """
    if data[:2] != b"\xff\xd8" or (len(data) > 2 and data[2] != 0xFF):
        return JpegWalk(False, None)
    at, scans, components, progressive, more_until = 2, 0, 0, False, 0
    while True:
        # readers pass over stray bytes before a marker, and so is done here
        at = data.find(b"\xff", at)
        while at >= 0 and data[at : at + 2] == b"\xff\xff":
            at += 1
        if at < 0 or at + 2 > len(data):
            return JpegWalk(True, None, scans=scans)
        marker = data[at + 1]
        if marker == 0xD9:
            return JpegWalk(True, at + 2 if scans else None, False, scans, more_until)
        if marker in _ALONE:
            at += 2
            continue
        length = int.from_bytes(data[at + 2 : at + 4], "big")
        body = at + 4
        if at + 4 > len(data) or length < 2 or at + 2 + length > len(data):
            return JpegWalk(True, None, scans=scans)
        if marker == 0xE2 and data[body : body + 4] == b"MPF\0":
            more_until = max(more_until, _end_of_pictures(data, body + 4, at + 2 + length))
        if marker in _START_OF_FRAME and length >= 8:
            components, progressive = data[body + 5], marker in _PROGRESSIVE
        at += 2 + length
        if marker != 0xDA:
            continue
        scans += 1
        if not whole:
            return JpegWalk(True, None, not progressive and data[body] == components, scans, more_until)
        found = _NEXT_MARKER.search(data, at)
        if found is None or scans > MOST_SCANS:
            return JpegWalk(True, None, scans=scans)
        at = found.start()


def _end_of_pictures(data: bytes, base: int, limit: int) -> int:
    """The last byte of the pictures that a multi-picture index names; offsets count from the index's own header."""
    order = {b"II*\0": "<", b"MM\0*": ">"}.get(data[base : base + 4])
    if order is None:
        return 0
    try:
        at = base + struct.unpack_from(order + "I", data, base + 4)[0]
        (count,) = struct.unpack_from(order + "H", data, at)
        for n in range(min(count, 16)):
            tag, _kind, size, value = struct.unpack_from(order + "HHII", data, at + 2 + 12 * n)
            if tag == 0xB002 and base + value + size <= limit:
                entries = struct.iter_unpack(
                    order + "IIIHH", data[base + value : base + value + size // 16 * 16]
                )
                # the first picture's offset is 0: that is the file itself
                return max((base + start + long for _, long, start, _, _ in entries if start), default=0)
    except struct.error:
        return 0
    return 0
