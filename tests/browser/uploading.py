"""Photographs that a paired browser adds while the watcher judges: what went, and what the journal says of it."""

import hashlib
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from playwright.sync_api import BrowserContext

from plateside.files.journal.rows import Row
from tests.browser.serving import Served, frame_pixels, write_frame
from tests.web.requests import change
from tests.web.tablets import TABLET, pair, secret_of

FIRST_TAKEN = b"2027:07:15 09:00:00"


def write_photographs(folder: Path, count: int, size: tuple[int, int] | None = None) -> list[Path]:
    """`count` photographs taken a minute apart, each another file; `size`: larger than the small one, in pixels."""
    from PIL import Image

    folder.mkdir(parents=True)
    made = folder / "made.jpg"
    pixels = frame_pixels()
    if size:
        import numpy as np

        pixels = np.asarray(Image.fromarray(pixels).resize(size, Image.Resampling.BICUBIC))
    write_frame(made, pixels, FIRST_TAKEN.decode())
    data = made.read_bytes()
    made.unlink()
    assert data.count(FIRST_TAKEN) == 1
    out = []
    for number in range(count):
        taken = b"2027:07:15 %02d:%02d:00" % divmod(9 * 60 + number, 60)
        path = folder / f"IMG_{number:04d}.jpg"
        path.write_bytes(data.replace(FIRST_TAKEN, taken))
        out.append(path)
    return out


def let_paired_in(served: Served, context: BrowserContext) -> str:
    """Pair a browser as a tablet; the address of its Set page."""
    url = str(change(served, "/tablet/invite", {}).json["url"])
    port = int(url.rstrip("/").rsplit(":", 1)[1])
    name, _, value = pair(port, secret_of(served)).headers["set-cookie"].split(";")[0].partition("=")
    where = f"http://{TABLET}:{port}/"
    context.add_cookies([{"name": name, "value": value, "url": where, "sameSite": "Strict"}])
    return where + "set"


def once_each(sent: Sequence[Path], frames: Path) -> bool:
    """Whether every photograph that was sent lies in the frames folder once, byte for byte."""
    there = Counter(hashlib.blake2b(p.read_bytes()).digest() for p in frames.iterdir() if p.is_file())
    return all(there[hashlib.blake2b(p.read_bytes()).digest()] == 1 for p in sent)


def verdicts(rows: Sequence[Row], names: Sequence[str]) -> dict[str, int]:
    """How often each of these photographs was judged, by name."""
    landed = {str(r.data["frame"]): str(r.data["name"]) for r in rows if r.kind == "frame landed"}
    count = Counter(landed.get(str(r.data["frame"]), "") for r in rows if r.kind == "verdict")
    return {name: count[name] for name in names}


def out_of_turn(rows: Sequence[Row]) -> list[str]:
    """Frames that were judged neither as the newest of the current shot nor as the one that waits longest.

    All frames of these rows landed while one shot was current. What a verdict was chosen from is what had landed at
    some moment between the verdict before it and itself. What had landed before these rows has had its own turn.
    """
    landed: list[str] = []
    judged: set[str] = set()
    wrong, could = [], set[str]()

    def choice() -> str:
        waiting = [f for f in landed if f not in judged]
        if not waiting:
            return ""
        return landed[-1] if landed[-1] not in judged else waiting[0]

    for row in rows:
        frame = str(row.data.get("frame", ""))
        if row.kind == "frame landed":
            landed.append(frame)
            could.add(choice())
        elif row.kind == "verdict" and frame in landed:
            if frame not in could:
                wrong.append(frame)
            judged.add(frame)
            could = {choice()}
    return wrong
