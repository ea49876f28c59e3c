"""HEIC, HEIF and HIF files: turned once, in sRGB, whole or not, whatever their names say (tests/heic/README.md)."""

import shutil
from datetime import datetime
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from plateside.files.originals import scan
from plateside.files.originals.heifs import by_codes
from plateside.files.originals.kinds import content_kind
from plateside.files.originals.metadata import read_settings
from plateside.files.originals.pixels import display_picture, linear_picture, stated_size
from plateside.files.originals.whole import check_whole
from plateside.model.errors import InputError
from tests.synthetic.dng import write_dng
from tests.unit.originals.sample_files import write_jpeg

HEIC = Path(__file__).resolve().parents[2] / "heic"
FILES = sorted(p.name for p in HEIC.iterdir() if p.suffix != ".md")


def medians(shown: NDArray[np.uint8]) -> list[tuple[float, ...]]:
    high, wide = shown.shape[:2]
    middle = (
        (high // 4, high // 2 - 9, wide // 4, wide // 2 - 9), (9, high // 2 - 9, wide // 2 + 9, wide - 9),
        (high // 2 + 9, high - 9, 9, wide // 2 - 9), (high // 2 + 9, high - 9, wide // 2 + 9, wide - 9),
    )  # fmt: skip
    return [tuple(np.median(shown[a:b, c:d].reshape(-1, 3), axis=0)) for a, b, c, d in middle]


@pytest.mark.parametrize("name", FILES)
def test_each_is_seen_as_it_was_made(name: str) -> None:
    shown = display_picture(HEIC / name)
    assert stated_size(HEIC / name) == (256, 192) == shown.shape[1::-1]
    # the colours that the files were made from; coding is lossy, by a level or two
    made = [(200, 60, 50), (70, 150, 60), (60, 80, 170), (128, 128, 128)]
    assert np.abs(np.array(medians(shown)) - np.array(made)).max() <= 2
    # the white mark is at the upper left: turned and mirrored once, not twice and not never
    assert shown[4:20, 4:28].min() > 240
    assert shown[-20:-4, -28:-4].max() < 140


def test_what_the_camera_wrote_is_read() -> None:
    told = read_settings(HEIC / "grid-p3-turned.heic")
    assert told.exposure_s == pytest.approx(1 / 30)
    assert (told.f_number, told.iso, told.focal_length_mm) == (4, 200, 50)
    assert told.taken_at == datetime(2027, 7, 15, 12, 34, 56)
    assert (told.camera_model, told.orientation) == ("Made phone", 1)


def test_half_size_and_light() -> None:
    picture = linear_picture(HEIC / "plain.heic", half=True)
    assert picture.rgb.shape == (96, 128, 3)
    # 128 of 255 is 0.2159 of the light (IEC 61966-2-1)
    assert float(np.median(picture.rgb[60:90, 80:120])) == pytest.approx(0.2159, abs=0.006)


def test_names_may_be_wrong(tmp_path: Path) -> None:
    shutil.copy(HEIC / "turned.heic", tmp_path / "a.jpg")
    write_jpeg(tmp_path / "b.heic", tag_274=6)
    frames, refused = scan.scan_frames(tmp_path)
    assert refused == ()
    assert {f.name: (f.width_px, f.height_px, f.is_raw) for f in frames} == {
        "a.jpg": (256, 192, False),
        "b.heic": (160, 240, False),
    }
    assert display_picture(tmp_path / "a.jpg")[4:20, 4:28].min() > 240


def test_a_raw_and_its_heic_are_one_frame(tmp_path: Path) -> None:
    shutil.copy(HEIC / "plain.heic", tmp_path / "IMG_1.HEIC")
    write_dng(tmp_path / "img_1.dng", np.full((64, 96, 3), 0.2, np.float32), preview=False)
    frames, refused = scan.scan_frames(tmp_path)
    assert [(f.name, f.companion) for f in frames] == [("img_1.dng", "IMG_1.HEIC")]
    assert refused == ()


@pytest.mark.parametrize("name", ["plain.heic", "grid-p3-turned.heic", "ten-bit.HIF"])
def test_no_part_of_a_file_is_whole(tmp_path: Path, name: str) -> None:
    whole = (HEIC / name).read_bytes()
    path = tmp_path / name
    for size in [*range(1, 60), *range(60, len(whole) - 1, 37), len(whole) - 1]:
        path.write_bytes(whole[:size])
        with pytest.raises(InputError) as told:
            check_whole(path)
        assert told.value.code == "incomplete", size
    path.write_bytes(whole)
    assert check_whole(path) == "HEIC"


def test_damage_is_told_and_never_more_than_that(tmp_path: Path) -> None:
    whole = bytearray((HEIC / "grid-p3-turned.heic").read_bytes())
    rng = np.random.default_rng(3)
    for n in range(60):
        data = bytearray(whole)
        for place in rng.integers(0, len(whole), 6):
            data[place] = rng.integers(0, 256)
        path = tmp_path / f"{n}.heic"
        path.write_bytes(data)
        try:
            check_whole(path)
            display_picture(path)
        except InputError as error:
            assert error.code in ("damaged", "incomplete", "other kind", "too large", "too small")
        read_settings(path)


def test_another_codec_in_the_same_boxes_is_named(tmp_path: Path) -> None:
    # brands of an AVIF (AV1 in HEIF, v1.1.0, section 6): the same boxes, no HEVC
    (tmp_path / "a.heic").write_bytes(b"\0\0\0\x1cftypavif\0\0\0\0avifmif1miaf" + bytes(40))
    assert content_kind((tmp_path / "a.heic").read_bytes()) == "AVIF picture"
    frames, (refused,) = scan.scan_frames(tmp_path)
    assert frames == ()
    assert (refused.name, refused.code) == ("a.heic", "other kind")
    assert "AVIF" in refused.reason


@pytest.mark.parametrize(
    ("transfer", "code", "light"),
    [
        (16, 0.580689, 1.0),  # ITU-R BT.2408-7, table 1: 203 cd/m2 is 58 % of PQ
        (18, 0.75, 1.0),  # and 75 % of HLG
        (16, 0.0, 0.0),
        (8, 0.5, 0.5),
    ],
)
def test_wide_dynamic_range_is_brought_to_a_white_card(transfer: int, code: float, light: float) -> None:
    pixels = np.full((4, 4, 3), round(code * 65535), np.uint16)
    shown = by_codes(pixels, {"color_primaries": 9, "transfer_characteristics": transfer})
    curve = 12.92 * light if light <= 0.0031308 else 1.055 * light ** (1 / 2.4) - 0.055
    assert np.abs(shown.astype(float) - 255 * curve).max() <= 1.01


def test_a_colour_outside_srgb_is_held_at_its_edge() -> None:
    green = np.zeros((4, 4, 3), np.uint8)
    green[..., 1] = 255
    assert by_codes(green, {"color_primaries": 12, "transfer_characteristics": 13})[0, 0].tolist() == [
        0,
        255,
        0,
    ]
