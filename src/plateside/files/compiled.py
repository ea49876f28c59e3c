"""Whether this account's kernels were all compiled once, so that nobody needs to wait for it.

Only a note: where it is missing or wrong, they are compiled again, or when they are first asked for.
"""

import contextlib
import sys
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from plateside.files.own_place import read_own, write_own
from plateside.model.errors import CouldNotError
from plateside.stale_kernels import mark_of

_NOTE = "kernels.txt"


def all_compiled() -> bool:
    """Whether they were, from the sources that are now here, by the compiler that is now here."""
    return read_own(_NOTE) == _mark()


def note_all_compiled() -> None:
    """Write down that they are; an account that can keep nothing compiles them anew."""
    with contextlib.suppress(CouldNotError):
        write_own(_NOTE, _mark())


def _mark() -> str:
    package = Path(__file__).parent.parent
    try:
        compiler = version("numba")
    except PackageNotFoundError:
        compiler = ""
    return f"{mark_of(package)} numba {compiler} python {sys.version.split()[0]} {package}\n"
