"""A client's layout drawn as a PNG, in a process of its own: the file is a stranger's, so its time is limited.

    python -m plateside.files.layout_drawn IN OUT PAGE

What it is is told by its content. A page of a PDF is drawn by Typst, whose reader of PDF is written in a language
without loose memory; what the page does not paint stays clear, so that the frame is seen through it. A PNG is read by
Pillow and written anew. Answers with {"pages": n} or {"why": kind | large | damaged | page}.

`draw_layout`  starts that process and waits for it
"""

import contextlib
import json
import os
import re
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

LONGEST_PX = 2400
MOST_PX = 60_000_000
"""Of a PNG, before a pixel of it is decoded."""
MOST_S = 20.0
MOST_MEMORY = 2_000_000_000
"""Bytes, where the system can hold a process to it."""
_PNG, _PDF = b"\x89PNG\r\n\x1a\n", b"%PDF-"
_POINTS = 1000
_SOURCE = """#set page(width: auto, height: auto, margin: 0pt, fill: none)
#context {{
  let size = measure(image("layout.pdf", page: {page}))
  image("layout.pdf", page: {page}, width: size.width * ({points}pt / calc.max(size.width, size.height)))
}}
"""


@dataclass(frozen=True)
class LayoutDrawn:
    """What came of it."""

    pages: int
    """of a PDF; 1 for a PNG; 0 when nothing was drawn"""
    why: str = ""
    """kind, large, damaged, page or long (it took too long); empty when it is drawn"""


def kind_of_layout(head: bytes) -> str:
    """'png', 'pdf' or '' by a file's first bytes; a PDF may have a little before its mark (ISO 32000-1, annex H)."""
    if head.startswith(_PNG):
        return "png"
    return "pdf" if _PDF in head[:1024] else ""


def draw_layout(source: Path, out: Path, page: int, most_s: float = MOST_S) -> LayoutDrawn:
    """Draw a layout's page (from 1) to `out`, a new file."""
    command = [sys.executable, "-m", "plateside.files.layout_drawn", str(source), str(out), str(page)]
    try:
        done = subprocess.run(
            command, stdin=subprocess.DEVNULL, capture_output=True, timeout=most_s, check=False
        )
    except subprocess.TimeoutExpired:
        return LayoutDrawn(0, "long")
    with contextlib.suppress(ValueError, KeyError, TypeError, IndexError):
        answer = json.loads(done.stdout.splitlines()[-1])
        return LayoutDrawn(int(answer.get("pages", 0)), str(answer.get("why", "")))
    return LayoutDrawn(0, "damaged")


def _drawn(source: Path, out: Path, page: int) -> dict[str, object]:
    with source.open("rb") as file:
        kind = kind_of_layout(file.read(1024))
    if kind == "png":
        return _png(source, out)
    return _pdf(source, out, page) if kind == "pdf" else {"why": "kind"}


def _png(source: Path, out: Path) -> dict[str, object]:
    from PIL import Image

    Image.MAX_IMAGE_PIXELS = None  # checked here
    try:
        with Image.open(source, formats=["PNG"]) as image:
            if image.width * image.height > MOST_PX:
                return {"why": "large"}
            shown = image.convert("RGBA")
        shown.thumbnail((LONGEST_PX, LONGEST_PX), Image.Resampling.LANCZOS)
        Image.frombytes("RGBA", shown.size, shown.tobytes()).save(out, "PNG")
    except (OSError, ValueError, SyntaxError, MemoryError):
        return {"why": "damaged"}
    return {"pages": 1}


def _pdf(source: Path, out: Path, page: int) -> dict[str, object]:
    import tempfile

    import typst

    with tempfile.TemporaryDirectory(prefix="plateside-layout-") as folder:
        place = Path(folder)
        (place / "layout.pdf").write_bytes(source.read_bytes())
        main = place / "page.typ"

        def made(number: int) -> bytes:
            main.write_text(_SOURCE.format(page=number, points=_POINTS), encoding="utf-8")
            got = typst.compile(str(main), root=str(place), format="png", ppi=72 * LONGEST_PX / _POINTS)
            if not isinstance(got, bytes):
                raise TypeError(page)
            return got

        pages = _pages(made)
        if not 1 <= page <= max(pages, 1):
            return {"why": "page", "pages": pages}
        try:
            out.write_bytes(made(page))
        except (typst.TypstError, TypeError):
            return {"why": "damaged"}
        return {"pages": max(pages, 1)}


def _pages(made: Callable[[int], bytes]) -> int:
    """How many pages there are: a page that no document has is refused with their number; 0 when it is not told."""
    import typst

    try:
        made(1_000_000)
    except typst.TypstError as error:
        hints = " ".join([*map(str, getattr(error, "hints", ())), str(error)])
        found = re.search(r"only has (\d+) page", hints)
        return int(found[1]) if found else 0
    return 0


def _held() -> None:
    """No more memory than a layout needs."""
    if sys.platform != "win32":
        import resource

        with contextlib.suppress(OSError, ValueError):
            resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
            resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


if __name__ == "__main__":
    # what a library prints must not stand in the answer
    answer_to = os.fdopen(os.dup(sys.stdout.fileno()), "w", encoding="utf-8")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
    _held()
    json.dump(_drawn(Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3])), answer_to)
    answer_to.write("\n")
    answer_to.flush()
