"""What is written into a picture, read back by exiftool: words, maker, rights, profile; and nothing of the place.

Field names as in the IPTC Photo Metadata Standard (techreference 2025.1) and its mapping (getpmd.iptc.org).
"""

import json
import os
import shutil
import subprocess
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from plateside.deliver.metadata import xmp_packet
from plateside.deliver.words import Words
from plateside.files.pictures import ENDINGS, read_picture, write_picture, write_tiff_16
from tests.unit.deliver.samples import AWKWARD, RIGHTS

WORDS = Words("Three <bowls> & more", AWKWARD, 'Três sopas "verdes" & <colher> 🍲.', True)
KEYWORDS = ("cold & green", "sopa")

pytestmark = pytest.mark.skipif(
    shutil.which("exiftool") is None and not os.environ.get("CI"), reason="exiftool is not installed"
)


@pytest.fixture(scope="module")
def read_back(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, Any]]:
    folder = tmp_path_factory.mktemp("pictures")
    packet = xmp_packet(WORDS, RIGHTS, KEYWORDS)
    rng = np.random.default_rng(4)
    pixels = rng.integers(0, 256, (40, 60, 3), dtype=np.uint8)
    for kind in ("jpeg", "webp", "avif", "png"):
        write_picture(folder / f"{kind}{ENDINGS[kind]}", pixels, kind, 80, packet)
    write_tiff_16(folder / "tiff.tif", pixels.astype(np.uint16) * 257, packet)
    command = ["exiftool", "-json", "-G1", "-struct", "-charset", "utf8", "-a", str(folder)]
    told = json.loads(subprocess.run(command, capture_output=True, check=True).stdout)
    return {Path(one["SourceFile"]).stem: one for one in told}


KINDS = ["jpeg", "webp", "avif", "png", "tiff"]


@pytest.mark.parametrize("kind", KINDS)
def test_words(read_back: dict[str, dict[str, Any]], kind: str) -> None:
    told = read_back[kind]
    assert told["XMP-dc:Title"] == WORDS.title
    assert told["XMP-dc:Title-pt-PT"] == WORDS.title
    assert told["XMP-dc:Description"] == WORDS.description
    assert told["XMP-iptcCore:AltTextAccessibility"] == WORDS.alt_text
    assert told["XMP-iptcCore:AltTextAccessibility-pt-PT"] == WORDS.alt_text
    assert told["XMP-dc:Subject"] == list(KEYWORDS)


@pytest.mark.parametrize("kind", KINDS)
def test_maker_and_rights(read_back: dict[str, dict[str, Any]], kind: str) -> None:
    told = read_back[kind]
    assert told["XMP-dc:Creator"] == [RIGHTS.creator]
    assert told["XMP-dc:Rights"] == RIGHTS.copyright
    assert told["XMP-photoshop:Credit"] == RIGHTS.credit
    assert told["XMP-xmpRights:WebStatement"] == RIGHTS.licence_url
    assert told["XMP-xmpRights:UsageTerms"] == RIGHTS.usage_terms
    assert told["XMP-xmpRights:Marked"] is True
    assert told["XMP-plus:Licensor"] == [{"LicensorName": RIGHTS.creator, "LicensorURL": RIGHTS.acquire_url}]


@pytest.mark.parametrize("kind", KINDS)
def test_profile_is_srgb(read_back: dict[str, dict[str, Any]], kind: str) -> None:
    assert read_back[kind]["ICC_Profile:ProfileDescription"] == "sRGB"


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_of_the_place_and_nothing_of_the_camera(
    read_back: dict[str, dict[str, Any]], kind: str
) -> None:
    told = read_back[kind]
    assert not [name for name in told if "GPS" in name or "Location" in name or "ExifIFD" in name]
    assert "Warning" not in " ".join(told)


def test_an_empty_field_is_left_out() -> None:
    bare = xmp_packet(
        Words("T", "", "A bowl.", True), RIGHTS.__class__("A", "A", "© A", "", "", "", "en")
    ).decode()
    for absent in ("WebStatement", "UsageTerms", "Licensor", "dc:description", "dc:subject"):
        assert absent not in bare


def test_the_packet_is_read_back_by_us_as_well(tmp_path: Path) -> None:
    packet = xmp_packet(WORDS, RIGHTS)
    pixels = np.random.default_rng(0).integers(0, 65536, (30, 40, 3)).astype(np.uint16)
    write_tiff_16(tmp_path / "a.tif", pixels, packet)
    back = read_picture(tmp_path / "a.tif")
    np.testing.assert_array_equal(back.pixels, pixels)
    assert back.xmp == packet
