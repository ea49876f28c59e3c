"""A test's coroutine runs by tests/web/loops.py: after a page's test another loop runs in the thread that all share."""

import ast
from pathlib import Path

TESTS = Path(__file__).parents[2]
LOOPS = TESTS / "web" / "loops.py"


def _runs(path: Path) -> list[str]:
    text = path.read_text(encoding="utf-8")
    if "asyncio" not in text:
        return []
    tree = ast.parse(text)
    calls = [node.func for node in ast.walk(tree) if isinstance(node, ast.Call)]
    return [
        f"{path.relative_to(TESTS)}:{call.lineno}" for call in calls if ast.unparse(call) == "asyncio.run"
    ]


def test_no_test_runs_a_loop_in_the_thread_of_the_pages() -> None:
    found = [place for path in sorted(TESTS.rglob("*.py")) if path != LOOPS for place in _runs(path)]
    assert found == []
