"""The letters that come along: unchanged, licensed, and as high as the sizes are computed for."""

import hashlib
import re
import struct
from pathlib import Path

import plateside.web

FONTS = Path(plateside.web.__file__).parent / "static" / "fonts"


def test_the_files_are_those_whose_sums_are_written_down() -> None:
    lines = (FONTS / "VENDORED.txt").read_text("utf-8").splitlines()[1:]
    written = {name: sum_ for sum_, name in (line.split() for line in lines)}
    assert written == {f.name: hashlib.sha256(f.read_bytes()).hexdigest() for f in FONTS.glob("*.woff2")}
    for family in {name.split("-")[0] for name in written}:
        assert "SIL OPEN FONT LICENSE Version 1.1" in (FONTS / f"OFL-{family}.txt").read_text("utf-8")


def test_every_file_is_woff2_and_asked_for_by_the_style_sheet() -> None:
    style = (FONTS.parent / "css" / "letters.css").read_text("utf-8")
    for file in FONTS.glob("*.woff2"):
        # W3C, WOFF File Format 2.0, section 4: the signature 'wOF2', and the file's own length
        signature, _flavour, length = struct.unpack(">4sII", file.read_bytes()[:12])
        assert (signature, length) == (b"wOF2", file.stat().st_size)
        assert re.search(rf"url\(\.\./fonts/{re.escape(file.name)}\)", style)
