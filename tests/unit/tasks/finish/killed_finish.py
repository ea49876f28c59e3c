"""Finishing killed before each change on disk: run by test_finish.py in a program of its own."""

import json
import os
import shutil
from pathlib import Path

from plateside.files.checksums import sha256_of_file
from plateside.files.journal.journal import Journal
from plateside.files.originals.identity import content_hash
from plateside.tasks.finish.series import finish
from tests.killed import CHANGES, kill_everywhere, load_before_forking
from tests.shoots.re_lit import make_shoot


def main(folder: str, *events: str) -> dict[str, int]:
    """Heroes change; the run that makes their pictures is killed before each of `events` (none: before each change)."""
    made, root = Path(folder) / "made", Path(folder) / "shoot"
    first = Path(folder) / "first"

    def retouch_and_choose_again() -> None:
        """`near` is retouched by hand; `hand` gets another hero."""
        make_shoot(made, share=1 / 3)
        finish(made, kind="jpeg")
        first.write_text(sha256_of_file(made / "finished" / "hand.jpg"), encoding="utf-8")
        near = made / "finished" / "near.jpg"
        near.write_bytes(near.read_bytes() + b"hers")
        hero = content_hash(made / "frames" / "IMG 1 é.jpg")
        Journal.open(made).append_many(
            [(kind, {"shot": shot, "frame": hero}) for kind, shot in (("select", "hand"), ("select", "near"))]
        )
        Journal.open(made).append("select", shot="near", frame=content_hash(made / "frames" / "IMG 2 é.jpg"))

    def prepare() -> None:
        shutil.rmtree(root, ignore_errors=True)
        shutil.copytree(made, root)

    def check(n: int) -> None:
        report = finish(root, kind="jpeg")
        assert not [one.shot for one in report.finished if one.by_hand], n
        names = {p.name for p in (root / "finished").iterdir()}
        # hers is there, under the name that was set aside; and nothing else was taken for hers
        assert names == {"cup.jpg", "near.jpg", "hand.jpg", "near-by-hand-1.jpg", "adjustments.json"}, (
            n,
            names,
        )
        assert (root / "finished" / "near-by-hand-1.jpg").read_bytes().endswith(b"hers"), n
        assert sha256_of_file(root / "finished" / "hand.jpg") != first.read_text(encoding="utf-8"), n
        record = json.loads((root / "finished" / "adjustments.json").read_text(encoding="utf-8"))
        for row in record["pictures"]:
            assert row["sha256"] == sha256_of_file(root / "finished" / row["file"]), (n, row["file"])
        assert list((root / ".plateside" / "making").iterdir()) == [], n

    # the pictures' library has threads of its own: it is not to be woken in the process that forks
    if os.fork() == 0:
        retouch_and_choose_again()
        os._exit(0)
    assert os.waitstatus_to_exitcode(os.wait()[1]) == 0
    load_before_forking()
    kills = kill_everywhere(root, prepare, lambda: finish(root, kind="jpeg"), check, events or CHANGES)
    return {"kills": kills}
