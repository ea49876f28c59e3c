"""Delivering over an older delivery, killed before each change on disk: test_deliver.py runs it in its own program."""

import os
import shutil
from pathlib import Path

from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.files.settings.load import load_shoot
from plateside.tasks.deliver.delivery import deliver
from plateside.tasks.deliver.open_points import WHOLE, delivered, standing
from plateside.tasks.deliver.verify import verify
from plateside.tasks.finish.series import finish
from tests.killed import CHANGES, kill_everywhere, load_before_forking
from tests.shoots.re_lit import SHOOT, make_shoot

# two shots: for one without a hero the frames would be judged first, by libraries that may not be forked after
TWO = SHOOT[: SHOOT.index('[[shots]]\nname = "hand"')] + SHOOT[SHOOT.index("[[channels]]") :]
SMALL = (
    TWO[: TWO.index('[[channels]]\nname = "square"')].replace("320", "160").replace("180", "90")
    + """formats = ["jpeg"]

[[channels]]
name = "square"
width_px = 150
height_px = 150
formats = ["jpeg"]
"""
)


def main(folder: str, *events: str) -> dict[str, int]:
    """Words, a channel and a crop change; the run that delivers them is killed before each of `events` (none: all)."""
    made, root = Path(folder) / "made", Path(folder) / "shoot"

    def deliver_then_change() -> None:
        make_shoot(made, SMALL, ("cup", "near"), share=1 / 2)
        finish(made, kind="jpeg")
        assert deliver(made).ready
        text = SMALL.replace('name = "wide"', 'name = "broad"')
        (made / "shoot.toml").write_text(text, encoding="utf-8")
        Journal.open(made).append("words", shot="cup", field="title", text="Another title")

    def prepare() -> None:
        shutil.rmtree(root, ignore_errors=True)
        shutil.copytree(made, root)

    def check(n: int) -> None:
        now = standing(root, load_shoot(root / "shoot.toml"), read_state(root))
        there = delivered(root / "delivery")
        assert there is not None, n
        if now.ready:  # the last list is written: all of it is new
            assert "Another title" in (root / "delivery" / "words.txt").read_text(encoding="utf-8"), n
            assert there.made_from, n
            assert not now.changed, n
        note = (root / "delivery" / "READ-ME.txt").read_text(encoding="utf-8")
        checked = verify(root)
        if there.state == WHOLE:
            # the old delivery, or the new one: every file is as the list says
            assert checked.faults == (), (n, checked.faults)
        else:
            assert checked.interrupted, n
            assert checked.faults == (), n
        kind = "unfinished" if there.state != WHOLE else "new" if now.ready else "old"
        if there.state != WHOLE and "Ready to publish" in note:
            # only where no file has changed yet, or where all have: then no listed file is missing or another
            kind = "note of a whole one"
            texts = {p.name: p.read_text(encoding="utf-8") for p in (root / "delivery").glob("*.txt")}
            names = {p.relative_to(root / "delivery").as_posix() for p in (root / "delivery").rglob("*.jpg")}
            new = "Another title" in texts["words.txt"]
            assert {name.split("/")[0] for name in names} == {"broad" if new else "wide", "square"}, (
                n,
                names,
            )
        # nothing half-made where it is uploaded from
        assert not list((root / "delivery").rglob(".*")), n
        (Path(folder) / f"told-{n}").write_text(kind, encoding="utf-8")
        assert deliver(root).ready, n
        assert standing(root, load_shoot(root / "shoot.toml"), read_state(root)).ready, n
        assert verify(root).exit_status == 0, n
        assert {p.parent.name for p in (root / "delivery").rglob("*.jpg")} == {"broad", "square"}, n
        assert list((root / ".plateside" / "making").iterdir()) == [], n

    if os.fork() == 0:
        deliver_then_change()
        os._exit(0)
    assert os.waitstatus_to_exitcode(os.wait()[1]) == 0
    load_before_forking()
    kills = kill_everywhere(root, prepare, lambda: deliver(root), check, events or CHANGES)
    said = [p.read_text(encoding="utf-8") for p in Path(folder).glob("told-*")]
    return {
        "kills": kills,
        **{kind: said.count(kind) for kind in ("old", "new", "unfinished", "note of a whole one")},
    }
