"""What tests share stands in modules of its own: no test imports another one, a bench or a script."""

import ast
from pathlib import Path

import pytest

TESTS = Path(__file__).parents[2]


def imported(path: Path) -> list[str]:
    """Every module that a file imports, and every name that it takes from one, in full."""
    out: list[str] = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            out += [name.name for name in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module:
            out += [node.module, *(f"{node.module}.{name.name}" for name in node.names)]
    return out


def forbidden(module: str) -> bool:
    parts = module.split(".")
    in_test = parts[0] == "tests" and any(part.startswith("test_") for part in parts[1:])
    return parts[0] in ("bench", "scripts") or in_test


def test_no_test_imports_another_a_bench_or_a_script() -> None:
    files = sorted(TESTS.rglob("*.py"))
    assert len(files) > 200
    wrong = [
        (path.relative_to(TESTS).as_posix(), m) for path in files for m in imported(path) if forbidden(m)
    ]
    assert wrong == []


@pytest.mark.parametrize(
    ("module", "is_wrong"),
    [("bench.frames", True), ("scripts.sky_words", True), ("tests.web.test_guard", True),
     ("tests.web.tablets", False), ("plateside.demo.run", False), ("tests.synthetic.scenes", False)],
)  # fmt: skip
def test_the_rule_tells_one_from_the_other(module: str, is_wrong: bool) -> None:
    assert forbidden(module) is is_wrong
