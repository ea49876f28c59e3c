"""The second disk's folder and the memory card's: named, looked at first, and written into shoot.toml.

Light to import: the server's own process does it.
"""

import contextlib
import os
import shutil
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from plateside.files.folder import SHOOT_FILE, find_shoot, shoot_folder
from plateside.files.second.second_disk import (
    forget_mark,
    is_same_folder_tree,
    lies_within,
    named_place,
)
from plateside.files.settings.load import load_shoot
from plateside.files.settings.write import Change, Put
from plateside.model.errors import CouldNotError, InputError, PlatesideError
from plateside.tasks.studio.edit import change_settings, version_of
from plateside.words.set import safe as words

FIELDS = ("second_disk", "memory_card")
_XDG = "xdg-open"
"""Opens a folder in a window of the system where it is neither macOS nor Windows (freedesktop.org, xdg-utils)."""
REFUSES_WITHIN_S = 3.0
"""A program that cannot open it says so within this."""
_MEDIA = ("/Volumes", "/media/*", "/run/media/*", "/mnt")
MOST_OFFERED = 20
_EXAMPLES: Mapping[str, tuple[str, str]] = {
    "darwin": ("/Volumes/BACKUP", "/Volumes/CARD"),
    "win32": ("E:\\", "F:\\"),
}
_EXAMPLES_ELSEWHERE = ("/media/you/BACKUP", "/media/you/CARD")


@dataclass(frozen=True)
class FoldersNamed:
    """What was written into shoot.toml."""

    said: tuple[str, ...]
    version: str = ""
    """of shoot.toml, as it is now"""

    def lines(self) -> list[str]:
        return list(self.said)


@dataclass(frozen=True)
class Offered:
    """Disks and cards that are plugged in."""

    disks: tuple[str, ...]
    cards: tuple[str, ...]
    """those with a camera's folder DCIM"""


def name_folders(root: Path, named: Mapping[str, str]) -> FoldersNamed:
    """Name one or both folders; an empty one is no longer used.

    named  of FIELDS
    Raises InputError for a folder that is not there or cannot serve, SettingsError and CouldNotError for shoot.toml.
    """
    root = find_shoot(root)
    frames_dir = shoot_folder(root, load_shoot(root / SHOOT_FILE)).frames_dir
    said, changes = [], list[Change]()
    for field in FIELDS:
        if field not in named:
            continue
        text = named[field].strip()
        code = field.replace("_", " ")
        if text:
            text = str(_checked(root, frames_dir, field, text))
        said.append(words.SAVED[code if text else f"no {code}"].format(folder=text))
        changes.append(Put((field,), text or None))
        if field == "second_disk":
            forget_mark(root)
    version = change_settings(root, "shoot", changes, version_of(root / SHOOT_FILE)).version
    return FoldersNamed(tuple(said), version)


def _checked(root: Path, frames_dir: Path, field: str, text: str) -> Path:
    if not text.isprintable():
        raise InputError(words.NO_FOLDER.format(path=ascii(text)))
    place = named_place(root, text)
    try:
        there, is_folder = place.exists(), place.is_dir()
    except (OSError, ValueError):
        there = is_folder = False
    if not is_folder:
        raise InputError((words.NOT_A_FOLDER if there else words.NO_FOLDER).format(path=place))
    around = field == "memory_card" and is_same_folder_tree(place, root, frames_dir)
    if around or lies_within(place, root) or lies_within(place, frames_dir):
        raise InputError(words.INSIDE.format(path=place))
    return place


def named_folders(root: Path) -> Mapping[str, str]:
    """Each of FIELDS with the folder that shoot.toml names; empty: none, or a file that cannot be read."""
    try:
        shoot = load_shoot(root / SHOOT_FILE)
    except PlatesideError:
        return dict.fromkeys(FIELDS, "")
    return {field: getattr(shoot, field) for field in FIELDS}


def folder_examples() -> Mapping[str, str]:
    """Each of FIELDS with a folder as this system writes one."""
    return dict(zip(FIELDS, _EXAMPLES.get(sys.platform, _EXAMPLES_ELSEWHERE), strict=True))


def offered() -> Offered:
    """Disks and memory cards where systems put them; none is opened further."""
    if sys.platform == "win32":
        found = [
            Path(f"{letter}:\\") for letter in "DEFGHIJKLMNOPQRSTUVWXYZ" if Path(f"{letter}:\\").is_dir()
        ]
    else:
        found = [place for media in _MEDIA for place in _within(media)]
    cards = [place for place in found if any((place / name).is_dir() for name in ("DCIM", "dcim"))]
    return Offered(
        tuple(str(p) for p in found if p not in cards)[:MOST_OFFERED], tuple(map(str, cards))[:MOST_OFFERED]
    )


def _within(media: str) -> list[Path]:
    above = Path(media.removesuffix("/*"))
    try:
        parents = [p for p in above.iterdir() if p.is_dir()] if media.endswith("/*") else [above]
        return sorted(p for parent in parents for p in parent.iterdir() if os.path.ismount(p))
    except OSError:
        return []


def open_frames_folder(root: Path) -> str:
    """Open the frames folder in a window of this system; a sentence. Raises CouldNotError when there is no way."""
    folder = shoot_folder(root, load_shoot(root / SHOOT_FILE)).frames_dir
    if not folder.is_dir():
        raise CouldNotError(words.NO_FRAMES_FOLDER.format(path=folder))
    program = _opener()
    if program is None:
        raise CouldNotError(words.NO_OPENER.format(program=_XDG, path=folder))
    try:
        # a fixed program with one argument, no shell between; it goes on by itself
        opened = subprocess.Popen(
            [program, str(folder)],
            stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True,
        )  # fmt: skip
        with contextlib.suppress(subprocess.TimeoutExpired):  # it shows the folder itself, and stays
            code = opened.wait(REFUSES_WITHIN_S)
            # the one of Windows ends with 1 when all is well
            if code and sys.platform != "win32":
                reason = words.REFUSED_BY.format(program=Path(program).name, code=code)
                raise CouldNotError(words.NOT_OPENED.format(reason=reason, path=folder))
    except OSError as error:
        raise CouldNotError(words.NOT_OPENED.format(reason=error.strerror or error, path=folder)) from error
    return words.OPENED.format(path=folder)


def _opener() -> str | None:
    """The whole path of the program: what lies in a folder of yours must not be run in its place."""
    if sys.platform == "win32":
        return str(Path(os.environ.get("SYSTEMROOT", r"C:\Windows")) / "explorer.exe")
    return "/usr/bin/open" if sys.platform == "darwin" else shutil.which(_XDG)
