"""Every refusal has a sentence, which names only what the refusal gives."""

import ast
import string
from datetime import UTC, datetime
from pathlib import Path

import pytest

from plateside.model.errors import CouldNotError, RefusedError
from plateside.words.refused import REFUSED, plain, said

PACKAGE = Path(__file__).parents[3] / "src" / "plateside"


def _raised() -> list[tuple[str, frozenset[str]]]:
    """The code of each refusal, with the names of its facts."""
    found = []
    for path in sorted(PACKAGE.glob("**/*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Call)
                and isinstance(node.func, ast.Name)
                and node.func.id in ("RefusedError", "MissingExtraError")
            ):
                code = ast.literal_eval(node.args[0])
                found.append((code, frozenset(str(word.arg) for word in node.keywords)))
    return found


def _gaps(sentence: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(sentence) if name}


def test_every_refusal_has_its_sentence() -> None:
    raised = _raised()
    assert {code for code, _ in raised} == set(REFUSED)
    for code, facts in raised:
        assert _gaps(REFUSED[code]) <= facts, code


@pytest.mark.parametrize(
    ("error", "names"),
    [
        (RefusedError("no such board", name="silver", known=["white", "black"]), ("'silver'", "'white', 'black'")),
        (RefusedError("no such board", name="silver", known=[]), ("'silver'", "none")),
        (RefusedError("value missing", line=12, what="DNI", mark=9999.0), ("12", "DNI", "9999")),
        (RefusedError("sun was down", when=datetime(2027, 7, 15, 3, 5, tzinfo=UTC), elevation_deg=-12.34),
         ("2027-07-15 03:05", "-12.3")),
    ],
)  # fmt: skip
def test_a_refusal_is_said_with_its_figures(error: RefusedError, names: tuple[str, ...]) -> None:
    for name in names:
        assert name in said(error)
    assert said(error) == plain(error) != str(error)
    assert said(error)[0].isupper()
    assert said(error).endswith(".")


def test_any_other_error_says_its_own_words_and_a_page_leaves_the_terminals_out() -> None:
    error = CouldNotError("The disk is full.", "Run this: df")
    assert (said(error), plain(error)) == ("The disk is full. Run this: df", "The disk is full.")
