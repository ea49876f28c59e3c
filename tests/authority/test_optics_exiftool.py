"""Depth of field, hyperfocal distance, angle and light value against exiftool, which computes them from a file's tags.

exiftool (P. Harvey) is written apart from this project. Its depth of field is s / (1 +- t), t = N c (s - f)/f², the
thin lens; its hyperfocal distance leaves the + f away; its circle of confusion is that of the 35 mm frame over the
scale factor, so the same circle is given to ours.
"""

import json
import os
import shutil
import subprocess
from pathlib import Path

import pytest
from PIL import Image

from plateside.camera import optics as op
from plateside.ground import exposure as ex

pytestmark = pytest.mark.skipif(
    shutil.which("exiftool") is None and not os.environ.get("CI"), reason="exiftool is not installed"
)

CASES = [
    # focal length [mm], the same on the 35 mm frame, f-number, distance [m], shutter [s], ISO
    (35.0, 54.0, 8.0, 0.9324, 1 / 3, 100),
    (35.0, 54.0, 2.8, 0.7, 1 / 250, 1067),
    (50.0, 50.0, 8.0, 3.0, 1 / 60, 200),
    (50.0, 50.0, 1.8, 0.55, 1 / 125, 400),
    (60.0, 120.0, 11.0, 0.4, 2.0, 100),
    (18.0, 27.0, 16.0, 2.5, 1 / 8, 800),
    (100.0, 100.0, 5.6, 1.2, 1 / 15, 100),
    (24.0, 36.0, 4.0, 0.31, 1 / 30, 3200),
]


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> list[dict[str, float | str]]:
    folder: Path = tmp_path_factory.mktemp("tags")
    command = ["exiftool", "-q"]
    for i, (f, f35, n, s, t, iso) in enumerate(CASES):
        Image.new("RGB", (8, 8)).save(folder / f"{i}.jpg")
        tags = {
            "FNumber": n,
            "ExposureTime": t,
            "ISO": iso,
            "FocalLength": f,
            "FocalLengthIn35mmFormat": f35,
            "SubjectDistance": s,
        }
        if i:
            command.append("-execute")
        command += ["-overwrite_original", *(f"-{k}={v}" for k, v in tags.items()), str(folder / f"{i}.jpg")]
    subprocess.run(command, check=True, capture_output=True)
    wanted = ["-CircleOfConfusion", "-HyperfocalDistance", "-DOF", "-LightValue", "-FocalLengthIn35mmFormat"]
    out = subprocess.run(
        ["exiftool", "-json", "-n", *wanted, "-FOV", *(str(folder / f"{i}.jpg") for i in range(len(CASES)))],
        check=True,
        capture_output=True,
    )
    found: list[dict[str, float | str]] = json.loads(out.stdout)
    return found


@pytest.mark.parametrize("i", range(len(CASES)))
def test_depth_of_field_is_exiftools(told: list[dict[str, float | str]], i: int) -> None:
    f, _, n, s, _, _ = CASES[i]
    near, far = (float(v) for v in str(told[i]["DOF"]).split())
    # exiftool tells the depth's far end as 0 when it is infinite
    got_near, got_far = op.depth_limits_mm(f, n, float(told[i]["CircleOfConfusion"]), s * 1000.0)
    assert got_near / 1000 == pytest.approx(near, rel=1e-6)
    if far > 0:
        assert got_far / 1000 == pytest.approx(far, rel=1e-6)
    else:
        assert got_far == float("inf")


@pytest.mark.parametrize("i", range(len(CASES)))
def test_light_value_is_exiftools(told: list[dict[str, float | str]], i: int) -> None:
    _, _, n, _, t, iso = CASES[i]
    assert ex.ev100(n, t, iso) == pytest.approx(float(told[i]["LightValue"]), abs=1e-6)
