"""The entry in the system's menu, in each system's standard form.

Desktop Entry Specification 1.5 (freedesktop.org): which characters Exec reserves, how they are quoted, that the escapes
of a string come first; Icon Theme Specification: where an icon of hicolor lies. Apple, Bundle Programming Guide: what a
bundle holds. All from memory. Nothing was ever tried on macOS or Windows.
"""

import io
import os
import plistlib
import re
import shlex
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from xml.etree import ElementTree

import pytest
from PIL import Image

from plateside.files.menu_entry import desktop_entry, entry_path, icon_bytes, take_entry, write_entry
from plateside.model.errors import CouldNotError

COMMAND = [sys.executable, "-m", "plateside", "open"]
HARD = ['/opt/50% mine/py$thon `x` \\ "q"', "-m", "a b", "open"]


def rows(text: str) -> dict[str, str]:
    head, *lines = text.splitlines()
    assert head == "[Desktop Entry]"
    return dict(line.split("=", 1) for line in lines)


def unescaped(value: str) -> str:
    """A string's escapes: \\s \\n \\t \\r and the backslash itself."""
    return re.sub(r"\\(.)", lambda f: {"s": " ", "n": "\n", "t": "\t", "r": "\r"}.get(f[1], f[1]), value)


def arguments(exec_value: str) -> list[str]:
    """What a launcher runs: the string's escapes, then the quoting, then field codes."""
    out = []
    for quoted, plain in re.findall(r'"((?:[^"\\]|\\.)*)"|([^\s"]+)', unescaped(exec_value)):
        argument = re.sub(r'\\(["`$\\])', r"\1", quoted) if quoted else plain
        out.append(argument.replace("%%", "%"))
    return out


@pytest.fixture
def homes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    monkeypatch.setenv("APPDATA", str(tmp_path / "roaming"))
    monkeypatch.setenv("LOCALAPPDATA", str(tmp_path / "local"))
    return tmp_path


@pytest.mark.parametrize("command", [COMMAND, HARD, ["/a/b", "", "x"]])
def test_linux_an_entry_whose_command_comes_back_as_it_was(command: list[str]) -> None:
    found = rows(desktop_entry(command))
    assert (found["Type"], found["Terminal"]) == ("Application", "false")
    assert found["Name"] and found["Icon"] == "plateside"
    # a line each, whatever a path holds
    assert arguments(found["Exec"]) == [a for a in command if a] or arguments(found["Exec"]) == command


def test_linux_it_is_written_with_an_icon_and_taken_away(homes: Path) -> None:
    path = write_entry(COMMAND, "linux")
    assert path == homes / "data/applications/plateside.desktop" == entry_path("linux")
    icon = homes / "data/icons/hicolor/scalable/apps/plateside.svg"
    assert ElementTree.parse(icon).getroot().tag == "{http://www.w3.org/2000/svg}svg"  # noqa: S314 - our own file
    write_entry(COMMAND, "linux")
    assert take_entry("linux") is True
    assert not path.exists() and not icon.exists()
    assert take_entry("linux") is False


def test_linux_a_relative_data_home_is_ignored(homes: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", "data")
    assert entry_path("linux") == homes / "home/.local/share/applications/plateside.desktop"


def test_macos_a_bundle(homes: Path) -> None:
    path = write_entry(HARD, "darwin")
    assert path == homes / "home/Applications/Plateside.app"
    facts = plistlib.loads((path / "Contents/Info.plist").read_bytes())
    assert facts["CFBundlePackageType"] == "APPL"
    script = path / "Contents/MacOS" / facts["CFBundleExecutable"]
    assert os.access(script, os.X_OK)
    first, run = script.read_text().splitlines()
    assert first == "#!/bin/sh"
    assert shlex.split(run)[: len(HARD)] == HARD
    # it goes on by itself, and the app ends: the next press starts the command again
    assert run.endswith("&")
    assert (path / "Contents/Resources" / facts["CFBundleIconFile"]).read_bytes()[:4] == b"icns"
    assert take_entry("darwin") is True
    assert not path.exists()


def test_windows_a_shortcut_whose_paths_are_no_commands(homes: Path) -> None:
    ran: list[tuple[list[str], dict[str, str]]] = []

    def run(command: Sequence[str], given: Mapping[str, str]) -> None:
        ran.append((list(command), dict(given)))

    path = write_entry(["C:\\my $(calc) py\\python.exe", "-m", "plateside", "open"], "win32", run)
    [(command, given)] = ran
    assert (
        path.name == "Plateside.lnk"
        and path.parent.parts[-3:] == ("Microsoft", "Windows", "Start Menu", "Programs")[-3:]
    )
    assert "calc" not in " ".join(command)
    assert given["PLATESIDE_LINK"] == str(path)
    assert given["PLATESIDE_ARGUMENTS"] == "-m plateside open"
    assert Path(given["PLATESIDE_ICON"]).read_bytes()[:4] == b"\0\0\1\0"


def test_the_icons_are_pictures_of_their_kind() -> None:
    for kind in ("ICNS", "ICO"):
        with Image.open(io.BytesIO(icon_bytes(kind))) as image:
            assert image.format == kind
            assert image.size[0] >= 128


def test_a_place_that_cannot_be_written_is_a_sentence(homes: Path) -> None:
    (homes / "data").write_text("a file where a folder should be")
    with pytest.raises(CouldNotError):
        write_entry(COMMAND, "linux")
