"""Ask pip whether every library that Plateside needs at run time has a wheel for each system, at its pinned version.

    python scripts/check_wheels.py            all systems, Python 3.11 to 3.13; exit status 1 when one is missing

Nothing is installed or kept: pip resolves each package for a system that it does not run on (`--dry-run`, wheels only).
Needs the registry that pip is set up for, and an environment in which Plateside is installed with its extras `picture`,
`demo`, `cluster` and `lens`: their requirements are followed. Run by hand; docs/decisions/0010-dependencies.md has
the result.
"""

import re
import subprocess
import sys
import tempfile
from importlib.metadata import PackageNotFoundError, requires
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parent.parent
EXTRAS = ("picture", "demo", "cluster", "lens")
PYTHONS = ("3.11", "3.12", "3.13")
SYSTEMS = {
    "Windows x86-64": (
        ("win_amd64",),
        {"sys_platform": "win32", "platform_system": "Windows", "platform_machine": "AMD64", "os_name": "nt"},
    ),
    "macOS arm64": (
        tuple(f"macosx_{n}_0_{a}" for n in (14, 13, 12, 11) for a in ("arm64", "universal2")),
        {
            "sys_platform": "darwin", "platform_system": "Darwin", "platform_machine": "arm64",
            "os_name": "posix",
        },
    ),
    "Linux x86-64": (
        (*(f"manylinux_2_{n}_x86_64" for n in (34, 31, 28, 27, 24, 17)), "manylinux2014_x86_64"),
        {
            "sys_platform": "linux", "platform_system": "Linux", "platform_machine": "x86_64",
            "os_name": "posix",
        },
    ),
}  # fmt: skip
"""pip's names of each system's wheels, and what a requirement's marker sees there."""
SOURCE_ONLY = {"pyvips"}
"""Published as source alone, of plain Python that pip builds without a compiler; what it calls is in pyvips-binary."""


def needed(system: dict[str, str], python: str) -> set[str]:
    """Names of all that Plateside requires there, and what these require in turn."""
    there = {**system, "python_version": python, "python_full_version": f"{python}.0"}
    found: set[str] = set()
    waiting = [("plateside", frozenset(EXTRAS))]
    while waiting:
        name, extras = waiting.pop()
        try:
            lines = requires(name) or []
        except PackageNotFoundError:
            continue  # asked for on that system only: itself is checked, what it needs cannot be read here
        for line in lines:
            one = Requirement(line)
            marked = one.marker is None or any(
                one.marker.evaluate({**there, "extra": extra}) for extra in (*extras, "")
            )
            key = canonicalize_name(one.name)
            if marked and key not in found and key != "plateside":
                found.add(key)
                waiting.append((one.name, frozenset(one.extras)))
    return found


def pinned() -> dict[str, str]:
    """Name to `name==version`, of constraints.txt."""
    lines = (ROOT / "constraints.txt").read_text(encoding="utf-8").split()
    return {canonicalize_name(line.partition("==")[0]): line for line in lines if "==" in line}


def without_wheels(wanted: list[str], platforms: tuple[str, ...], python: str) -> list[str]:
    """Those of which pip finds no wheel."""
    left, missing = list(wanted), list[str]()
    with tempfile.TemporaryDirectory() as folder:
        command = [sys.executable, "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
        command += ["--dry-run", "--no-deps", "--only-binary=:all:", "--python-version", python]
        command += ["--target", folder, "--ignore-installed"]
        command += [word for platform in platforms for word in ("--platform", platform)]
        while True:
            done = subprocess.run([*command, *left], capture_output=True, text=True)
            if done.returncode == 0:
                return missing
            named = re.search(r"No matching distribution found for (\S+)", done.stderr)
            if named is None or named.group(1) not in left:
                sys.exit(done.stderr)
            missing.append(named.group(1))
            left.remove(named.group(1))


def main() -> None:
    pins, missing = pinned(), 0
    for system, (platforms, marker) in SYSTEMS.items():
        for python in PYTHONS:
            names = sorted(needed(marker, python))
            wanted = [pins.get(name, name) for name in names]
            without = without_wheels(wanted, platforms, python)
            unpinned = [name for name in names if name not in pins]
            plain = [one for one in without if one.partition("==")[0] in SOURCE_ONLY]
            without = [one for one in without if one not in plain]
            missing += len(without)
            said = f"no wheel of {', '.join(without)}" if without else "all have wheels"
            said += f" but {', '.join(plain)}, which is plain Python" if plain else ""
            if unpinned:
                said += f"; not pinned: {', '.join(unpinned)}"
            print(f"{system}, Python {python}: {len(wanted)} packages, {said}", flush=True)
    sys.exit(1 if missing else 0)


if __name__ == "__main__":
    main()
