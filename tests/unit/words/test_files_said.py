"""What is said of files: every code that is asked for has its sentence, and every gap of a sentence is filled."""

import ast
import string
from collections.abc import Iterator, Mapping
from importlib import import_module
from pathlib import Path

from plateside.model.mistakes import Mistake
from plateside.words.figures import filled, number_text
from plateside.words.mistakes import SAID, _words_of

SRC = Path(__file__).parents[3] / "src" / "plateside"
TABLES = ("plateside.words.frame_files", "plateside.words.journal")


def gaps(sentence: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(sentence) if name}


def calls() -> Iterator[tuple[str, Mapping[str, str], str, set[str]]]:
    """(where, the table, the code, the facts given) of each said("code", fact=...) in files/."""
    for path in sorted((SRC / "files").rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        names = {
            alias.asname or alias.name: import_module(str(node.module)).SAID
            for node in ast.walk(tree)
            if isinstance(node, ast.ImportFrom) and node.module in TABLES
            for alias in node.names
            if alias.name == "said"
        }
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in names:
                code = node.args[0]
                if isinstance(code, ast.Constant):
                    facts = {k.arg for k in node.keywords if k.arg}
                    yield f"{path.name}:{node.lineno}", names[node.func.id], str(code.value), facts


def test_every_sentence_that_is_asked_for_is_there_and_whole() -> None:
    found = list(calls())
    assert len(found) > 40
    for where, table, code, facts in found:
        assert code in table, (where, code)
        assert gaps(table[code]) <= facts, (where, gaps(table[code]) - facts)


def facts_given() -> set[str]:
    """Names of the facts that some module of settings or of the studio's tasks gives to a mistake."""
    given: set[str] = set()
    for folder in ("files/settings", "tasks/studio"):
        for path in sorted((SRC / folder).glob("*.py")):
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.Dict):
                    given |= {
                        k.value for k in node.keys if isinstance(k, ast.Constant) and isinstance(k.value, str)
                    }
                elif isinstance(node, ast.Call):
                    given |= {k.arg for k in node.keywords if k.arg}
    return given


def test_a_mistakes_sentence_asks_only_for_what_a_mistake_can_have() -> None:
    given = facts_given()
    for code, sentence in SAID.items():
        every = set(_words_of(Mistake(code, facts={"shots": ["a"]}), False))
        assert gaps(sentence) <= given | every, code


def test_gaps_are_filled_as_you_would_type() -> None:
    facts = {"size": 1234567, "length": 1.5, "names": ["a", "b", "c"]}
    assert filled("{size:,} bytes, {length} m, {names} and not {names:or}", facts) == (
        "1,234,567 bytes, 1.5 m, a, b and c and not a, b or c"
    )
    # laws: nothing of a number is lost, and none has an exponent that nobody types
    for value in (4.2, 100.0, 0.00025, 1 / 3, 123456.789, -0.5):
        assert float(number_text(value)) == value
        assert "e" not in number_text(value)
