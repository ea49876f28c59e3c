"""Made frames to disk: DNG 1.4 with an embedded JPEG preview, and JPEG, both with full EXIF.

References: Adobe, *Digital Negative Specification* 1.4.0.0 (2012); CIPA DC-008, *Exif* 2.32; TIFF 6.0.
Every file says in ImageDescription, Software and UserComment that it is made and not a photograph.
"""

import io
import math
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from plateside import __version__
from plateside.demo.camera.frame import SimulatedFrame
from plateside.files.atomic import write_bytes
from plateside.files.tiff_tags import (
    ASCII,
    BYTE,
    DOUBLE,
    LONG,
    RATIONAL,
    SHORT,
    SRATIONAL,
    UNDEFINED,
    Directory,
    Tag,
    file_bytes,
)
from plateside.picture.sensor import READ_BEFORE_GAIN
from plateside.words.demo import RENDERED

MAKE = "Plateside"
MODEL = "Plateside simulated camera"
_BASELINE_STOPS = math.log2(0.1812 / (10.0 / 78.0))
"""What the camera's own curve lifts the middle by (118 of 255 from 10/78 of saturation)."""


def camera_model(frame: SimulatedFrame) -> str:
    """The model name that stands in the frame's file."""
    return frame.camera.exif_model or MODEL


def write_dng(path: Path, frame: SimulatedFrame, *, preview_quality: int = 85) -> None:
    """Write the frame's mosaic as DNG: uncompressed 16-bit words of which 14 bits are used, preview and EXIF inside.

    Raises CouldNotError when the disk refuses.
    """
    height, width = frame.mosaic.shape
    take = frame.truth.take
    gain = take.iso / frame.camera.base_iso
    electrons = frame.camera.full_well_electrons / gain
    read = math.hypot(
        READ_BEFORE_GAIN * frame.camera.read_noise_electrons,
        math.sqrt(1 - READ_BEFORE_GAIN**2) * frame.camera.read_noise_electrons / gain,
    )
    raw = Directory(
        [
            Tag(254, LONG, [0]),
            *_shape(width, height),
            Tag(258, SHORT, [16]),
            Tag(259, SHORT, [1]),
            Tag(262, SHORT, [32803]),
            Tag(277, SHORT, [1]),
            Tag(278, LONG, [height]),
            Tag(284, SHORT, [1]),
            Tag(33421, SHORT, [2, 2]),
            Tag(33422, BYTE, [0, 1, 1, 2]),
            Tag(50710, BYTE, [0, 1, 2]),
            Tag(50711, SHORT, [1]),
            Tag(50713, SHORT, [1, 1]),
            Tag(50714, LONG, [frame.black_level]),
            Tag(50717, LONG, [frame.white_level]),
            Tag(50718, RATIONAL, [1, 1]),
            Tag(50719, LONG, [0, 0]),
            Tag(50720, LONG, [width, height]),
            Tag(50829, LONG, [0, 0, height, width]),
            Tag(51041, DOUBLE, [1.0 / electrons, (read / electrons) ** 2] * 3),
        ],
        strip=frame.mosaic.astype("<u2").tobytes(),
    )
    first = Directory(
        [
            Tag(254, LONG, [1]),
            *_shape(width, height),
            Tag(258, SHORT, [8, 8, 8]),
            Tag(259, SHORT, [7]),
            Tag(262, SHORT, [6]),
            Tag(277, SHORT, [3]),
            Tag(278, LONG, [height]),
            Tag(284, SHORT, [1]),
            *_who(frame),
            Tag(50706, BYTE, [1, 4, 0, 0]),
            Tag(50707, BYTE, [1, 1, 0, 0]),
            Tag(50708, ASCII, camera_model(frame)),
            Tag(50721, SRATIONAL, [float(v) for v in frame.colour_matrix.ravel()]),
            Tag(50728, RATIONAL, list(frame.neutral)),
            Tag(50730, SRATIONAL, [_BASELINE_STOPS]),
            Tag(50778, SHORT, [21]),
        ],
        below={330: raw, 34665: _exif(frame)},
        strip=_jpeg(frame.picture, preview_quality, b""),
    )
    write_bytes(path, file_bytes(first))


def write_jpeg(path: Path, frame: SimulatedFrame, *, quality: int = 92) -> None:
    """Write the camera's own picture as JPEG with the same EXIF. Raises CouldNotError when the disk refuses."""
    first = Directory([*_who(frame), Tag(531, SHORT, [1])], below={34665: _exif(frame)})
    # what Exif asks of compressed pictures only: order of the components, FlashPix version
    first.below[34665].tags += [Tag(37121, UNDEFINED, b"\1\2\3\0"), Tag(40960, UNDEFINED, b"0100")]
    exif = file_bytes(first)
    write_bytes(path, _jpeg(frame.picture, quality, b"Exif\0\0" + exif))


def _jpeg(picture: NDArray[np.uint8], quality: int, exif: bytes) -> bytes:
    out = io.BytesIO()
    Image.fromarray(picture).save(out, "JPEG", quality=quality, subsampling=1, exif=exif)
    return out.getvalue()


def _shape(width: int, height: int) -> list[Tag]:
    return [Tag(256, LONG, [width]), Tag(257, LONG, [height])]


def _who(frame: SimulatedFrame) -> list[Tag]:
    """Who made it and when: the first directory's fields that DNG and JPEG share."""
    return [
        Tag(270, ASCII, RENDERED),
        Tag(271, ASCII, MAKE),
        Tag(272, ASCII, camera_model(frame)),
        Tag(274, SHORT, [frame.orientation]),
        Tag(282, RATIONAL, [300]),
        Tag(283, RATIONAL, [300]),
        Tag(296, SHORT, [2]),
        Tag(305, ASCII, f"Plateside {__version__} ({RENDERED})"),
        Tag(306, ASCII, frame.truth.take.taken_at.strftime("%Y:%m:%d %H:%M:%S")),
    ]


def _exif(frame: SimulatedFrame) -> Directory:
    """The EXIF directory: exposure, lens, time, and the words that this is made."""
    take, lens, camera = frame.truth.take, frame.lens, frame.camera
    height, width = frame.mosaic.shape
    focal = take.focal_length_mm or lens.focal_length_mm
    focus_mm = frame.truth.focus_mm
    when = take.taken_at.strftime("%Y:%m:%d %H:%M:%S")
    comment = f"{RENDERED}; scene: {frame.truth.origin}"
    if frame.truth.enlarged > 1.0:
        comment += f"; enlarged {frame.truth.enlarged:.1f} times"
    return Directory(
        [
            Tag(33434, RATIONAL, [take.exposure_s]),
            Tag(33437, RATIONAL, [take.f_number]),
            Tag(34850, SHORT, [3 if take.auto_exposure else 1]),
            Tag(34855, SHORT, [min(take.iso, 65535)]),
            Tag(34864, SHORT, [1]),
            Tag(34865, LONG, [take.iso]),
            Tag(36864, UNDEFINED, b"0232"),
            Tag(36867, ASCII, when),
            Tag(36868, ASCII, when),
            Tag(37377, SRATIONAL, [-math.log2(take.exposure_s)]),
            Tag(37378, RATIONAL, [2.0 * math.log2(take.f_number)]),
            Tag(37380, SRATIONAL, [take.exposure_bias_stops]),
            Tag(37381, RATIONAL, [2.0 * math.log2(lens.widest_aperture)]),
            Tag(37382, RATIONAL, [focus_mm / 1000.0]),
            Tag(37383, SHORT, [5]),
            Tag(37384, SHORT, [0]),
            Tag(37385, SHORT, [16]),
            Tag(37386, RATIONAL, [focal]),
            Tag(37510, UNDEFINED, b"ASCII\0\0\0" + comment.encode("ascii", "replace")),
            Tag(37521, ASCII, f"{take.taken_at.microsecond // 10000:02d}"),
            Tag(40961, SHORT, [1]),
            Tag(40962, LONG, [width]),
            Tag(40963, LONG, [height]),
            Tag(41486, RATIONAL, [width / (camera.sensor_width_mm / 10.0)]),
            Tag(41487, RATIONAL, [width / (camera.sensor_width_mm / 10.0)]),
            Tag(41488, SHORT, [3]),
            Tag(41986, SHORT, [0 if take.auto_exposure else 1]),
            Tag(41987, SHORT, [0 if take.auto_white_balance else 1]),
            Tag(
                41989,
                SHORT,
                [round(focal * 43.27 / math.hypot(camera.sensor_width_mm, camera.sensor_height_mm))],
            ),
            Tag(41990, SHORT, [0]),
            Tag(
                42034,
                RATIONAL,
                [
                    lens.focal_length_mm,
                    lens.focal_length_to_mm or lens.focal_length_mm,
                    lens.widest_aperture,
                    lens.widest_aperture,
                ],
            ),
            Tag(42036, ASCII, f"made lens {lens.name}"),
        ]
    )
