"""What is killed: pieces of work that change a shoot, and what must hold after each was ended in the middle.

To add one, write its three functions and put it into VICTIMS: the bench and the seeded few of the tests take it up.
"""

import os
import shutil
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from PIL import Image

from plateside.files.bags import bring_back, check_bag
from plateside.files.checksums import sha256_of_file
from plateside.files.journal.journal import Journal
from plateside.files.journal.rows import Row
from plateside.files.settings.load import load_shoot
from plateside.files.settings.write import Put
from plateside.tasks.deliver.delivery import deliver
from plateside.tasks.deliver.pack import pack
from plateside.tasks.deliver.verify import verify
from plateside.tasks.finish.series import finish
from plateside.tasks.set import adding
from plateside.tasks.set.added import put_in
from plateside.tasks.set.judge import judge_frames
from plateside.tasks.set.press import press
from plateside.tasks.set.watch import watch
from plateside.tasks.studio.edit import change_settings, read_settings
from tests.abuse import two_disks
from tests.abuse import victims_of_finish as of_finish
from tests.shoots import small

ANSWERED = "answered.txt"
"""Beside the shoot: what the killed work was told to be done, a line each, written after the answer came."""
SHOOT = "shoot"
"""The shoot's folder, in the one that is made and in the one that is tried."""
ADDED = "P 0001.jpg"
PRESSES, EDITS, PARTS = 12, 4, 6


@dataclass(frozen=True)
class Victim:
    """One piece of work."""

    name: str
    make: Callable[[Path], object]
    """Fills the shoot's folder, and what stands beside it, once; every try begins with a copy of all that."""
    act: Callable[[Path], object]
    """The work. Run once more after the kills it must come to its end."""
    at_once: Callable[[Path], list[str]]
    """What is wrong as the killed work left it; empty: nothing."""
    at_the_end: Callable[[Path], list[str]]
    """What is wrong once the work has been run to its end."""
    is_long: bool = False
    """Half a second of the processor and more: where few are tried it is killed half as often as the others."""


def lines_of(root: Path) -> list[Row]:
    return Journal.open(root).rows()


def told_once(root: Path, wanted: Mapping[str, int]) -> list[str]:
    """Each frame landed once, and judged once: no frame missed, none told twice."""
    wrong = []
    for kind, most in wanted.items():
        seen = [str(row.data["frame"]) for row in lines_of(root) if row.kind == kind]
        if len(seen) != most or len(set(seen)) != most:
            wrong.append(f"{kind}: {len(seen)} rows of {len(set(seen))} frames instead of {most}")
    return wrong


def _nothing(_root: Path) -> list[str]:
    return []


FRAMES = 3


def _make_frames(root: Path) -> None:
    small.make_small_shoot(root, FRAMES)
    (root / "journal.jsonl").unlink()


def _judged(root: Path) -> list[str]:
    return told_once(root, {"frame landed": FRAMES, "verdict": FRAMES})


def _watch(root: Path) -> None:
    watch(root, lambda _event: None, once=True, poll_s=0.02)


def _finish(root: Path) -> None:
    finish(root, kind="jpeg")


def _make_finished(root: Path) -> None:
    of_finish.make_chosen(root)
    _finish(root)


def _no_mixture(root: Path) -> list[str]:
    """A list that says whole is true of every file; one that says unfinished is told apart from damage."""
    if not (root / "delivery" / "manifest.json").is_file():
        return []
    checked = verify(root)
    return [f"delivery: {fault}" for fault in checked.faults]


def _delivered(root: Path) -> list[str]:
    checked = verify(root)
    found = [] if checked.exit_status == 0 and checked.files else [f"delivery: {checked}"]
    hidden = [p.name for p in (root / "delivery").rglob(".*")]
    return found + ([f"delivery/ holds {hidden}"] if hidden else [])


def _make_delivered(root: Path) -> None:
    _make_finished(root)
    deliver(root)
    pack(root)


def _pack(root: Path) -> None:
    pack(root)
    pack(root, archive=True)


def _packages(root: Path) -> list[str]:
    """The package that was there is there, old or new, and every one that is there is whole."""
    place, wrong = root / "packages", []
    bring_back(place / "any")
    bags = sorted(p for p in place.iterdir() if not p.name.startswith("."))
    for bag in bags:
        wrong += [f"{bag.name}: {fault}" for fault in check_bag(bag).faults]
    return wrong + ([] if any("delivery" in bag.name for bag in bags) else ["the package is gone"])


def _added_bytes(root: Path) -> bytes:
    return (root.parent / ADDED).read_bytes()


def _make_to_add(root: Path) -> None:
    small.make_small_shoot(root, FRAMES)
    Image.fromarray(small.picture(77)).save(root.parent / ADDED, quality=90)


def _add(root: Path) -> None:
    for _ in _added_in_parts(root):
        pass


def _added_in_parts(root: Path) -> Iterator[int]:
    data = _added_bytes(root)
    begun = adding.begin(root, "device 1", ADDED, len(data), 5)
    step, at = len(data) // PARTS + 1, begun.have
    while at < len(data):
        at = adding.add_part(root, begun.key, at, len(data), data[at : at + step]).have
        yield at
    put_in(root, begun.key, len(data))


def _add_and_copy(root: Path) -> None:
    """Each part of a photograph between two looks of the copying, as a page and the watcher do it."""
    parts, came = _added_in_parts(root), list[int | None]()
    # it has been in at a whole look
    for _ in two_disks.looks(root, until=lambda: came[-2:] == [None, None]):
        came.append(next(parts, None))


def _add_without_links(root: Path) -> None:
    def no_links(*_: object, **__: object) -> None:
        raise OSError(95, "Operation not supported")

    os.link = no_links  # this process is about to be killed
    _add(root)


def _make_to_add_and_copy(root: Path) -> None:
    two_disks.make_shoot_with_disk(root)
    Image.fromarray(small.picture(77)).save(root.parent / ADDED, quality=90)


def _whole_frames(root: Path) -> list[str]:
    """No half photograph under a frame's name: what stands there is one of those that were, or all of the new one."""
    whole = {
        small_file.read_bytes() for small_file in (root.parent.parent / "made" / SHOOT / "frames").iterdir()
    }
    whole.add(_added_bytes(root))
    shown = [p for p in sorted((root / "frames").iterdir()) if not p.name.startswith(".")]
    return [
        f"frames/{p.name} is half a photograph ({p.stat().st_size} bytes)"
        for p in shown
        if p.read_bytes() not in whole
    ]


def _added(root: Path) -> list[str]:
    there = [p.name for p in (root / "frames").iterdir() if p.read_bytes() == _added_bytes(root)]
    place = root / ".plateside" / "arriving"
    left = [p.name for p in place.iterdir()] if place.is_dir() else []
    wrong = [] if there == [ADDED] else [f"the photograph stands as {there}"]
    return wrong + ([f"left on its way: {left}"] if left else []) + _whole_frames(root)


def _whole_frames_and_copies(root: Path) -> list[str]:
    return _whole_frames(root) + two_disks.never_half_copied(root)


def _added_and_copied(root: Path) -> list[str]:
    return _added(root) + two_disks.all_on_two_disks(root)


def _note_answer(root: Path, line: str) -> None:
    handle = os.open(root.parent / ANSWERED, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
    os.write(handle, f"{line}\n".encode())
    os.close(handle)


def answered(root: Path) -> list[str]:
    path = root.parent / ANSWERED
    return path.read_text(encoding="utf-8").splitlines() if path.exists() else []


def _press(root: Path) -> None:
    begun = len(answered(root))
    for number in range(begun, begun + PRESSES):
        pressed = press(root, "words", {"shot": "cup", "field": "title", "text": f"title {number}"}, 10**9)
        _note_answer(root, f"{pressed.row} title {number}")


def lost_presses(root: Path) -> list[str]:
    """Presses that were answered and are not in the journal."""
    there = {f"{row.number} {row.data.get('text')}" for row in lines_of(root) if row.kind == "words"}
    return [f"answered and lost: {line}" for line in answered(root) if line not in there]


def _tear(root: Path) -> list[str]:
    """A power cut in the middle of a line: every whole line is still read, and the next press goes through."""
    path = root / "journal.jsonl"
    before = [row.number for row in lines_of(root)]
    with path.open("ab") as file:
        file.write(b'{"n": 99, "at": "2027-05-')
    after = [row.number for row in lines_of(root)]
    return lost_presses(root) + ([] if after == before else [f"rows {before[-2:]} became {after[-2:]}"])


def _torn_aside(root: Path) -> list[str]:
    torn = list(root.glob("journal-torn-*.txt"))
    wrong = [] if all(b'"n": 99' in p.read_bytes() for p in torn) else ["something else was set aside"]
    return wrong + lost_presses(root)


def _edit(root: Path) -> None:
    for number in range(EDITS):
        version = read_settings(root, "shoot").version
        change_settings(root, "shoot", [Put(("recipe", "title"), f"Cup {number}")], version)


def _readable(root: Path) -> list[str]:
    title = load_shoot(root / "shoot.toml").recipe.title
    return [] if title == "Coffee" or title.startswith("Cup ") else [f"the title is {title!r}"]


def _edited(root: Path) -> list[str]:
    now = read_settings(root, "shoot")
    wrong = [] if now.can_undo else ["the last change cannot be taken back"]
    return wrong + (
        [] if load_shoot(root / "shoot.toml").recipe.title == f"Cup {EDITS - 1}" else ["another title"]
    )


VICTIMS: tuple[Victim, ...] = (
    Victim("watch", _make_frames, _watch, _nothing, _judged, is_long=True),
    Victim("judge", _make_frames, judge_frames, _nothing, _judged, is_long=True),
    Victim("finish", of_finish.make_chosen, _finish, _nothing, of_finish.finished, is_long=True),
    Victim(
        "retouched",
        of_finish.make_retouched,
        of_finish.put_retouched_in,
        of_finish.never_half_retouched,
        of_finish.retouched_counts,
    ),
    Victim(
        "chart", of_finish.make_charted, of_finish.finish_by_chart, _nothing, of_finish.charted, is_long=True
    ),
    Victim(
        "every shoot",
        of_finish.make_two_shoots,
        of_finish.finish_every,
        _nothing,
        of_finish.every_finished,
        is_long=True,
    ),
    Victim("deliver", _make_finished, deliver, _no_mixture, _delivered),
    Victim("pack", _make_delivered, _pack, _packages, _packages),
    Victim("add", _make_to_add, _add, _whole_frames, _added),
    Victim("add, no links", _make_to_add, _add_without_links, _whole_frames, _added),
    Victim(
        "add, two disks", _make_to_add_and_copy, _add_and_copy, _whole_frames_and_copies, _added_and_copied
    ),
    Victim(
        "second disk",
        two_disks.make_shoot_with_disk,
        two_disks.copy_to_the_end,
        two_disks.never_half_copied,
        two_disks.all_on_two_disks,
    ),
    Victim(
        "memory card",
        two_disks.make_shoot_with_card,
        two_disks.copy_to_the_end,
        two_disks.never_half_copied,
        two_disks.card_is_in,
    ),
    Victim("press", small.make_small_shoot, _press, _tear, _torn_aside),
    Victim("settings", small.make_small_shoot, _edit, _readable, _edited),
)
"""Killed in turn. `serve` during presses is a program of its own: tests/abuse/kills_of_serve.py."""


def copy(made: Path, tried: Path) -> None:
    """The shoot, and what stands beside it, as they were made."""
    shutil.rmtree(tried, ignore_errors=True)
    shutil.copytree(made, tried, ignore=shutil.ignore_patterns("*.lock"))


def originals(root: Path) -> dict[str, Any]:
    """The content of each frame that was there: it may never change."""
    made = root.parent.parent / "made" / SHOOT / "frames"
    return {p.name: sha256_of_file(p) for p in (root / "frames").iterdir() if (made / p.name).exists()}
