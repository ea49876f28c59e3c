"""Counts of a mosaic as lossless JPEG (ITU T.81, process 14: SOF3, Huffman, predictor 1), as cameras put it into DNG.

Two columns side by side are two components of one picture of half the width (as DNG 1.4 allows and most writers do),
so that each count is predicted from one of its own colour. One fixed code: 3 bits for the categories that a sensor's
noise has most, 6 for the others.
"""

import struct

import numpy as np
from numpy.typing import NDArray

SHORT, LONG = (3, 4, 5, 6, 7, 8), (0, 1, 2, 9, 10, 11, 12, 13, 14, 15, 16)
SHORT_BITS, LONG_BITS = 3, 6
COMPONENTS, ROWS_AT_ONCE = 2, 64


def lossless_jpeg(counts: NDArray[np.uint16]) -> bytes:
    """One picture of counts of 16 bits, height x even width."""
    height, width = counts.shape
    lengths = bytes((0, 0, len(SHORT), 0, 0, len(LONG), *[0] * 10))
    table = _segment(0xC4, b"\x00" + lengths + bytes((*SHORT, *LONG)))
    frame = struct.pack(">BHHB", 16, height, width // COMPONENTS, COMPONENTS)
    frame += b"".join(bytes((c + 1, 0x11, 0)) for c in range(COMPONENTS))
    scan = bytes((COMPONENTS, *[v for c in range(COMPONENTS) for v in (c + 1, 0x00)], 1, 0, 0))
    head = b"\xff\xd8" + _segment(0xC3, frame) + table + _segment(0xDA, scan)
    # a byte that could be read as a marker is followed by a zero (B.1.1.5)
    return head + _coded(counts).replace(b"\xff", b"\xff\x00") + b"\xff\xd9"


def _segment(marker: int, content: bytes) -> bytes:
    return struct.pack(">BBH", 0xFF, marker, len(content) + 2) + content


def _coded(counts: NDArray[np.uint16]) -> bytes:
    """The Huffman-coded differences (H.1.2), filled up with ones."""
    signed = counts.astype(np.int32)
    before = np.empty_like(signed)
    before[:, COMPONENTS:] = signed[:, :-COMPONENTS]
    before[1:, :COMPONENTS] = signed[:-1, :COMPONENTS]
    before[0, :COMPONENTS] = 1 << 15
    difference = (signed - before + (1 << 15)) % (1 << 16) - (1 << 15)
    codes, code_bits = np.zeros(17, np.int64), np.zeros(17, np.int64)
    for k, category in enumerate(SHORT):
        codes[category], code_bits[category] = k, SHORT_BITS
    for k, category in enumerate(LONG):
        codes[category], code_bits[category] = (len(SHORT) << (LONG_BITS - SHORT_BITS)) + k, LONG_BITS
    parts: list[NDArray[np.bool_]] = []
    for y in range(0, len(difference), ROWS_AT_ONCE):
        d = difference[y : y + ROWS_AT_ONCE].ravel().astype(np.int64)
        category = np.ceil(np.log2(np.abs(d) + 1)).astype(np.int64)
        extra = np.where(category == 16, 0, category)
        value = np.where(d < 0, d + (1 << category) - 1, d) & ((1 << extra) - 1)
        word, bits = (codes[category] << extra) | value, code_bits[category] + extra
        place = np.arange(int(bits.max()))[None, :]
        set_ = (word[:, None] >> np.maximum(bits[:, None] - 1 - place, 0)) & 1
        parts.append(set_[place < bits[:, None]].astype(bool))
    joined = np.concatenate(parts)
    filled = np.concatenate([joined, np.ones(-joined.size % 8, bool)])
    return np.packbits(filled).tobytes()
