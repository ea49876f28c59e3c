"""Compiled kernels go when the source of any has changed.

numba keeps what it compiled beside the source and looks only at the file of the function itself: a kernel that calls a
changed one of another file would go on with the old one, and the light would be wrong without a word. So one mark is
kept of all that may hold or feed a kernel, and with another mark everything compiled is thrown away.
"""

import contextlib
import hashlib
import os
import secrets
from pathlib import Path

FOLDERS = ("finish", "frames", "ground", "light", "picture")
"""Where kernels are, and what they take constants from."""


def throw_away(package: Path) -> None:
    """Throw away what was compiled from other sources than those of `package` now.

    Where that folder cannot be written to, numba keeps what it compiles in the account's own cache: there each mark has
    a folder of its own.
    """
    mark = mark_of(package)
    mark_file = package / "__pycache__" / "kernels.mark"
    with contextlib.suppress(OSError):
        if mark_file.read_text(encoding="ascii") == mark:
            return
    try:
        for compiled in package.rglob("*.nb[ic]"):
            compiled.unlink(missing_ok=True)
        mark_file.parent.mkdir(exist_ok=True)
        new = mark_file.with_name(f"kernels.{secrets.token_hex(4)}")
        new.write_text(mark, encoding="ascii")
        new.replace(mark_file)
    except OSError:
        caches = os.environ.get("XDG_CACHE_HOME") or str(Path.home() / ".cache")
        os.environ.setdefault("NUMBA_CACHE_DIR", str(Path(caches) / "plateside" / f"kernels-{mark[:16]}"))


def mark_of(package: Path) -> str:
    """Of all sources that may hold or feed a kernel."""
    digest = hashlib.blake2b(digest_size=16)
    for folder in FOLDERS:
        for path in sorted((package / folder).rglob("*.py")):
            digest.update(path.read_bytes())
    return digest.hexdigest()
