"""A folder that is made once in a run of the tests, whichever worker asks first, and copied for who writes into it."""

import atexit
import hashlib
import os
import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from filelock import FileLock

HOME = "PLATESIDE_TEST_SHOOTS"


def _home() -> Path:
    if HOME not in os.environ:
        # workers, and programs that a test starts, inherit it; who made it takes it away
        os.environ[HOME] = tempfile.mkdtemp(prefix="plateside-shoots-")
        atexit.register(shutil.rmtree, os.environ[HOME], ignore_errors=True)
    return Path(os.environ[HOME])


def made_once(make: Callable[..., Any], *given: Any) -> Path:
    """The folder that make(folder, *given) fills; only to be read. given: what is told apart by its repr."""
    told = repr((make.__module__, make.__qualname__, given))
    place = _home() / hashlib.sha256(told.encode()).hexdigest()[:16]
    with FileLock(f"{place}.lock"):
        if not (place / "made").exists():
            shutil.rmtree(place, ignore_errors=True)
            place.mkdir()
            make(place / "shoot", *given)
            (place / "made").touch()
    return place / "shoot"


def copied(root: Path, make: Callable[..., Any], *given: Any) -> Path:
    """A copy of it at `root`, lock files left behind."""
    shutil.copytree(made_once(make, *given), root, ignore=shutil.ignore_patterns("*.lock"))
    return root


_home()
