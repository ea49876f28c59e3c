"""Packages that can be checked: folders after the BagIt File Packaging Format, version 1.0 (RFC 8493).

bagit.txt               version and encoding of the tag files
bag-info.txt            what it is, from whom, when, how many bytes and files
manifest-sha512.txt     checksum and path of every file under data/
tagmanifest-sha512.txt  the same for the files named above
data/                   the files themselves
"""

import hashlib
import shutil
import tempfile
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from plateside.files.atomic import disk_faults_told
from plateside.model.errors import CouldNotError, InputError
from plateside.model.progress import Progress, silent

ALGORITHM = "sha512"
KNOWN = ("sha512", "sha256", "sha1", "md5")
"""What can be checked, the strongest first; new bags get the first."""
_DECLARATION = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
_CHUNK = 1 << 20


@dataclass(frozen=True)
class Bag:
    """A package written."""

    path: Path
    files: int
    bytes: int


@dataclass(frozen=True)
class BagCheck:
    """What checking a package found. No faults: complete and valid in the standard's sense."""

    path: Path
    files: int
    bytes: int
    algorithms: tuple[str, ...]
    faults: tuple[str, ...]


def write_bag(
    target: Path, payload: Mapping[str, Path], info: Mapping[str, str], progress: Progress = silent
) -> Bag:
    """Copy files into a new bag at `target`, whole or not at all; an earlier bag there is replaced.

    payload  path within data/ (forward slashes) -> file to copy
    info     lines of bag-info.txt; Payload-Oxum is added
    Each copy is read back and compared before the bag takes its place. Raises InputError when `target` is something
    else than a bag, CouldNotError when the disk refuses or a copy differs, Cancelled.
    """
    if target.exists() and not (target / "bagit.txt").is_file():
        raise InputError(f"{target} exists and is no package: choose another place with --to.")
    for name in payload:
        _checked_path(name)
    with disk_faults_told(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        building = Path(tempfile.mkdtemp(prefix=".plateside-", dir=target.parent))
        try:
            total = _fill(building, payload, info, progress)
            building.chmod(0o755)
            _put_in_place(building, target)
        except BaseException:
            shutil.rmtree(building, ignore_errors=True)
            raise
    return Bag(target, len(payload), total)


def _fill(building: Path, payload: Mapping[str, Path], info: Mapping[str, str], progress: Progress) -> int:
    sums: dict[str, str] = {}
    total, steps = 0, 2 * len(payload)
    (building / "data").mkdir()
    for done, (name, source) in enumerate(payload.items()):
        progress(done, steps)
        copy = building / "data" / name
        copy.parent.mkdir(parents=True, exist_ok=True)
        digest = hashlib.new(ALGORITHM)
        with source.open("rb") as read, copy.open("wb") as write:
            while chunk := read.read(_CHUNK):
                digest.update(chunk)
                write.write(chunk)
                total += len(chunk)
        shutil.copystat(source, copy)
        sums[f"data/{name}"] = digest.hexdigest()
    for done, name in enumerate(payload):
        progress(len(payload) + done, steps)
        if _sum(building / "data" / name, ALGORITHM) != sums[f"data/{name}"]:
            raise CouldNotError(
                f"The copy of {name} differs from the original: check that disk, then pack again."
            )
    tags = {
        "bagit.txt": _DECLARATION,
        "bag-info.txt": "".join(
            f"{k}: {_one_line(v)}\n"
            for k, v in {**info, "Payload-Oxum": f"{total}.{len(payload)}"}.items()
            if v
        ),
        f"manifest-{ALGORITHM}.txt": _manifest(sums),
    }
    for name, text in tags.items():
        (building / name).write_bytes(text.encode())
    tag_sums = {name: _sum(building / name, ALGORITHM) for name in tags}
    (building / f"tagmanifest-{ALGORITHM}.txt").write_bytes(_manifest(tag_sums).encode())
    progress(steps, steps)
    return total


def _put_in_place(building: Path, target: Path) -> None:
    if not target.exists():
        building.replace(target)
        return
    aside = Path(tempfile.mkdtemp(prefix=".plateside-", dir=target.parent))
    target.replace(aside / "old")
    try:
        building.replace(target)
    except BaseException:
        (aside / "old").replace(target)
        raise
    finally:
        shutil.rmtree(aside, ignore_errors=True)


def check_bag(path: Path, progress: Progress = silent) -> BagCheck:
    """Read every file again and compare. Raises InputError when `path` is no bag at all."""
    if not (path / "bagit.txt").is_file():
        raise InputError(f"{path} is no package: it has no bagit.txt.")
    faults: list[str] = []
    declared = (path / "bagit.txt").read_text(encoding="utf-8-sig", errors="replace")
    if not declared.startswith("BagIt-Version:"):
        faults.append("bagit.txt does not begin with BagIt-Version.")
    if (path / "fetch.txt").is_file():
        faults.append("fetch.txt names files that are elsewhere: they are not checked.")
    there = _payload(path)
    manifests = [a for a in KNOWN if (path / f"manifest-{a}.txt").is_file()]
    if not manifests:
        faults.append(f"There is no manifest that can be read ({', '.join(KNOWN)}).")
    total = sum(p.stat().st_size for p in there.values())
    for algorithm in manifests:
        listed = _read_manifest(path / f"manifest-{algorithm}.txt", faults)
        for name in sorted(there.keys() - {_normal(n) for n in listed}):
            faults.append(f"{name} is not in manifest-{algorithm}.txt: it came later.")
        _compare(path, listed, algorithm, faults, progress)
    for algorithm in KNOWN:
        tag_file = path / f"tagmanifest-{algorithm}.txt"
        if tag_file.is_file():
            _compare(path, _read_manifest(tag_file, faults), algorithm, faults, silent)
    faults += _oxum(path, total, len(there))
    return BagCheck(path, len(there), total, tuple(manifests), tuple(dict.fromkeys(faults)))


def _compare(
    path: Path, listed: dict[str, str], algorithm: str, faults: list[str], progress: Progress
) -> None:
    for done, (name, wanted) in enumerate(listed.items()):
        progress(done, len(listed))
        file = _find(path, name)
        if file is None:
            faults.append(f"{name} is missing.")
        elif _sum(file, algorithm) != wanted.lower():
            faults.append(f"{name} has changed since it was packed.")
    progress(len(listed), len(listed))


def _payload(path: Path) -> dict[str, Path]:
    return {
        _normal(p.relative_to(path).as_posix()): p for p in sorted((path / "data").rglob("*")) if p.is_file()
    }


def _find(path: Path, name: str) -> Path | None:
    """The file of that name; some disks keep letters with accents in two parts, so both forms are tried."""
    for form in (name, unicodedata.normalize("NFC", name), unicodedata.normalize("NFD", name)):
        if (path / form).is_file():
            return path / form
    return None


def _normal(name: str) -> str:
    return unicodedata.normalize("NFC", name)


def _oxum(path: Path, total: int, count: int) -> list[str]:
    info = path / "bag-info.txt"
    if not info.is_file():
        return []
    for line in info.read_text(encoding="utf-8-sig", errors="replace").splitlines():
        name, _, value = line.partition(":")
        if name.strip().lower() == "payload-oxum" and value.strip() != f"{total}.{count}":
            return [
                f"bag-info.txt promises {_promised(value.strip())}, there are {_told(total, count)}: files "
                "are missing, cut short or added."
            ]
    return []


def _promised(value: str) -> str:
    """A Payload-Oxum (RFC 8493, 2.2.2: bytes, a point, files) in words; as it stands when it is none."""
    size, _, files = value.partition(".")
    return _told(int(size), int(files)) if size.isdigit() and files.isdigit() else repr(value)


def _told(size: int, files: int) -> str:
    grouped = f"{size:,}".replace(",", " ")
    return f"{grouped} bytes in {files} file{'s' * (files != 1)}"


def _read_manifest(file: Path, faults: list[str]) -> dict[str, str]:
    listed: dict[str, str] = {}
    for number, line in enumerate(file.read_text(encoding="utf-8-sig", errors="replace").splitlines(), 1):
        if not line.strip():
            continue
        checksum, _, name = line.partition(" ")
        name = _decoded(name.lstrip(" *"))
        name = name.removeprefix("./")
        try:
            _checked_path(name)
        except InputError:
            faults.append(f"{file.name}, line {number}: {name!r} leads out of the package and is not read.")
            continue
        listed[name] = checksum
    return listed


def _manifest(sums: Mapping[str, str]) -> str:
    return "".join(f"{checksum}  {_encoded(name)}\n" for name, checksum in sorted(sums.items()))


def _encoded(name: str) -> str:
    """Line ends and per cent signs are written as RFC 8493, 2.1.3, says."""
    return name.replace("%", "%25").replace("\n", "%0A").replace("\r", "%0D")


def _decoded(name: str) -> str:
    for code, sign in (("%0A", "\n"), ("%0a", "\n"), ("%0D", "\r"), ("%0d", "\r"), ("%25", "%")):
        name = name.replace(code, sign)
    return name


def _checked_path(name: str) -> None:
    parts = PurePosixPath(name).parts
    if not name or name.startswith(("/", "~")) or ".." in parts or "\\" in name or ":" in name.split("/")[0]:
        raise InputError(f"{name!r} is no path within a package.")


def _sum(path: Path, algorithm: str) -> str:
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(
                file, lambda: hashlib.new(algorithm, usedforsecurity=False)
            ).hexdigest()
    except OSError as error:
        raise CouldNotError(f"{path} could not be read: {error.strerror or error}.") from error


def _one_line(text: str) -> str:
    return " ".join(text.split())
