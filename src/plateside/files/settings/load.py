"""Reading studio.toml and shoot.toml: text, file, or both files of a shoot's folder."""

import os
import re
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any

from plateside.camera.framing import framed
from plateside.files.folder import SHOOT_FILE, STUDIO_FILE, ShootFolder, find_shoot, shoot_folder
from plateside.files.settings.forms import a_place_on_disk
from plateside.files.settings.guesses import nearest
from plateside.files.settings.mistakes import raise_if_any
from plateside.files.settings.names_agree import (
    check_against_studio,
    check_forms,
    check_shoot_alone,
    check_studio_names,
    check_unique,
)
from plateside.files.settings.reader import ReadFile, read
from plateside.files.settings.room_fits import check_room
from plateside.model.errors import CouldNotError, InputError
from plateside.model.shoot import Shoot
from plateside.model.studio import Studio
from plateside.words.commands import typed

LARGEST_BYTES = 4 * 1024 * 1024
"""Of a settings file; a large one has some ten kilobytes."""


@dataclass(frozen=True)
class OpenShoot:
    """A shoot whose two files have been read and agree with each other."""

    folder: ShootFolder
    shoot: Shoot
    studio: Studio


def parse_studio(text: str, name: str = "studio.toml") -> Studio:
    """A studio from TOML text; `name` is what mistakes call it. Raises SettingsError with every mistake."""
    reading = judge_studio(text, name)
    raise_if_any(reading.mistakes)
    return reading.value


def parse_shoot(text: str, name: str = "shoot.toml", studio: Studio | None = None) -> Shoot:
    """A shoot from TOML text. With a studio, the names the shoot uses are looked up in it.

    Raises SettingsError with every mistake.
    """
    reading = judge_shoot(text, name, studio)
    raise_if_any(reading.mistakes)
    return reading.value


def load_studio(path: Path) -> Studio:
    """The studio in a file, or in a folder's studio.toml. Raises SettingsError, InputError, CouldNotError."""
    path = path / STUDIO_FILE if path.is_dir() else path
    return parse_studio(read_text(path), path.name)


def load_shoot(path: Path, studio: Studio | None = None) -> Shoot:
    """The shoot in a file, or in a folder's shoot.toml. Raises SettingsError, InputError, CouldNotError."""
    path = path / SHOOT_FILE if path.is_dir() else path
    return parse_shoot(read_text(path), path.name, studio)


def open_shoot(given: Path) -> OpenShoot:
    """Both files of a shoot's folder (or of its shoot.toml), checked against each other.

    Raises SettingsError with the mistakes of both files, InputError when there is no shoot.
    """
    root = find_shoot(given)
    folder, studio, shoot = judge_both(root)
    raise_if_any([*studio.mistakes, *shoot.mistakes])
    wanted = replace(shoot.value, shots=tuple(framed(s) for s in shoot.value.shots))
    return OpenShoot(folder, wanted, studio.value)


# a mistake in one of these leaves every name that a shoot can use as it is
_WITHOUT_NAMES = ("[place]", "[room]", "[[windows]]", "[[diffusers]]", "[[blocks]]", "[[readings]]", "[fit]")


def judge_both(root: Path) -> tuple[ShootFolder, ReadFile[Studio], ReadFile[Shoot]]:
    """Both files with their mistakes gathered, not raised; raises only when a file cannot be read at all."""
    text = read_text(root / SHOOT_FILE)
    folder = shoot_folder(root, _that_can_be(read(text, SHOOT_FILE, Shoot).value))
    studio_name = Path(os.path.relpath(folder.studio_file, root.resolve())).as_posix()
    if not folder.studio_file.exists() and (found := _other_studio(text, folder.studio_file)):
        raise InputError(found)
    studio = judge_studio(read_text(folder.studio_file), studio_name)
    names_sound = all(m.where.startswith(_WITHOUT_NAMES) for m in studio.mistakes)
    known = studio.value if names_sound else None
    return folder, studio, judge_shoot(text, SHOOT_FILE, known, studio_name)


def _that_can_be(shoot: Shoot) -> Shoot:
    """The usual files in the place of ones that no disk can have; those are told with the other mistakes."""
    usual: dict[str, Any] = {f.name: f.default for f in fields(Shoot)}
    wrong = [name for name in ("studio", "frames") if a_place_on_disk(getattr(shoot, name))]
    return replace(shoot, **{name: usual[name] for name in wrong})


def _other_studio(text: str, path: Path) -> str:
    """What to say of a studio file that is not there while another of nearly that name is; nothing when none is."""
    rows = [n for n, line in enumerate(text.splitlines(), 1) if re.match(r"\s*studio\s*=", line)]
    there = sorted(p.name for p in path.parent.glob("*.toml") if p.name != SHOOT_FILE) if rows else []
    near = nearest(path.name, there)
    if near is None:
        return ""
    return f'{SHOOT_FILE}, line {rows[0]}: there is no {path.name}. Did you mean studio = "{near}", which lies there?'


def judge_studio(text: str, name: str) -> ReadFile[Studio]:
    """A studio with its mistakes gathered, not raised."""
    reading = read(text, name, Studio)
    if not reading.other_format:
        check_forms(reading)
        check_unique(reading)
        check_room(reading)
        check_studio_names(reading)
    reading.settle()
    return reading


def judge_shoot(
    text: str, name: str, studio: Studio | None, studio_name: str = STUDIO_FILE
) -> ReadFile[Shoot]:
    """A shoot with its mistakes gathered, not raised; with a studio, the names it uses are looked up."""
    reading = read(text, name, Shoot)
    if not reading.other_format:
        check_forms(reading)
        check_unique(reading)
        check_shoot_alone(reading)
        if studio is not None:
            check_against_studio(reading, studio, studio_name)
    reading.settle()
    return reading


def read_text(path: Path) -> str:
    """A settings file's text. Raises InputError when it is not there or not UTF-8, CouldNotError when unreadable."""
    try:
        if path.exists() and not path.is_file():
            raise InputError(
                f"{path} is not a file: put the settings there as plain text, or name another file."
            )
        if path.exists() and path.stat().st_size > LARGEST_BYTES:
            raise InputError(f"{path.name} is larger than any settings file: put a sound copy in its place.")
        data = path.read_bytes()
    except FileNotFoundError as error:
        raise InputError(
            f"There is no {path.name} in {path.parent}. Write a starter with: plateside new {typed(path.parent)}"
        ) from error
    except OSError as error:
        raise CouldNotError(f"{path} could not be read: {error.strerror or error}.") from error
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise InputError(
            f"{path.name}, line {line}: not UTF-8 text. Save the file as plain text in UTF-8 and try again."
        ) from error
