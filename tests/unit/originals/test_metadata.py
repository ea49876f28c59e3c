"""Metadata against files written by exiftool, an independent program."""

import shutil
import subprocess
from datetime import datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import tifffile

from plateside.files.originals.metadata import read_settings
from tests.unit.originals.sample_files import write_jpeg

exiftool = pytest.mark.skipif(shutil.which("exiftool") is None, reason="exiftool is not installed")


@exiftool
def test_settings_written_by_exiftool(tmp_path: Path) -> None:
    path = write_jpeg(tmp_path / "a.jpg")
    subprocess.run(
        ["exiftool", "-q", "-overwrite_original", "-ExposureTime=1/3", "-FNumber=5.6", "-ISO=640",
         "-FocalLength=35", "-Model=The camera", "-DateTimeOriginal=2027:07:15 13:05:09",
         "-SubSecTimeOriginal=25", "-WhiteBalance=Auto", "-ExposureCompensation=-0.67", "-SubjectDistance=0.93",
         "-Orientation#=6", str(path)],
        check=True,
    )  # fmt: skip
    got = read_settings(path)
    assert got.exposure_s == pytest.approx(1 / 3)
    assert got.f_number == pytest.approx(5.6)
    assert got.iso == 640
    assert got.focal_length_mm == 35
    assert got.camera_model == "The camera"
    assert got.taken_at == datetime(2027, 7, 15, 13, 5, 9, 250_000)
    assert got.auto_white_balance is True
    assert got.exposure_bias_stops == pytest.approx(-0.67, abs=0.005)
    assert got.focus_distance_m == pytest.approx(0.93)
    assert got.orientation == 6
    assert got.auto_iso is None
    assert got.stabiliser_on is None


@exiftool
def test_apex_values_stand_in_for_missing_ones(tmp_path: Path) -> None:
    path = write_jpeg(tmp_path / "a.jpg")
    # exiftool takes the plain value and writes the tag in APEX units (Exif 2.32, 4.6.5)
    subprocess.run(
        ["exiftool", "-q", "-overwrite_original", "-ShutterSpeedValue=1/8", "-ApertureValue=8", str(path)],
        check=True,
    )
    got = read_settings(path)
    assert got.exposure_s == pytest.approx(1 / 8)
    assert got.f_number == pytest.approx(8.0)


def test_a_file_without_metadata_says_nothing(tmp_path: Path) -> None:
    (tmp_path / "a.jpg").write_bytes(b"\xff\xd8 no more")
    got = read_settings(tmp_path / "a.jpg")
    assert (got.exposure_s, got.iso, got.taken_at, got.orientation) == (None, None, None, 1)


def test_nonsense_in_the_tags_is_no_error(tmp_path: Path) -> None:
    path = write_jpeg(tmp_path / "a.jpg", taken="yesterday", tag_33434=(0, 0), tag_33437=(0, 1))
    got = read_settings(path)
    assert (got.taken_at, got.exposure_s, got.f_number) == (None, None, None)


@exiftool
@pytest.mark.parametrize("order", ["<", ">"])
def test_a_dngs_noise_stands_in_the_directory_of_its_raw(tmp_path: Path, order: Any) -> None:
    """DNG 1.7, NoiseProfile: below the preview's directory; six numbers, which exiftool reads as well."""
    path, six = tmp_path / "a.dng", (4e-4, 1e-6, 3e-4, 2e-6, 5e-4, 3e-6)
    with tifffile.TiffWriter(path, byteorder=order) as file:
        file.write(np.zeros((8, 8, 3), np.uint8), photometric="rgb", subifds=1, metadata=None)
        raw = [
            (33421, 3, 2, (2, 2), True),
            (33422, 1, 4, bytes((0, 1, 1, 2)), True),
            (51041, 12, 6, six, True),
        ]
        file.write(np.zeros((64, 64), np.uint16), photometric=32803, metadata=None, extratags=raw)
    assert read_settings(path).noise_profile == (six[:2], six[2:4], six[4:])
    said = subprocess.run(["exiftool", "-s3", "-NoiseProfile", path], capture_output=True, text=True)
    assert [float(v) for v in said.stdout.split()] == pytest.approx(six)
