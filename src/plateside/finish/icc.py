"""The colour profile put into every picture: sRGB as an ICC version 2 matrix profile, written here; and those of others
who say their primaries without a profile.

ICC.1:2001-04 (version 2.4), which every reader knows; primaries and white of IEC 61966-2-1, taken to the profile's D50
by the Bradford matrix (ICC.1:2010, annex E). The same bytes each time, so that a picture made again is the same file.
"""

import functools
import struct

import numpy as np
from numpy.typing import NDArray

from plateside.ground.srgb import TO_XYZ, WHITE_XYZ, to_linear

BRADFORD = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])
_D50_XYZ = np.array([0.9642, 1.0, 0.8249])
_CURVE_POINTS = 1024


def primaries_d50(
    to_xyz: NDArray[np.float64] = TO_XYZ, white_xyz: NDArray[np.float64] = WHITE_XYZ
) -> NDArray[np.float64]:
    """XYZ under D50 of red, green and blue, as columns."""
    cone = np.diag((BRADFORD @ _D50_XYZ) / (BRADFORD @ white_xyz))
    return np.asarray(np.linalg.inv(BRADFORD) @ cone @ BRADFORD @ to_xyz)


def _xyz(values: NDArray[np.float64]) -> bytes:
    return b"XYZ \0\0\0\0" + b"".join(struct.pack(">i", round(float(v) * 65536)) for v in values)


def _described(text: str) -> bytes:
    ascii_text = text.encode("ascii") + b"\0"
    # the Unicode and script parts of the version 2 type are there and empty
    return (
        b"desc\0\0\0\0"
        + struct.pack(">I", len(ascii_text))
        + ascii_text
        + bytes(8)
        + bytes(2)
        + bytes(1 + 67)
    )


def _curve(gamma: float | None) -> bytes:
    steps = np.linspace(0, 1, _CURVE_POINTS)
    light = to_linear(steps) if gamma is None else steps**gamma
    values = np.rint(light * 65535).astype(">u2")
    return b"curv\0\0\0\0" + struct.pack(">I", _CURVE_POINTS) + values.tobytes()


@functools.cache
def srgb_profile() -> bytes:
    """The profile's bytes, about 2.5 kB."""
    return _profile("sRGB", primaries_d50(), WHITE_XYZ, None)


@functools.cache
def profile_of_primaries(xy: tuple[float, ...], gamma: float | None, described: str = "RGB") -> bytes:
    """A profile by chromaticities x, y of red, green, blue and white, and a gamma (None: sRGB's curve).

    Raises ValueError when they span no colours.
    """
    points = np.asarray(xy, float).reshape(4, 2)
    if not (np.isfinite(points).all() and (points[:, 1] > 0).all()):
        raise ValueError("chromaticities: range")
    x, y = points.T
    xyz = np.stack([x / y, np.ones(4), (1 - points.sum(axis=1)) / y])
    colours, white = xyz[:, :3], xyz[:, 3]
    if abs(np.linalg.det(colours)) < 1e-6:
        raise ValueError("chromaticities: one line")
    to_xyz = colours * np.linalg.solve(colours, white)
    return _profile(described, primaries_d50(to_xyz, white), white, gamma)


def _profile(
    described: str, primaries: NDArray[np.float64], white: NDArray[np.float64], gamma: float | None
) -> bytes:
    red, green, blue = primaries.T
    curve = _curve(gamma)
    parts: list[tuple[bytes, bytes]] = [
        (b"desc", _described(described)),
        (b"cprt", b"text\0\0\0\0No rights reserved.\0"),
        (b"wtpt", _xyz(white)),
        (b"rXYZ", _xyz(red)),
        (b"gXYZ", _xyz(green)),
        (b"bXYZ", _xyz(blue)),
        (b"rTRC", curve),
        (b"gTRC", curve),
        (b"bTRC", curve),
    ]
    at = 128 + 4 + 12 * len(parts)
    table, body, placed = b"", b"", {}
    for name, data in parts:
        if data not in placed:
            padded = data + bytes(-len(data) % 4)
            placed[data] = at + len(body)
            body += padded
        table += name + struct.pack(">II", placed[data], len(data))
    size = at + len(body)
    header = struct.pack(
        ">I4sI4s4s4s6H4s4sI4s4sQI3i4s44x",
        size, b"\0\0\0\0", 0x02400000, b"mntr", b"RGB ", b"XYZ ",
        2026, 1, 1, 0, 0, 0, b"acsp", b"\0\0\0\0", 0, b"\0\0\0\0", b"\0\0\0\0", 0, 0,
        round(0.9642 * 65536), 65536, round(0.8249 * 65536), b"\0\0\0\0",
    )  # fmt: skip
    return header + struct.pack(">I", len(parts)) + table + body
