"""Who an original is: the hash of its content, whatever its name."""

import hashlib
from pathlib import Path

from plateside.files.originals.unreadable import unread

_CHUNK = 1 << 20


def content_hash(path: Path, first: int | None = None) -> str:
    """BLAKE2b-128 (RFC 7693, 16 bytes) of the file's content, as 32 hex digits.

    first   only of so many bytes from its beginning

    Raises CouldNotError when the file cannot be read.
    """
    digest = hashlib.blake2b(digest_size=16)
    try:
        with path.open("rb") as file:
            left = first if first is not None else -1
            while chunk := file.read(_CHUNK if left < 0 else min(_CHUNK, left)):
                digest.update(chunk)
                left -= len(chunk) if left > 0 else 0
    except OSError as error:
        raise unread(path.name, error) from error
    return digest.hexdigest()
