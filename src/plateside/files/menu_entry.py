"""The entry by which Plateside is opened from the system's own menu, in each system's standard form.

Linux    $XDG_DATA_HOME/applications/plateside.desktop and its icon in icons/hicolor: freedesktop.org's Desktop Entry
         Specification 1.5, Icon Theme Specification 0.13, XDG Base Directory Specification 0.8
macOS    ~/Applications/Plateside.app: Contents/Info.plist, a script in Contents/MacOS, an icon in Contents/Resources
         (Apple, Bundle Programming Guide)
Windows  Plateside.lnk in the account's own Start menu, made by WScript.Shell (Microsoft, Windows Script Host)

    entry_path    where it is, or would be
    write_entry   write it (again)
    take_entry    take it away
"""

import contextlib
import io
import os
import plistlib
import re
import shlex
import shutil
import subprocess
import sys
from collections.abc import Callable, Mapping, Sequence
from importlib import resources
from pathlib import Path

from plateside.files.atomic import disk_faults_in_words, write_bytes, write_text
from plateside.model.errors import CouldNotError
from plateside.words import menu as words

ICON = "plateside"
_ID = "plateside.studio"
_ALONE = " >/dev/null 2>&1 &"
"""In a shell: goes on by itself, and says nothing."""
Run = Callable[[Sequence[str], Mapping[str, str]], None]


def entry_path(system: str = sys.platform) -> Path:
    """The file (macOS: the bundle) that is the entry; it need not be there."""
    if system == "win32":
        programs = Path(os.environ.get("APPDATA") or Path.home() / "AppData" / "Roaming")
        return programs / "Microsoft" / "Windows" / "Start Menu" / "Programs" / "Plateside.lnk"
    if system == "darwin":
        return Path.home() / "Applications" / "Plateside.app"
    return _data_home() / "applications" / "plateside.desktop"


def write_entry(command: Sequence[str], system: str = sys.platform, run: Run | None = None) -> Path:
    """Write the entry that starts `command`; where it is. Raises CouldNotError with the mend."""
    path = entry_path(system)
    with disk_faults_in_words(path):
        path.parent.mkdir(parents=True, exist_ok=True)
        if system == "win32":
            _shortcut(path, command, run or _run)
        elif system == "darwin":
            _bundle(path, command)
        else:
            icon = _icon_path()
            icon.parent.mkdir(parents=True, exist_ok=True)
            write_text(icon, _drawn())
            write_text(path, desktop_entry(command))
    return path


def take_entry(system: str = sys.platform) -> bool:
    """Take the entry away; whether there was one. Raises CouldNotError with the mend."""
    path = entry_path(system)
    there = path.exists()
    with disk_faults_in_words(path):
        if system == "darwin":
            if there:
                shutil.rmtree(path)
        else:
            path.unlink(missing_ok=True)
            if system != "win32":
                _icon_path().unlink(missing_ok=True)
    return there


def desktop_entry(command: Sequence[str]) -> str:
    """The text of the Linux entry."""
    rows = {
        "Type": "Application", "Version": "1.5", "Name": "Plateside", "Comment": words.ABOUT,
        "Exec": " ".join(_exec_argument(a) for a in command), "Icon": ICON, "Terminal": "false",
        "Categories": "Graphics;Photography;", "StartupNotify": "false",
    }  # fmt: skip
    return "[Desktop Entry]\n" + "".join(f"{key}={_value(text)}\n" for key, text in rows.items())


def _exec_argument(argument: str) -> str:
    """One argument of Exec: quoted where a reserved character stands in it; a per cent sign is doubled."""
    doubled = argument.replace("%", "%%")
    if argument and not re.search(r"[\s\"'\\><~|&;$*?#()`]", argument):
        return doubled
    return '"' + re.sub(r'(["`$\\])', r"\\\1", doubled) + '"'


def _value(text: str) -> str:
    """A value of the type string: escapes come before the quoting of Exec is read."""
    return text.replace("\\", "\\\\").replace("\n", "\\n").replace("\t", "\\t").replace("\r", "\\r")


def _bundle(path: Path, command: Sequence[str]) -> None:
    contents = path / "Contents"
    for name in ("MacOS", "Resources"):
        (contents / name).mkdir(parents=True, exist_ok=True)
    facts = {
        "CFBundleName": "Plateside", "CFBundleIdentifier": _ID, "CFBundleExecutable": "plateside",
        "CFBundlePackageType": "APPL", "CFBundleInfoDictionaryVersion": "6.0", "CFBundleIconFile": "plateside.icns",
        "CFBundleShortVersionString": "1.0", "LSUIElement": True,
    }  # fmt: skip
    write_bytes(contents / "Info.plist", plistlib.dumps(facts))
    write_bytes(contents / "Resources" / "plateside.icns", icon_bytes("ICNS"))
    script = contents / "MacOS" / "plateside"
    # the app itself ends at once: a second press would only bring a running one to the front (from memory)
    lines = ("#!/bin/sh", shlex.join([*command]) + _ALONE)
    write_text(script, "".join(f"{line}\n" for line in lines))
    script.chmod(0o755)


def _shortcut(path: Path, command: Sequence[str], run: Run) -> None:
    folder = Path(os.environ.get("LOCALAPPDATA") or path.parent) / "Plateside"
    folder.mkdir(parents=True, exist_ok=True)
    icon = folder / "plateside.ico"
    write_bytes(icon, icon_bytes("ICO"))
    # a program without a console window, where Python came with one
    program = Path(command[0])
    windowless = program.with_name("pythonw.exe")
    given = {
        "PLATESIDE_LINK": str(path),
        "PLATESIDE_PROGRAM": str(windowless if windowless.exists() else program),
        "PLATESIDE_ARGUMENTS": subprocess.list2cmdline(list(command[1:])),
        "PLATESIDE_ICON": str(icon),
        "PLATESIDE_ABOUT": words.ABOUT,
    }
    run(["powershell", "-NoProfile", "-NonInteractive", "-Command", _shortcut_script()], given)


def _shortcut_script() -> str:
    """What is put in comes by the environment: no path is read as a command."""
    return (resources.files("plateside") / "files" / "menu" / "shortcut.ps1").read_text(encoding="utf-8")


def _run(command: Sequence[str], given: Mapping[str, str]) -> None:
    try:
        subprocess.run(command, env={**os.environ, **given}, check=True, capture_output=True, timeout=60)
    except (OSError, subprocess.SubprocessError) as error:
        raise CouldNotError(words.no_shortcut(error)) from error


def _data_home() -> Path:
    given = os.environ.get("XDG_DATA_HOME", "")
    # the specification: a relative path there is to be ignored
    return Path(given) if Path(given).is_absolute() else Path.home() / ".local" / "share"


def _icon_path() -> Path:
    return _data_home() / "icons" / "hicolor" / "scalable" / "apps" / f"{ICON}.svg"


def _drawn() -> str:
    """Our own plate, as the pages' tabs have it."""
    return (resources.files("plateside") / "web" / "static" / "plate.svg").read_text(encoding="utf-8")


def icon_bytes(kind: str) -> bytes:
    """The same plate as ICNS or ICO."""
    from PIL import Image, ImageDraw

    size = 512
    image = Image.new("RGBA", (size, size), (0, 0, 0, 0))
    pen, unit = ImageDraw.Draw(image), size / 32
    pen.rounded_rectangle((0, 0, size - 1, size - 1), 7 * unit, fill=(0xFA, 0xF7, 0xF2, 255))
    for radius in (11, 6):
        edge = [
            (16 - radius - 1) * unit,
            (16 - radius - 1) * unit,
            (16 + radius + 1) * unit,
            (16 + radius + 1) * unit,
        ]
        pen.ellipse(edge, outline=(0x2F, 0x6F, 0x63, 255), width=round(2 * unit))
    out = io.BytesIO()
    with contextlib.closing(image):
        image.save(
            out, kind, **({"sizes": [(256, 256), (64, 64), (32, 32), (16, 16)]} if kind == "ICO" else {})
        )
    return out.getvalue()
