"""What the pages' JavaScript knows of the server's answers is what the dataclasses say; its checkers are pinned."""

import json
import re
import subprocess
import sys
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from tests.synthetic.page_types import OUT, roots, typed, written

ROOT = Path(__file__).parents[3]


@dataclass(frozen=True)
class Plate:
    name: str
    boxes: tuple[tuple[float, float], ...]
    day: date | None


def test_the_types_of_the_pages_are_those_of_the_facts() -> None:
    assert OUT.read_text(encoding="utf-8") == written(roots()), "run: python -m scripts.page_types"


def test_a_dataclass_as_typescript_has_it() -> None:
    text = written([Plate])
    assert (
        "export interface Plate {\n  name: string;\n  boxes: [number, number][];\n  day: string | null;\n}"
        in text
    )
    assert typed(dict[str, list[int | str]]) == "Record<string, (number | string)[]>"


def test_every_type_that_the_pages_name_is_sent() -> None:
    known = set(re.findall(r"export interface (\w+)", OUT.read_text(encoding="utf-8")))
    pages = ROOT / "src" / "plateside" / "web" / "static" / "js"
    named: set[str] = set()
    for path in pages.rglob("*.js"):
        for names in re.findall(
            r"@import \{([^}]*)\} from \"\.\./core/facts\"", path.read_text(encoding="utf-8")
        ):
            named.update(name.strip() for name in names.split(","))
    assert len(named) > 10
    assert named <= known


def test_checkers_are_pinned_and_listed_without_addresses() -> None:
    package = (ROOT / "package.json").read_text(encoding="utf-8")
    wanted = json.loads(package)["devDependencies"]
    assert all(re.fullmatch(r"\d+\.\d+\.\d+", version) for version in wanted.values())
    assert "://" not in package
    page = (ROOT / "docs" / "decisions" / "0010-dependencies.md").read_text(encoding="utf-8").lower()
    assert all(name in page for name in wanted)
    assert not (ROOT / "package-lock.json").exists()


def test_without_node_the_check_of_the_pages_is_left_out_and_said() -> None:
    run = subprocess.run(
        [sys.executable, "scripts/run_tests.py", "--pages"], cwd=ROOT, env={"PATH": ""}, capture_output=True, text=True,
    )  # fmt: skip
    assert run.returncode == 0
    assert "Node is missing" in run.stdout
