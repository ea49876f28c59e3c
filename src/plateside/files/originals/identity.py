"""Who an original is: the hash of its content, whatever its name."""

import hashlib
from collections.abc import Iterator
from pathlib import Path

from plateside.files.originals.unreadable import unread

_CHUNK = 1 << 20


def content_hash(path: Path, first: int | None = None) -> str:
    """BLAKE2b-128 (RFC 7693, 16 bytes) of the file's content, as 32 hex digits.

    first   only of so many bytes from its beginning

    Raises CouldNotError when the file cannot be read.
    """
    digest = _digest()
    for chunk in _chunks(path, first):
        digest.update(chunk)
    return digest.hexdigest()


def hash_and_content(path: Path) -> tuple[str, bytes]:
    """`content_hash` of all of it, and what was hashed. Raises CouldNotError when the file cannot be read."""
    try:
        content = path.read_bytes()
    except OSError as error:
        raise unread(path.name, error) from error
    digest = _digest()
    digest.update(content)
    return digest.hexdigest(), content


def has_content(path: Path, content: bytes) -> bool:
    """Whether the file still holds exactly this: a third of the time of hashing it again.

    Raises CouldNotError when the file cannot be read.
    """
    at = 0
    for chunk in _chunks(path, None):
        if content[at : at + len(chunk)] != chunk:
            return False
        at += len(chunk)
    return at == len(content)


def _digest() -> "hashlib.blake2b":
    return hashlib.blake2b(digest_size=16)


def _chunks(path: Path, first: int | None) -> Iterator[bytes]:
    try:
        with path.open("rb") as file:
            left = first if first is not None else -1
            while chunk := file.read(_CHUNK if left < 0 else min(_CHUNK, left)):
                yield chunk
                left -= len(chunk) if left > 0 else 0
    except OSError as error:
        raise unread(path.name, error) from error
