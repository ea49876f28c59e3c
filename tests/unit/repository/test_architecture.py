"""The drawing of the house is true to the code: its floors are the contract's, and what it names is there."""

import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[3]
PACKAGE = ROOT / "src" / "plateside"
TEXT = (ROOT / "docs" / "architecture.md").read_text(encoding="utf-8")
CONTRACTS = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["importlinter"][
    "contracts"
]


def test_the_floors_drawn_are_those_that_are_held() -> None:
    (layers,) = (c["layers"] for c in CONTRACTS if c["type"] == "layers")
    drawing = TEXT.split("```text\n")[1].split("```")[0]
    names = "|".join(p.name for p in PACKAGE.iterdir() if p.is_dir())
    floor = re.compile(rf"  ((?:{names})(?: \| (?:{names}))*)(?:   .*)?")
    assert [found[1] for line in drawing.splitlines() if (found := floor.fullmatch(line))] == layers


def test_the_rooms_drawn_are_those_of_tasks() -> None:
    (line,) = (line for line in TEXT.splitlines() if line.startswith("   |   studio"))
    rooms = {p.parent.name for p in (PACKAGE / "tasks").glob("*/__init__.py")}
    assert set(line.split()[1:]) == rooms


@pytest.mark.parametrize("path", sorted(set(re.findall(r"`([a-z_/]+(?:\.py|\.js|/))`", TEXT)) - {"frames/"}))
def test_every_module_that_is_named_is_there(path: str) -> None:
    at = PACKAGE / ("web" if path.startswith("static/") else "") / path
    assert at.is_dir() if path.endswith("/") else at.is_file()
