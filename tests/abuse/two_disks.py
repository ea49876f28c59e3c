"""Originals on their way to a second disk, off a memory card and in from a page, killed: victims.py takes them up.

Held at any moment: a copy under its name is whole; a line of the list is true of its file; what was written down as
'on two disks' or 'the card may be cleared' is so on the disks themselves; the card is as it was.
"""

import hashlib
import os
from collections.abc import Callable, Iterator
from pathlib import Path

from PIL import Image

from plateside.files.bags import check_bag
from plateside.files.second import second_disk
from plateside.files.settings.load import open_shoot
from plateside.tasks.set.folders import name_folders
from plateside.tasks.set.safe import safe_now
from plateside.tasks.set.safe_run import SafeRun
from tests.shoots.small import make_small_shoot, picture

DISK, CARD = "disk", "card"
FRAMES, ON_CARD = 3, 3
LOOKS = 60
"""Far more looks than the copying needs: then it does not come to its end."""
OLD_S = 1_700_000_000
"""When the frames were last changed: they have stood still."""


def make_shoot_with_disk(root: Path) -> None:
    make_small_shoot(root, FRAMES)
    for number, frame in enumerate(sorted((root / "frames").iterdir())):
        os.utime(frame, (OLD_S + number, OLD_S + number))
    (root.parent / DISK).mkdir()
    name_folders(root, {"second_disk": f"../{DISK}"})
    # the copy that is tried stands in another folder than this one
    put_at_home(root)


def make_shoot_with_card(root: Path) -> None:
    make_shoot_with_disk(root)
    for number in range(ON_CARD):
        path = root.parent / CARD / "DCIM" / f"{100 + number % 2}PLATE" / f"P {number // 2}.jpg"
        path.parent.mkdir(parents=True, exist_ok=True)
        # the last one is a frame that is there already
        Image.fromarray(picture(50 + number)).save(path, quality=80)
        if number == ON_CARD - 1:
            path.write_bytes((root / "frames" / "IMG 0.jpg").read_bytes())
        os.utime(path, (OLD_S + 60 + number, OLD_S + 60 + number))
    name_folders(root, {"memory_card": f"../{CARD}"})
    put_at_home(root)


def put_at_home(root: Path) -> None:
    """The two folders named from the shoot on, so that they go where it goes."""
    path = root / "shoot.toml"
    path.write_text(path.read_text(encoding="utf-8").replace(f"{root.parent}/", "../"), encoding="utf-8")


def copy_to_the_end(root: Path) -> None:
    """All looks of the copying, on a clock of its own, until nothing is left to do."""
    for _ in looks(root):
        pass


def looks(root: Path, until: Callable[[], bool] = lambda: True) -> Iterator[None]:
    """One look of the copying after the other, until nothing is left and `until` is true."""
    # this process is about to end; the folder counts as one of another disk
    vars(second_disk)["apart"] = lambda _one, _other: "apart"
    clock = [0.0]
    run = SafeRun(open_shoot(root), lambda: clock[0])
    for _ in range(LOOKS):
        busy = run.look()
        clock[0] += 1.5
        yield
        if not busy and run.idle.is_set() and until():
            run.stop()
            return
    raise SystemExit(f"the copying does not come to its end: {safe_now(root)}")


def never_half_copied(root: Path) -> list[str]:
    """What is wrong on the disks, or with what was said of them, wherever the copying ended."""
    bag, own, wrong = root.parent / DISK / f"{root.name}-originals", _contents(root / "frames"), list[str]()
    on_card = _contents(root.parent / CARD)
    kept = _contents(bag / "data")
    whole = set(own.values()) | set(on_card.values())
    wrong += [f"{name} on the second disk is half a file" for name, sha in kept.items() if sha not in whole]
    wrong += [f"the list says another thing of {name}" for name, sha in _listed(bag) if kept.get(name) != sha]
    now = safe_now(root)
    if now is not None and now.state == "ok":
        there = sum(sha in kept.values() for sha in own.values())
        if now.on_two > there:
            wrong.append(f"{now.on_two} are said to be on two disks, {there} are")
        if (
            now.card
            and now.card.may_be_cleared
            and not set(on_card.values()) <= {*own.values()} & {*kept.values()}
        ):
            wrong.append("the card may be cleared, it is said, and not all of it is on two disks")
    return wrong


def all_on_two_disks(root: Path) -> list[str]:
    """What is wrong once the copying came to its end."""
    own, wrong = _contents(root / "frames"), never_half_copied(root)
    bag = root.parent / DISK / f"{root.name}-originals"
    wrong += [f"{fault}" for fault in check_bag(bag).faults]
    kept = _contents(bag / "data")
    if sorted(own.values()) != sorted(kept.values()):
        wrong.append(f"{len(own)} originals, {len(kept)} copies")
    now = safe_now(root)
    if now is None or not now.all_on_two:
        wrong.append(f"it is not said to be on two disks: {now}")
    wrong += [f"left behind: {p.name}" for p in (root.parent / DISK).rglob(".*")]
    return wrong


def card_is_in(root: Path) -> list[str]:
    """What is wrong once the card was taken in: each picture once, and the card as it was."""
    own, on_card = list(_contents(root / "frames").values()), _contents(root.parent / CARD)
    made = _contents(root.parent.parent / "made" / CARD)
    wrong = [] if on_card == made else ["the card was changed"]
    wrong += [
        f"{name} is there {own.count(sha)} times" for name, sha in on_card.items() if own.count(sha) != 1
    ]
    now = safe_now(root)
    if now is None or now.card is None or not now.card.may_be_cleared:
        wrong.append(f"the card may not be cleared: {now and now.card}")
    return wrong + all_on_two_disks(root)


def _contents(folder: Path) -> dict[str, str]:
    """Name -> SHA-512 of every file under a name (RFC 8493: data/ holds nothing else)."""
    found = sorted(p for p in folder.rglob("*") if p.is_file() and not p.name.startswith("."))
    return {
        f"data/{p.relative_to(folder).as_posix()}": hashlib.sha512(p.read_bytes()).hexdigest() for p in found
    }


def _listed(bag: Path) -> Iterator[tuple[str, str]]:
    """Name and checksum of each whole line; the last may be torn."""
    path = bag / "manifest-sha512.txt"
    text = path.read_text(encoding="utf-8") if path.exists() else ""
    for line in text.splitlines(keepends=True):
        if line.endswith("\n"):
            sha, _, name = line.rstrip("\n").partition("  ")
            yield name, sha
