"""No process pays for scipy's packages before it needs them: a worker of the server starts in half the time."""

import ast
from pathlib import Path

PACKAGE = Path(__file__).parents[3] / "src" / "plateside"


def test_scipy_is_imported_where_it_is_used() -> None:
    at_the_top = []
    for path in PACKAGE.rglob("*.py"):
        text = path.read_text(encoding="utf-8")
        if "scipy" not in text:
            continue
        for node in ast.parse(text).body:
            names = (
                [node.module or ""]
                if isinstance(node, ast.ImportFrom)
                else [alias.name for alias in node.names]
                if isinstance(node, ast.Import)
                else []
            )
            at_the_top += [
                f"{path.relative_to(PACKAGE)}: {name}" for name in names if name.split(".")[0] == "scipy"
            ]
    assert at_the_top == []
