"""Finishing beyond one series, killed: what came back retouched, a chart and settings by hand, a folder of shoots.

victims.py takes them up.
"""

import json
import shutil
from pathlib import Path

from plateside.files.checksums import sha256_of_file
from plateside.files.journal.journal import Journal
from plateside.files.pictures import encode, read_picture
from plateside.files.settings.load import open_shoot
from plateside.tasks.finish import every_shoot, retouched_added, retouched_adding
from plateside.tasks.finish.finished_list import read_rows
from plateside.tasks.finish.series import finish
from plateside.tasks.finish.set_by_hand import set_by_hand
from tests.shoots import re_lit
from tests.shoots.charted import CHART, charted_shoot
from tests.synthetic.at_once import here

SHORT = (
    re_lit.SHOOT[: re_lit.SHOOT.index('[[shots]]\nname = "hand"')]
    + """
[[channels]]
name = "wide"
width_px = 160
height_px = 90
formats = ["jpeg"]
"""
)
SHOTS = ("cup", "near")
RETOUCHED = "near-Edit.png"
"""Beside the shoot: what a page sends."""
PLACE = "retouched"
OTHER = "other"
"""A second shoot's folder, beside the one that is tried."""
PARTS, SAVED_MS = 4, 4_000_000_000_000
BRIGHTER = 0.25


def make_chosen(root: Path) -> None:
    re_lit.make_shoot(root, SHORT, SHOTS, share=1 / 2)


def finished(root: Path, shots: tuple[str, ...] = SHOTS) -> list[str]:
    """What is wrong with the finished pictures: each is the one that was noted, and there are no others."""
    record = json.loads((root / "finished" / "adjustments.json").read_text(encoding="utf-8"))
    wrong = [
        f"finished/{row['file']} is another one than was noted"
        for row in record["pictures"]
        if row["sha256"] != sha256_of_file(root / "finished" / row["file"])
    ]
    names = sorted(p.name for p in (root / "finished").iterdir() if p.name != PLACE)
    return wrong + (
        []
        if names == ["adjustments.json", *(f"{shot}.jpg" for shot in shots)]
        else [f"finished/ holds {names}"]
    )


# ---- retouched, and sent from a page --------------------------------------------------------------------------


def make_retouched(root: Path) -> None:
    """A finished series, and beside the shoot one of its pictures as another program saved it."""
    make_chosen(root)
    finish(root, kind="jpeg")
    made = read_picture(root / "finished" / "near.jpg")
    pixels = made.pixels.copy()
    pixels[:20] //= 2
    (root.parent / RETOUCHED).write_bytes(encode(pixels, "png", 1, made.xmp))


def put_retouched_in(root: Path) -> None:
    """As the page does it: begun, sent in parts, put in."""
    data = (root.parent / RETOUCHED).read_bytes()
    begun = retouched_adding.begin(root, "desk", RETOUCHED, len(data), SAVED_MS)
    step, at = len(data) // PARTS + 1, begun.have
    while at < len(data):
        at = retouched_adding.add_part(root, begun.key, at, len(data), data[at : at + step]).have
    retouched_added.put_in(root, begun.key, len(data), SAVED_MS)


def never_half_retouched(root: Path) -> list[str]:
    """What stands beside the pictures is all of it, and no picture that was made is another one."""
    place, whole = root / "finished" / PLACE, (root.parent / RETOUCHED).read_bytes()
    shown = [p for p in sorted(place.iterdir()) if not p.name.startswith(".")] if place.is_dir() else []
    return [f"{p.name} is half a file" for p in shown if p.read_bytes() != whole] + finished(root)


def retouched_counts(root: Path) -> list[str]:
    """It is there once, written down once, and nothing is still on its way."""
    names = [p.name for p in (root / "finished" / PLACE).iterdir()]
    rows = [row.data["file"] for row in Journal.open(root).rows() if row.kind == "retouched"]
    arriving = root / ".plateside" / "arriving"
    left = [p.name for p in arriving.iterdir()] if arriving.is_dir() else []
    wrong = [] if names == [RETOUCHED] else [f"beside the pictures: {names}"]
    wrong += [] if rows == [f"{PLACE}/{RETOUCHED}"] else [f"written down: {rows}"]
    return wrong + ([f"left on its way: {left}"] if left else []) + never_half_retouched(root)


# ---- by a chart, and by hand ----------------------------------------------------------------------------------


def make_charted(root: Path) -> None:
    # one shot alone: matching two is finishing's own, and takes long
    charted_shoot(
        root, SHORT.replace(SHORT[SHORT.index('[[shots]]\nname = "near"') : SHORT.index("[[channels]]")], "")
    )


def finish_by_chart(root: Path) -> None:
    set_by_hand(root, SHOTS[0], {"brighter_stops": BRIGHTER})
    finish(root, kind="jpeg", chart=(CHART, None))


def charted(root: Path) -> list[str]:
    """The raw is made by the chart, and as it was set; each of that is written down once."""
    kinds = [row.kind for row in Journal.open(root).rows()]
    (made,) = read_rows(open_shoot(root).folder)
    wrong = [
        f"{kind}: {kinds.count(kind)} rows" for kind in ("colour chart", "look") if kinds.count(kind) != 1
    ]
    wrong += [] if made["chart"] == CHART else ["it is not made by the chart"]
    return wrong + finished(root, SHOTS[:1])


# ---- every shoot of a folder ----------------------------------------------------------------------------------


def make_two_shoots(root: Path) -> None:
    make_chosen(root)
    shutil.copytree(root, root.parent / OTHER)


def finish_every(root: Path) -> None:
    # this process is about to be killed; its children would not be
    vars(every_shoot)["pool"] = here
    report = every_shoot.finish_every(root.parent, "jpeg")
    if report.exit_status:
        raise SystemExit(f"not every shoot was finished: {report}")


def every_finished(root: Path) -> list[str]:
    """Both are whole, and a run more does nothing: what is kept of them is true."""
    wrong = finished(root) + finished(root.parent / OTHER)
    vars(every_shoot)["pool"] = here
    again = every_shoot.finish_every(root.parent, "jpeg")
    return wrong + [f"{one.name} is made again" for one in again.shoots if not one.unchanged]
