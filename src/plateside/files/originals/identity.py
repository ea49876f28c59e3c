"""Who an original is: the hash of its content, whatever its name."""

import hashlib
from pathlib import Path

from plateside.model.errors import CouldNotError

_CHUNK = 1 << 20


def content_hash(path: Path) -> str:
    """BLAKE2b-128 (RFC 7693, 16 bytes) of the file's content, as 32 hex digits.

    Raises CouldNotError when the file cannot be read.
    """
    digest = hashlib.blake2b(digest_size=16)
    try:
        with path.open("rb") as file:
            while chunk := file.read(_CHUNK):
                digest.update(chunk)
    except OSError as error:
        raise CouldNotError(
            f"{path.name} cannot be read ({error.strerror or error}); check the file's permissions and the card."
        ) from error
    return digest.hexdigest()
