"""The two pages by which one comes in get every script that theirs import, and no other."""

import re
from pathlib import Path

import pytest

import plateside.web
from plateside.web.guard.guard import FOR_STRANGERS, FOR_THE_DESK

STATIC = Path(plateside.web.__file__).parent / "static"
AT_ONCE = {"/static/js/core/early.js"}
"""Every page's own, loaded before its modules."""


def imported(script: Path) -> set[Path]:
    """A script and all that it imports, and that these do."""
    found, todo = {script}, [script]
    while todo:
        one = todo.pop()
        named = re.findall(r'^(?:import|export)\b[^;"]*"(\.[^"]+)"', one.read_text("utf-8"), re.MULTILINE)
        new = {(one.parent / name).resolve() for name in named} - found
        found |= new
        todo += new
    return found


@pytest.mark.parametrize(
    ("script", "allowed"), [("js/tablet/pair.js", FOR_STRANGERS), ("js/start/desk.js", FOR_THE_DESK)]
)
def test_every_script_of_the_page_may_be_fetched(script: str, allowed: frozenset[str]) -> None:
    wanted = {f"/static/{path.relative_to(STATIC).as_posix()}" for path in imported(STATIC / script)}
    assert wanted | AT_ONCE == {address for address in allowed if address.endswith(".js")}
