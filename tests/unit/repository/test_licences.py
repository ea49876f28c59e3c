"""What is bundled is declared: every typeface with its licence in the package, unchanged, and used on paper."""

import base64
import hashlib
import re
import tomllib
from pathlib import Path

from plateside.drawing.kit import SANS
from plateside.files.printing import make_pdf, with_letters
from plateside.paper.sections import Drawing, Heading, Text, as_data

ROOT = Path(__file__).parents[3]
FONTS = ROOT / "src/plateside/files/paper/fonts"


def test_every_licence_of_a_typeface_is_declared() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    declared = {found for pattern in project["license-files"] for found in ROOT.glob(pattern)}
    assert {*(ROOT / "src").rglob("OFL-*.txt"), ROOT / "LICENSE"} == declared
    # SPDX's names of the two licences
    assert set(project["license"].split(" AND ")) == {"Apache-2.0", "OFL-1.1"}


def test_the_typefaces_of_the_papers_are_unchanged_and_licensed() -> None:
    lines = (FONTS / "VENDORED.txt").read_text(encoding="utf-8").splitlines()[1:]
    written = {name: digest for digest, name in (line.split() for line in lines)}
    assert written == {
        f.name: hashlib.sha256(f.read_bytes()).hexdigest() for f in FONTS.iterdir() if f.suffix != ".txt"
    }
    for family in {name.split("-")[0].lower() for name in written}:
        assert "SIL OPEN FONT LICENSE Version 1.1" in (FONTS / f"OFL-{family}.txt").read_text("utf-8")


def test_a_paper_is_set_in_the_bundled_typefaces_alone() -> None:
    drawing = f'<svg viewBox="0 0 9 9" font-family="{SANS}"><text x="1" y="5">0.60 m</text></svg>'
    sections = as_data([Heading("Soup", 1), Text("35 mm, f/8"), Drawing(drawing)])
    pdf = make_pdf("call-sheet.typ", {"sections": sections, "title": "x", "language": "en", "paper": "a4"})
    used = {name.decode() for name in re.findall(rb"/BaseFont/[A-Z]{6}\+(\w+)", pdf)}
    assert used == {"Barlow", "Newsreader"}


def test_a_page_to_print_has_its_typefaces_inside() -> None:
    page = with_letters("<html><head><title>x</title></head><body></body></html>")
    faces = re.findall(
        r"font-family:(\w+);font-weight:([\d ]+);src:url\(data:font/woff2;base64,([^)]+)\)", page
    )
    assert {(family, weight) for family, weight, _ in faces} == {
        ("Barlow", "400"),
        ("Barlow", "600 700"),
        ("Newsreader", "400"),
    }
    # W3C, WOFF File Format 2.0, section 4: the signature
    assert all(base64.b64decode(data)[:4] == b"wOF2" for _, _, data in faces)
