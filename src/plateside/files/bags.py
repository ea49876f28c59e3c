"""Packages that can be checked: folders after the BagIt File Packaging Format, version 1.0 (RFC 8493).

bagit.txt               version and encoding of the tag files
bag-info.txt            what it is, from whom, when, how many bytes and files
manifest-sha512.txt     checksum and path of every file under data/
renamed-files.txt       what files were called whose names another system could not keep; only when there are any
tagmanifest-sha512.txt  checksum and path of the files named above
data/                   the files themselves
"""

import hashlib
import io
import os
import re
import shutil
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath
from typing import BinaryIO

from plateside import __version__
from plateside.deliver.facts import FileFault
from plateside.files.atomic import disk_faults_in_words, write_text
from plateside.files.safe_names import safe_names
from plateside.files.working import new_folder, replacing_folder, sweep
from plateside.model.errors import CouldNotError, InputError
from plateside.model.progress import Progress, silent
from plateside.words.deliver import refusals

ALGORITHM = "sha512"
KNOWN = ("sha512", "sha256", "sha1", "md5")
"""What can be checked, the strongest first; new bags get the first."""
_DECLARATION = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
SOFTWARE = "Bag-Software-Agent"
RENAMED = "renamed-files.txt"
"""Tag file that says what the files were called whose names were changed."""
_CHUNK = 1 << 20


@dataclass(frozen=True)
class Bag:
    """A package written."""

    path: Path
    files: int
    bytes: int
    renamed: Mapping[str, str]
    """path within data/ as it was given -> as it is in the bag, where another system could not keep it"""


@dataclass(frozen=True)
class BagCheck:
    """What checking a package found. No faults: complete and valid in the standard's sense."""

    path: Path
    files: int
    bytes: int
    algorithms: tuple[str, ...]
    faults: tuple[FileFault, ...]


def write_bag(
    target: Path, payload: Mapping[str, Path | bytes], info: Mapping[str, str], progress: Progress = silent
) -> Bag:
    """Copy files into a new bag at `target`, whole or not at all; an earlier bag there is replaced.

    payload  path within data/ (forward slashes) -> file to copy, or what is to be written
    info     lines of bag-info.txt; Payload-Oxum and the program are added
    Each copy is read back and compared before the bag takes its place. A name that another system could not keep is
    written as one that it can (`Bag.renamed`). Killed at any step, the next `write_bag` or `bring_back` mends it.
    Raises InputError when `target` is something else than a bag or a name leads out of it, CouldNotError when the disk
    refuses or a copy differs, Cancelled.
    """
    with disk_faults_in_words(target):
        bring_back(target)
        if target.exists() and not (target / "bagit.txt").is_file():
            raise InputError(refusals.not_a_package(target))
        names = safe_names(payload)
        with replacing_folder(target) as building:
            total = _fill(
                building, {names[n]: source for n, source in payload.items()}, info, names, progress
            )
    return Bag(
        target, len(payload), total, {n: written_as for n, written_as in names.items() if n != written_as}
    )


def bring_back(target: Path) -> None:
    """Put the bag at `target` back where a killed run had set it aside, and take that run's leftovers away."""
    sweep(target.parent)


def _fill(
    building: Path,
    payload: Mapping[str, Path | bytes],
    info: Mapping[str, str],
    names: Mapping[str, str],
    progress: Progress,
) -> int:
    sums: dict[str, str] = {}
    total, steps = 0, 2 * len(payload)
    (building / "data").mkdir()
    for done, (name, source) in enumerate(payload.items()):
        progress(done, steps)
        copy = building / "data" / name
        copy.parent.mkdir(parents=True, exist_ok=True)
        digest = hashlib.new(ALGORITHM)
        with _opened(source) as read, copy.open("wb") as write:
            while chunk := read.read(_CHUNK):
                digest.update(chunk)
                write.write(chunk)
                total += len(chunk)
            write.flush()
            os.fsync(write.fileno())
        if isinstance(source, Path):
            shutil.copystat(source, copy)
        sums[f"data/{name}"] = digest.hexdigest()
    for done, name in enumerate(payload):
        progress(len(payload) + done, steps)
        if _sum(building / "data" / name, ALGORITHM) != sums[f"data/{name}"]:
            raise CouldNotError(refusals.copy_differs(name))
    words = {SOFTWARE: f"Plateside {__version__}", **info, "Payload-Oxum": f"{total}.{len(payload)}"}
    tags = {
        "bagit.txt": _DECLARATION,
        "bag-info.txt": _info_text(words),
        f"manifest-{ALGORITHM}.txt": _manifest(sums),
    }
    if renamed := sorted((written_as, name) for name, written_as in names.items() if name != written_as):
        # escaped, for a name may be no text at all
        tags[RENAMED] = "".join(f"data/{written_as} was {name!a}\n" for written_as, name in renamed)
    for name, text in tags.items():
        (building / name).write_bytes(text.encode())
    tag_sums = {name: _sum(building / name, ALGORITHM) for name in tags}
    (building / f"tagmanifest-{ALGORITHM}.txt").write_bytes(_manifest(tag_sums).encode())
    progress(steps, steps)
    return total


def _opened(source: Path | bytes) -> BinaryIO:
    return io.BytesIO(source) if isinstance(source, bytes) else source.open("rb")


def check_bag(path: Path, progress: Progress = silent) -> BagCheck:
    """Read every file again and compare. Raises InputError when `path` is no bag at all."""
    if not (path / "bagit.txt").is_file():
        raise InputError(refusals.no_bag(path))
    faults: list[FileFault] = []
    if not _tag_lines(path / "bagit.txt", faults)[0].startswith("BagIt-Version:"):
        faults.append(FileFault("no version", "bagit.txt"))
    if (path / "fetch.txt").is_file():
        faults.append(FileFault("elsewhere", "fetch.txt"))
    there = [p for p in sorted((path / "data").rglob("*")) if p.is_file()]
    names = {_normal(p.relative_to(path).as_posix()) for p in there}
    manifests = [a for a in KNOWN if (path / f"manifest-{a}.txt").is_file()]
    if not manifests:
        faults.append(FileFault("no manifest", text=", ".join(KNOWN)))
    total = sum(p.stat().st_size for p in there)
    for algorithm in manifests:
        listed = _read_manifest(path / f"manifest-{algorithm}.txt", faults)
        for name in sorted(names - {_normal(n) for n in listed}):
            faults.append(FileFault("added", name, f"manifest-{algorithm}.txt"))
        _compare(path, listed, algorithm, faults, progress)
    for algorithm in KNOWN:
        tag_file = path / f"tagmanifest-{algorithm}.txt"
        if tag_file.is_file():
            _compare(path, _read_manifest(tag_file, faults), algorithm, faults, silent)
    info = _info(path, faults)
    faults += _oxum(info, total, len(there))
    if info.get(SOFTWARE.lower(), "").startswith("Plateside "):
        faults += _own_tags(path)
    # a name that is no text has to be printable all the same
    printable = (replace(f, name=f.name.encode("utf-8", "backslashreplace").decode()) for f in faults)
    return BagCheck(path, len(there), total, tuple(manifests), tuple(dict.fromkeys(printable)))


def _own_tags(path: Path) -> list[FileFault]:
    """What is not as it was written here, to the byte: the standard lets more pass, and its last list has no sum."""
    last = f"tagmanifest-{ALGORITHM}.txt"
    tags = ["bagit.txt", "bag-info.txt", f"manifest-{ALGORITHM}.txt"]
    tags += [RENAMED] if (path / RENAMED).is_file() else []
    faults = [
        FileFault("added", p.name, last)
        for p in sorted(path.iterdir())
        if p.name not in (*tags, last, "data") and not p.name.startswith(".")
    ]
    there = {name: _sum(path / name, ALGORITHM) for name in tags if (path / name).is_file()}
    # a folder, a pipe or a link that leads nowhere may stand there
    if not (path / last).is_file():
        return [*faults, FileFault("missing", last)]
    try:
        as_written = (path / last).read_bytes() == _manifest(there).encode()
    except OSError as error:
        return [*faults, FileFault("unread", last, text=error.strerror or str(error))]
    return faults if as_written else [*faults, FileFault("changed", last, "packed")]


def _compare(
    path: Path, listed: dict[str, str], algorithm: str, faults: list[FileFault], progress: Progress
) -> None:
    for done, (name, wanted) in enumerate(listed.items()):
        progress(done, len(listed))
        file = _find(path, name)
        if file is None:
            faults.append(FileFault("missing", name))
        else:
            try:
                same = _digest(file, algorithm) == wanted.lower()
            except OSError as error:
                faults.append(FileFault("unread", name, text=error.strerror or str(error)))
                continue
            if not same:
                faults.append(FileFault("changed", name, "packed"))
    progress(len(listed), len(listed))


def _find(path: Path, name: str) -> Path | None:
    """The file of that name; some disks keep letters with accents in two parts, so both forms are tried."""
    for form in (name, unicodedata.normalize("NFC", name), unicodedata.normalize("NFD", name)):
        if (path / form).is_file():
            return path / form
    return None


def _normal(name: str) -> str:
    return unicodedata.normalize("NFC", name)


def _info(path: Path, faults: list[FileFault]) -> dict[str, str]:
    """The lines of bag-info.txt by their name in small letters; the last of a name counts."""
    if not (path / "bag-info.txt").is_file():
        return {}
    rows = (line.partition(":") for line in _tag_lines(path / "bag-info.txt", faults))
    return {name.strip().lower(): value.strip() for name, _, value in rows}


def _oxum(info: Mapping[str, str], total: int, count: int) -> list[FileFault]:
    value = info.get("payload-oxum", f"{total}.{count}")
    if value == f"{total}.{count}":
        return []
    # bytes, a point, files (RFC 8493, 2.2.2)
    size, _, files = value.partition(".")
    asked = (int(size), int(files)) if size.isdecimal() and files.isdecimal() else ()
    return [FileFault("size", "bag-info.txt", text=value, got=(total, count), asked=asked)]


def _tag_lines(file: Path, faults: list[FileFault]) -> list[str]:
    """The lines of a tag file. They end with LF, CR or both (RFC 8493, 2.1.3), and with nothing else: a name may hold
    what other texts call an end of line."""
    try:
        text = file.read_bytes().decode("utf-8-sig", errors="surrogateescape")
    except OSError as error:
        faults.append(FileFault("unread", file.name, text=error.strerror or str(error)))
        text = ""
    return re.split(r"\r\n|\n|\r", text)


def _read_manifest(file: Path, faults: list[FileFault]) -> dict[str, str]:
    listed: dict[str, str] = {}
    for number, line in enumerate(_tag_lines(file, faults), 1):
        if not line.strip():
            continue
        # a sum, spaces or tabs, in some writers' lists an asterisk, and the name as it is to the end of the line
        parts = re.match(r"([0-9A-Fa-f]+)[ \t]+\*?", line)
        name = _decoded(line[parts.end() :]).removeprefix("./") if parts else ""
        if parts is None:
            faults.append(FileFault("line", file.name, line=number, text=line[:60]))
            continue
        try:
            _checked_path(name)
        except InputError:
            faults.append(FileFault("outside", file.name, line=number, text=name))
            continue
        listed[name] = parts[1]
    return listed


def _manifest(sums: Mapping[str, str]) -> str:
    return "".join(manifest_line(name, checksum) for name, checksum in sorted(sums.items()))


def manifest_line(name: str, checksum: str) -> str:
    """A line of a manifest; `name` from the bag's folder on: data/..."""
    return f"{checksum}  {_encoded(name)}\n"


def manifest_of(path: Path) -> dict[str, str]:
    """Name within the bag -> checksum, of the manifest as new bags have it; lines that are none are passed over."""
    file = path / f"manifest-{ALGORITHM}.txt"
    return _read_manifest(file, []) if file.is_file() else {}


def begin_bag(path: Path, info: Mapping[str, str]) -> None:
    """A new bag that grows: its declaration, `info`, and data/ with nothing in it yet; whole, or not there.

    Raises OSError when the folder that it goes into is gone or `path` is there, CouldNotError when the disk refuses a
    file.
    """
    # no folder above is made: where a disk was, none may be made in its place
    with new_folder(path) as building:
        (building / "data").mkdir()
        for name, text in (("bagit.txt", _DECLARATION), ("bag-info.txt", _info_text(info))):
            write_text(building / name, text)


def bag_info(path: Path) -> dict[str, str]:
    """The lines of bag-info.txt by their name in small letters; none when it is not there."""
    return _info(path, [])


def _info_text(info: Mapping[str, str]) -> str:
    return "".join(f"{k}: {_one_line(v)}\n" for k, v in info.items() if v)


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
        raise InputError(refusals.no_path(name))


def _sum(path: Path, algorithm: str) -> str:
    try:
        return _digest(path, algorithm)
    except OSError as error:
        raise CouldNotError(refusals.unread(path, error.strerror or error)) from error


def _digest(path: Path, algorithm: str) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, lambda: hashlib.new(algorithm, usedforsecurity=False)).hexdigest()


def _one_line(text: str) -> str:
    return " ".join(text.split())
