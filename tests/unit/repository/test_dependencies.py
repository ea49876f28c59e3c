"""Every package that an install brings is read and listed in docs/decisions/0010, with its licence."""

import importlib.metadata as metadata
import re
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parents[3]
EXTRAS = ("picture", "demo", "cluster", "lens")


def installed_with(name: str, extras: tuple[str, ...], found: set[str]) -> set[str]:
    """Names of all distributions that `name` needs here, itself included."""
    found.add(canonicalize_name(name))
    for text in metadata.distribution(name).requires or []:
        need = Requirement(text)
        wanted = need.marker is None or any(need.marker.evaluate({"extra": e}) for e in ("", *extras))
        if wanted and canonicalize_name(need.name) not in found:
            installed_with(need.name, tuple(need.extras), found)
    return found


def test_every_package_is_listed_with_its_licence() -> None:
    page = (ROOT / "docs/decisions/0010-dependencies.md").read_text(encoding="utf-8")
    words = {canonicalize_name(w) for w in re.findall(r"[A-Za-z0-9_.-]+", page)}
    packages = installed_with("plateside", EXTRAS, set()) - {"plateside"}
    assert len(packages) > 20
    assert packages - words == set()


def test_no_package_says_gpl() -> None:
    for name in installed_with("plateside", EXTRAS, set()):
        meta = metadata.distribution(name).metadata
        said = [*(meta.get_all("License-Expression") or []), *(meta.get_all("Classifier") or [])]
        gpl = [s for s in said if re.search(r"(?<![LA])GPL|GNU General Public", s)]
        assert gpl == [], name


def test_constraints_pin_exact_versions_without_addresses() -> None:
    lines = (ROOT / "constraints.txt").read_text(encoding="utf-8").splitlines()
    assert all(re.fullmatch(r"[A-Za-z0-9_.-]+==[A-Za-z0-9_.+-]+", line) for line in lines)
    pinned = {canonicalize_name(line.split("==")[0]) for line in lines}
    assert installed_with("plateside", (*EXTRAS, "test"), set()) - {"plateside"} <= pinned
