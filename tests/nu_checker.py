"""Check HTML pages with the Nu HTML checker: all in one run of Java, five seconds in all instead of five for each.

    python tests/nu_checker.py page.html other.html

The checker (npm package vnu-jar, MIT) is got once with `npm pack` into .tools/, which git ignores.
"""

import json
import shutil
import subprocess
import sys
import tarfile
import tempfile
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
TOOLS = ROOT / ".tools"
PACKAGE = "vnu-jar@26.9.27"


class NoCheckerError(Exception):
    """The checker cannot be run here; the message says why."""


@dataclass(frozen=True)
class Complaint:
    """One thing the checker says."""

    page: str
    kind: str
    line: int
    words: str

    def __str__(self) -> str:
        return f"{self.page}:{self.line}: {self.kind}: {self.words}"


def checker_jar() -> Path:
    """Where vnu.jar is, got from the npm registry the first time. Raises NoCheckerError with the reason."""
    if shutil.which("java") is None:
        raise NoCheckerError("Java is not installed (Debian: default-jre-headless)")
    jar = TOOLS / f"{PACKAGE.replace('@', '-')}.jar"
    if jar.is_file():
        return jar
    if shutil.which("npm") is None:
        raise NoCheckerError("npm is not installed, and the checker is not in .tools yet")
    TOOLS.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory(dir=TOOLS) as folder:
        command = ["npm", "pack", "--silent", "--pack-destination", folder, PACKAGE]
        got = subprocess.run(command, cwd=folder, capture_output=True, text=True)
        packed = sorted(Path(folder).glob("*.tgz"))
        if got.returncode != 0 or not packed:
            raise NoCheckerError(f"npm pack {PACKAGE} failed: {got.stderr.strip()[:200]}")
        with tarfile.open(packed[0]) as archive:
            member = next(m for m in archive.getmembers() if m.name.endswith("vnu.jar"))
            source = archive.extractfile(member)
            if source is None:
                raise NoCheckerError(f"{PACKAGE} holds no vnu.jar")
            part = Path(folder) / "vnu.jar"
            part.write_bytes(source.read())
        part.replace(jar)
    return jar


def complaints(pages: list[Path]) -> list[Complaint]:
    """Everything the checker says of the pages: errors and warnings, in one run. Raises NoCheckerError."""
    command = [
        "java",
        "-Xss2m",
        # one short run: compiling it well would take longer than it does
        "-XX:TieredStopAtLevel=1",
        "-XX:+UseSerialGC",
        "-jar",
        str(checker_jar()),
        "--format",
        "json",
        "--stdout",
        "--exit-zero-always",
    ]
    ran = subprocess.run([*command, *map(str, pages)], capture_output=True, text=True)
    try:
        messages = json.loads(ran.stdout)["messages"]
    except (ValueError, KeyError) as error:
        raise NoCheckerError(
            f"the checker gave no answer: {(ran.stderr or ran.stdout).strip()[:300]}"
        ) from error
    return [
        Complaint(
            page=str(m.get("url", "")).rsplit("/", 1)[-1],
            kind=str(m.get("subType") or m.get("type", "")),
            line=int(m.get("lastLine", 0)),
            words=str(m.get("message", "")),
        )
        for m in messages
    ]


def main() -> int:
    found = complaints([Path(a) for a in sys.argv[1:]])
    for complaint in found:
        print(complaint)
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
