"""The list of a delivery, manifest.json, as far as who checks or packs it needs it: which files, and their hashes."""

import re
from dataclasses import dataclass

from plateside.files.folder import can_lie_in

_SHA256 = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True)
class ManifestEntry:
    """One file of a delivery."""

    file: str
    """Its name within the delivery, with forward slashes."""
    sha256: str
    channel: str
    """Empty for a document."""


def listed_in(manifest: object) -> tuple[ManifestEntry, ...]:
    """Pictures first, then documents, of the list's JSON. Raises ValueError for what is no such list."""
    found = []
    for group in ("pictures", "documents"):
        rows = manifest.get(group) if isinstance(manifest, dict) else None
        if not isinstance(rows, list):
            raise ValueError(f"it has no {group}")
        found += [_listed(row, group == "pictures") for row in rows]
    return tuple(found)


def _listed(row: object, has_channel: bool) -> ManifestEntry:
    if not isinstance(row, dict):
        raise ValueError("not an object")
    file, sha256, channel = row.get("file"), row.get("sha256"), row.get("channel") if has_channel else ""
    if not isinstance(file, str) or not can_lie_in(file):
        raise ValueError("wrong name")
    if not isinstance(sha256, str) or not _SHA256.fullmatch(sha256):
        raise ValueError(f"{file} has no SHA-256")
    if not isinstance(channel, str):
        raise ValueError(f"{file} has no channel")
    return ManifestEntry(file, sha256, channel)
