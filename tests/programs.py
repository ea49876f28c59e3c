"""The programs that the tests drive, and Debian's packages of them. Read before all else: needs nothing but Python."""

from collections.abc import Callable
from dataclasses import dataclass

BROWSERS = ("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome")
"""First Chromium without windows: the same engine, and a quarter of a second of processor less for every page."""


@dataclass(frozen=True)
class Wanted:
    """One of `programs`, out of the first of `packages` that the system knows."""

    programs: tuple[str, ...]
    packages: tuple[str, ...]


WANTED = (
    Wanted(BROWSERS, ("chromium-headless-shell", "chromium")),
    Wanted(("exiftool",), ("libimage-exiftool-perl",)),
    Wanted(("java",), ("default-jre-headless",)),
    Wanted(("pdftoppm",), ("poppler-utils",)),
    Wanted(("npm",), ("npm",)),
    Wanted(("openssl",), ("openssl",)),
)


def missing_packages(there: Callable[[str], object], known: Callable[[str], bool]) -> list[str]:
    """Packages to ask for.

    there  whether a program is on the machine
    known  whether the system has a package of that name; where it has none, the last is asked for
    """
    missing = [one.packages for one in WANTED if not any(there(program) for program in one.programs)]
    return [next((name for name in names[:-1] if known(name)), names[-1]) for names in missing]
