"""A client's layout: by its content, a page of a PDF, kept whole or not at all; a strange file is held to limits."""

import struct
import zlib
from pathlib import Path

import numpy as np
import pytest
import typst
from PIL import Image

from plateside.files import layouts
from plateside.files.layout_drawn import LONGEST_PX, draw_layout, kind_of_layout
from plateside.model.errors import InputError

PAGES = """#set page(width: 300pt, height: 200pt, margin: 0pt)
#rect(width: 150pt, height: 200pt, fill: red)
#pagebreak()
#set page(width: 200pt, height: 300pt)
#rect(width: 200pt, height: 300pt, fill: blue)
"""


@pytest.fixture(scope="module")
def pdf(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    source = tmp_path_factory.mktemp("pdf") / "pages.typ"
    source.write_text(PAGES)
    made = typst.compile(str(source), format="pdf")
    assert isinstance(made, bytes)
    return made


def came(root: Path, data: bytes, name: str = "cover.pdf", page: int = 1) -> layouts.Layout:
    return layouts.take(root, "bowl", layouts.arrive(root, data, name), name, page)


def pixels(root: Path, found: layouts.Layout) -> np.ndarray:
    picture = layouts.picture_of(root, "bowl", found.key)
    assert picture is not None
    (root / "drawn.png").write_bytes(picture)
    return np.asarray(Image.open(root / "drawn.png"))


def left(root: Path) -> list[str]:
    """What lies where layouts are kept, but for its own files."""
    folder = root / ".plateside" / "layouts"
    return sorted(p.suffix or p.name for p in folder.iterdir()) if folder.is_dir() else []


def test_a_page_of_a_pdf_is_drawn_and_what_it_does_not_paint_is_clear(tmp_path: Path, pdf: bytes) -> None:
    found = came(tmp_path, pdf)
    assert (found.name, found.page, found.pages) == ("cover.pdf", 1, 2)
    shown = pixels(tmp_path, found)
    assert shown.shape == (LONGEST_PX * 2 // 3, LONGEST_PX, 4)
    assert shown[800, 400, 3] == 255
    assert shown[800, 400, 0] > 200 > shown[800, 400, 2]
    assert shown[800, 2000, 3] == 0
    assert layouts.layout_of(tmp_path, "bowl") == found
    assert layouts.layout_of(tmp_path, "other") is None

    turned = layouts.turn_to(tmp_path, "bowl", 2)
    assert (turned.page, turned.pages) == (2, 2)
    assert turned.key != found.key
    assert pixels(tmp_path, turned).shape == (LONGEST_PX, LONGEST_PX * 2 // 3, 4)
    assert layouts.picture_of(tmp_path, "bowl", found.key) is None
    assert left(tmp_path) == [".json", ".png", ".source"]
    with pytest.raises(InputError):
        layouts.turn_to(tmp_path, "bowl", 3)
    assert layouts.layout_of(tmp_path, "bowl") == turned, "what was there stays"
    layouts.put_away(tmp_path, "bowl")
    assert layouts.layout_of(tmp_path, "bowl") is None
    assert left(tmp_path) == []


def test_a_png_is_known_by_its_content(tmp_path: Path) -> None:
    image = Image.new("RGBA", (300, 200), (0, 0, 0, 0))
    image.paste((10, 200, 30, 255), (0, 0, 150, 200))
    image.save(tmp_path / "a.png", pnginfo=None)
    found = came(tmp_path, (tmp_path / "a.png").read_bytes(), "named.pdf")
    assert found.pages == 1
    shown = pixels(tmp_path, found)
    assert shown.shape == (200, 300, 4)
    assert shown[100, 50].tolist() == [10, 200, 30, 255]
    assert shown[100, 250, 3] == 0


def png_of(wide: int, high: int) -> bytes:
    """A PNG whose header promises so many pixels (PNG specification, 11.2.2)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", wide, high, 8, 6, 0, 0, 0)
    body = zlib.compress(b"\0" * 1000)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    "data",
    [b"%PDF-1.7\nno document", b"%PDF-", b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff\xe0 a JPEG", b"<svg/>",
     png_of(100_000, 100_000), png_of(64, 64)],
    ids=["no document", "mark alone", "no header", "JPEG", "SVG", "too many pixels", "torn"],
)  # fmt: skip
def test_what_cannot_be_drawn_is_refused_and_leaves_what_was_there(tmp_path: Path, data: bytes) -> None:
    Image.new("RGB", (30, 20)).save(tmp_path / "a.png")
    before = came(tmp_path, (tmp_path / "a.png").read_bytes(), "first.png")
    with pytest.raises(InputError) as refused:
        came(tmp_path, data, "../../evil\n.pdf")
    assert "\n" not in str(refused.value)
    assert ".." not in str(refused.value)
    assert layouts.layout_of(tmp_path, "bowl") == before
    assert left(tmp_path) == [".json", ".png", ".source"]


def test_what_takes_too_long_is_ended(tmp_path: Path, pdf: bytes) -> None:
    source = tmp_path / "a"
    source.write_bytes(pdf)
    assert draw_layout(source, tmp_path / "out.png", 1, most_s=0.001).why == "long"


def test_nothing_and_too_much_are_refused_before_they_are_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(layouts, "LARGEST_BYTES", 10)
    for data in (b"", b"%PDF-1.7 and more"):
        with pytest.raises(InputError):
            layouts.arrive(tmp_path, data, "a.pdf")
    assert left(tmp_path) == []


def test_a_damaged_note_counts_as_no_layout(tmp_path: Path, pdf: bytes) -> None:
    came(tmp_path, pdf)
    (note,) = (tmp_path / ".plateside" / "layouts").glob("*.json")
    note.write_bytes(note.read_bytes()[:-9])
    assert layouts.layout_of(tmp_path, "bowl") is None


@pytest.mark.parametrize(
    ("head", "kind"),
    [
        (b"%PDF-1.4", "pdf"),
        (b"\0" * 900 + b"%PDF-2.0", "pdf"),
        (b"\x89PNG\r\n\x1a\n...", "png"),
        (b"GIF89a", ""),
    ],
)
def test_kinds_are_told_by_first_bytes(head: bytes, kind: str) -> None:
    assert kind_of_layout(head) == kind
