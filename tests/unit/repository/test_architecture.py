"""The drawing of the house is true to the code: its floors are the contract's, and what it names is there."""

import ast
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
    (layers,) = (c["layers"] for c in CONTRACTS if c.get("containers") == ["plateside"])
    drawing = TEXT.split("```text\n")[1].split("```")[0]
    names = "|".join(p.name for p in PACKAGE.iterdir() if p.is_dir())
    floor = re.compile(rf"  ((?:{names})(?: \| (?:{names}))*)(?:   .*)?")
    assert [found[1] for line in drawing.splitlines() if (found := floor.fullmatch(line))] == layers


def test_the_rooms_drawn_are_those_of_tasks() -> None:
    (line,) = (line for line in TEXT.splitlines() if line.startswith("   |   studio"))
    rooms = {p.parent.name for p in (PACKAGE / "tasks").glob("*/__init__.py")}
    assert set(line.split()[1:]) == rooms


def test_the_order_of_the_rooms_drawn_is_the_one_that_is_held() -> None:
    (layers,) = (c["layers"] for c in CONTRACTS if c.get("containers") == ["plateside.tasks"])
    (order,) = re.findall(r"`((?:[a-z]+ -> )+[a-z]+)`", TEXT)
    assert order.split(" -> ") == [layer.split(" ")[0] for layer in layers[:-1]]


def test_no_more_imports_go_from_room_to_room_than_are_drawn() -> None:
    arrows = [
        (path, node.module)
        for path in (PACKAGE / "tasks").glob("*/*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.ImportFrom)
        and (found := re.fullmatch(r"plateside\.tasks\.(\w+)\.\w+", node.module or ""))
        and found[1] != path.parent.name
    ]
    (most,) = re.findall(r"At most (\d+) imports go from room to room", TEXT)
    assert len(arrows) <= int(most), arrows


@pytest.mark.parametrize("path", sorted(set(re.findall(r"`([a-z_/]+(?:\.py|\.js|/))`", TEXT)) - {"frames/"}))
def test_every_module_that_is_named_is_there(path: str) -> None:
    at = PACKAGE / ("web" if path.startswith("static/") else "") / path
    assert at.is_dir() if path.endswith("/") else at.is_file()
