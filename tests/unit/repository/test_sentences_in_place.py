"""All English that people meet is in `words`, in a template's labels, a page's words.js, or beside its field in model.

Looked for: texts of four words and more, with a space, in the Python (what templates are given comes from there) and in
the JavaScript. Not looked at: docstrings and comments, what only we read (messages of AssertionError, log
lines), SQL, style sheets, headers, patterns.
"""

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

PACKAGE = Path(__file__).parents[3] / "src" / "plateside"

EXCEPTIONS = {
    # file, and why its texts are no sentences to anybody; one line each, 30 at most
    "deliver/words.py": "patterns that find placeholders, and parts of a stand-in alt text, which is delivered",
    "frames/blur_features.py": "names of what is measured at a picture's edges",
    "frames/kinds.py": "the kinds of blur as facts name them, one of four words",
    "plan/cautions.py": "names of plants",
    "files/bags.py": "the declaration that RFC 8493 asks for, to the letter",
    "files/originals/kinds.py": "endings of files",
    "files/settings/allergens.py": "names of foods, looked for in ingredient lists",
    "files/settings/lines.py": "examples of what a photographer writes: a dish's words, a shop's terms",
    "files/settings/plants.py": "names of plants and stuffs, and patterns that find them",
    "files/settings/remarks.py": "a pattern that finds 'picture of' in alt texts",
    "web/guard/tablets_may.py": "routes, and names of fields",
}

_PLACE = ("words/", "model/")
"""And words.js beside a page's other scripts, for the few sentences that a page says by itself."""
_NO_SENTENCE = re.compile(
    r"^\s*(SELECT|INSERT|CREATE|PRAGMA|UPDATE|DELETE|DROP|<|--"
    # style sheets and fonts; and what HTTP's headers say: what a page may load, how long it is kept, of what kind it is
    r"|\.[a-z]+\[|input\[|[.#][a-z][a-z-]*[ .:]|\[data-|@font-face|\(max-width"
    r"|[:a-z@*][^.!?{]*\{\s*[-a-z]+:\s*[#\w][-\w ]{2}"
    r"|sandbox |default-src |private, max-age|[a-z]+/[a-z]+[,;] |[a-z_]+=\S*; path=|.* (sans-)?serif$"
    # attributes of an element, a place on a disk, a program for another process
    r"|[a-z]+=\"|[A-Z]:/|import \w+ as )"
)
_WORD = re.compile(r"[A-Za-z']{2,}")
_JS_TEXT = re.compile(r"\"((?:[^\"\\\n]|\\.)*)\"|'((?:[^'\\\n]|\\.)*)'|`((?:[^`\\]|\\.)*)`")
# names of the style sheet, as make() and draw() get them
_JS_CLASS = re.compile(r"(?<=class: )(\"[^\"\n]*\"|`[^`\n]*`)")
_JS_COMMENT = re.compile(r"(?:^|(?<=\s))//[^\n]*|/\*[\s\S]*?\*/", re.MULTILINE)


def is_sentence(text: str) -> bool:
    return len(_WORD.findall(text)) >= 4 and " " in text.strip() and not _NO_SENTENCE.match(text)


def texts_of_python(source: str) -> Iterator[tuple[int, str]]:
    """Each text with its line; one with gaps counts whole. Not docstrings, nor what an AssertionError would say."""
    tree = ast.parse(source)
    passed: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            passed.add(id(node.value))
        if (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Name)
            and node.func.id == "AssertionError"
        ):
            passed.update(id(each) for each in ast.walk(node))
        if (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Name)
            and node.func.id in ("RefusedError", "MissingExtraError")
        ):
            passed.add(id(node.args[0]))  # a code; its sentence is in words/refused.py
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and _logs(node.func):
            passed.update(id(each) for each in ast.walk(node))
    for node in ast.walk(tree):
        if id(node) in passed:
            continue
        if isinstance(node, ast.JoinedStr):
            passed.update(id(part) for part in node.values)
            yield node.lineno, "".join(p.value if isinstance(p, ast.Constant) else "{}" for p in node.values)  # type: ignore[misc]
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.lineno, node.value


def _logs(function: ast.Attribute) -> bool:
    return isinstance(function.value, ast.Name) and function.value.id == "_log"


def texts_of_javascript(source: str) -> Iterator[tuple[int, str]]:
    plain = _JS_CLASS.sub('""', _JS_COMMENT.sub(lambda m: "\n" * m[0].count("\n"), source))
    for match in _JS_TEXT.finditer(plain):
        text = next(part for part in match.groups() if part is not None)
        yield plain.count("\n", 0, match.start()) + 1, re.sub(r"\$\{[^}]*\}", "{}", text)


@cache
def codes() -> frozenset[str]:
    """What a table of words has a sentence for: facts are passed on by these."""
    found: set[str] = set()
    for path in sorted((PACKAGE / "words").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Dict):
                found.update(
                    k.value for k in node.keys if isinstance(k, ast.Constant) and isinstance(k.value, str)
                )
    return frozenset(found)


@cache
def out_of_place(path: Path) -> list[str]:
    source = path.read_text(encoding="utf-8")
    texts = texts_of_python(source) if path.suffix == ".py" else texts_of_javascript(source)
    name = path.relative_to(PACKAGE).as_posix()
    return [
        f"{name}:{line}: {text[:80]}" for line, text in texts if is_sentence(text) and text not in codes()
    ]


def _is_place(name: str) -> bool:
    return name.startswith(_PLACE) or name.endswith("/words.js")


def files() -> list[Path]:
    return sorted([*PACKAGE.rglob("*.py"), *(PACKAGE / "web" / "static").rglob("*.js")])


def test_no_sentence_stands_outside_words_and_the_models_fields() -> None:
    found: list[str] = []
    for path in files():
        name = path.relative_to(PACKAGE).as_posix()
        if not _is_place(name) and name not in EXCEPTIONS:
            found += out_of_place(path)
    assert found == []


def test_in_the_model_only_fields_and_allowed_words_are_english() -> None:
    """Its texts are arguments of quantity(): the meaning, the label, the words, an example."""
    for path in sorted((PACKAGE / "model").glob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        fields = {
            id(each)
            for node in ast.walk(tree)
            if isinstance(node, ast.Call)
            and isinstance(node.func, ast.Name)
            and node.func.id in ("q", "quantity")
            for each in ast.walk(node)
        }
        outside = [t for t in ast.walk(tree) if isinstance(t, ast.Constant) and id(t) not in fields]
        shown = {text for _, text in texts_of_python(path.read_text(encoding="utf-8"))}
        assert not [
            t.value for t in outside if isinstance(t.value, str) and t.value in shown and is_sentence(t.value)
        ]


def test_every_exception_is_needed() -> None:
    assert len(EXCEPTIONS) <= 30
    assert all(reason for reason in EXCEPTIONS.values())
    for name in EXCEPTIONS:
        assert out_of_place(PACKAGE / name), f"{name} needs no exception any more"


def test_the_scan_sees_what_it_is_for() -> None:
    found = dict(texts_of_python('"""A docstring of this module."""\nx = f"The disk {name} is full."\n'))
    assert found == {2: "The disk {} is full."}
    assert is_sentence(found[2])
    js = dict(texts_of_javascript("// a comment of four words\nsay(`Saved ${n} pictures for you.`);\n"))
    assert js == {2: "Saved {} pictures for you."}
    assert not is_sentence("out of range")
