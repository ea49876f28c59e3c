"""Reading studio.toml and shoot.toml: text, file, or both files of a shoot's folder."""

import os
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any

from plateside.camera.framing import framed
from plateside.files.folder import SHOOT_FILE, STUDIO_FILE, ShootFolder, find_shoot, shoot_folder
from plateside.files.settings.forms import a_place_on_disk
from plateside.files.settings.guesses import nearest
from plateside.files.settings.lines import pair_line
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
from plateside.model.mistakes import Mistake
from plateside.model.shoot import Shoot
from plateside.model.studio import Studio
from plateside.words import files as said

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


_WITHOUT_NAMES = frozenset({"place", "room", "windows", "diffusers", "furniture", "readings", "fit"})
"""A mistake in one of these leaves every name that a shoot can use as it is."""


def judge_both(root: Path) -> tuple[ShootFolder, ReadFile[Studio], ReadFile[Shoot]]:
    """Both files with their mistakes gathered, not raised; raises only when a file cannot be read at all."""
    text = read_text(root / SHOOT_FILE)
    first = read(text, SHOOT_FILE, Shoot)
    folder = shoot_folder(root, _that_can_be(first.value))
    studio_name = Path(os.path.relpath(folder.studio_file, root.resolve())).as_posix()
    if not folder.studio_file.exists():
        raise_if_any(first.mistakes if first.unjudged else _other_studio(first, folder.studio_file))
    studio = judge_studio(read_text(folder.studio_file), studio_name)
    names_sound = all(m.path and m.path[0] in _WITHOUT_NAMES for m in studio.mistakes)
    known = studio.value if names_sound else None
    return folder, studio, judge_shoot(text, SHOOT_FILE, known, studio_name)


def _that_can_be(shoot: Shoot) -> Shoot:
    """The usual files in the place of ones that no disk can have; those are told with the other mistakes."""
    usual: dict[str, Any] = {f.name: f.default for f in fields(Shoot)}
    wrong = [name for name in ("studio", "frames") if a_place_on_disk(getattr(shoot, name))]
    return replace(shoot, **{name: usual[name] for name in wrong})


def _other_studio(reading: ReadFile[Shoot], path: Path) -> list[Mistake]:
    """The mistake when a studio file is not there, but another of nearly that name is; none when none is."""
    line = reading.positions.line(("studio",))
    there = sorted(p.name for p in path.parent.glob("*.toml") if p.name != SHOOT_FILE) if line else []
    near = nearest(path.name, there)
    if near is None:
        return []
    fix = pair_line("studio", near)
    return [
        Mistake(
            "no studio file", SHOOT_FILE, line, path=("studio",), got=path.name, meant=f'"{near}"', fix=fix
        )
    ]


def judge_studio(text: str, name: str) -> ReadFile[Studio]:
    """A studio with its mistakes gathered, not raised."""
    reading = read(text, name, Studio)
    if not reading.unjudged:
        check_forms(reading)
        check_unique(reading)
        check_room(reading)
        check_studio_names(reading)
    return reading


def judge_shoot(
    text: str, name: str, studio: Studio | None, studio_name: str = STUDIO_FILE
) -> ReadFile[Shoot]:
    """A shoot with its mistakes gathered, not raised; with a studio, the names it uses are looked up."""
    reading = read(text, name, Shoot)
    if not reading.unjudged:
        check_forms(reading)
        check_unique(reading)
        check_shoot_alone(reading)
        if studio is not None:
            check_against_studio(reading, studio, studio_name)
    return reading


def judge_shoot_alone(text: str, name: str) -> ReadFile[Shoot]:
    """A shoot with its mistakes gathered, the names it uses not looked up."""
    return judge_shoot(text, name, None)


def read_text(path: Path) -> str:
    """A settings file's text. Raises InputError when it is not there or not UTF-8, CouldNotError when unreadable."""
    try:
        if path.exists() and not path.is_file():
            raise InputError(said.not_a_settings_file(path))
        if path.exists() and path.stat().st_size > LARGEST_BYTES:
            raise InputError(said.settings_file_too_large(path.name))
        data = path.read_bytes()
    except FileNotFoundError as error:
        raise InputError(said.no_settings_file(path.name, path.parent)) from error
    except OSError as error:
        raise CouldNotError(said.unread(path, error.strerror or str(error))) from error
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise InputError(said.not_utf8(path.name, line)) from error
