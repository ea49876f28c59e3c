"""Names that every system can keep, for files that go from one machine to another.

What Windows refuses: control characters and < > : " | ? * \\, names of devices, a dot or space at the end (Microsoft,
"Naming Files, Paths, and Namespaces"). What is no Unicode text cannot be written into a list. Names that differ only in
capitals, or in how an accent is put together (Unicode Annex 15), are one name on many disks.
"""

import re
import unicodedata
from collections.abc import Iterable

from plateside.model.errors import InputError
from plateside.words.deliver.refusals import no_path

LONGEST_BYTES = 255
"""of one name; what the common file systems take"""
_REFUSED = re.compile(r'[\x00-\x1f\x7f<>:"|?*\\\ud800-\udfff]')
_DEVICES = re.compile(r"(con|prn|aux|nul|conin\$|conout\$|(com|lpt)[0-9\u00b9\u00b2\u00b3])\s*(\.|$)", re.I)


def safe_names(paths: Iterable[str]) -> dict[str, str]:
    """Each path (forward slashes, within some folder) -> the path to write it under; most stay as they are.

    No two become one, and a folder keeps its files together. Raises InputError for a path that leads out of the folder.
    """
    given = list(dict.fromkeys(paths))
    parts = {path: _parts(path) for path in given}
    safe: dict[tuple[str, ...], str] = {}
    used: dict[str, set[str]] = {}
    # what can stay as it is comes first, so that it keeps its name
    for path in sorted(given, key=lambda p: (any(_safe(part) != part for part in parts[p]), p)):
        within = ""
        for depth in range(1, len(parts[path]) + 1):
            here = parts[path][:depth]
            if here not in safe:
                name = _free(_safe(here[-1], top=depth == 1), used.setdefault(within, set()))
                safe[here] = f"{within}/{name}" if within else name
            within = safe[here]
    return {path: safe[parts[path]] for path in given}


def _parts(path: str) -> tuple[str, ...]:
    parts = tuple(path.split("/"))
    if any(part in ("", ".", "..") for part in parts):
        raise InputError(no_path(path))
    return parts


def _safe(name: str, top: bool = False) -> str:
    name = _REFUSED.sub("_", name)
    if name[-1] in ". ":
        name = name[:-1] + "_"
    if top and name.startswith("~"):  # some programs take it for the home folder
        name = "_" + name[1:]
    if found := _DEVICES.match(name):
        name = f"{name[: found.end(1)]}_{name[found.end(1) :]}"
    return name


def _free(name: str, used: set[str]) -> str:
    """The name, or the next with a number that no other of the folder is taken for."""
    stem, dot, ending = name.rpartition(".")
    if not stem:
        stem, dot, ending = name, "", ""
    candidate, number = name, 1
    while (key := unicodedata.normalize("NFC", unicodedata.normalize("NFC", candidate).casefold())) in used:
        number += 1
        cut = stem
        while len(f"{cut}-{number}{dot}{ending}".encode()) > LONGEST_BYTES and cut:
            cut = cut[:-1]
        candidate = f"{cut}-{number}{dot}{ending}"
    used.add(key)
    return candidate
