"""A printed command, read back by a shell's own rules."""

import re
import shlex
from pathlib import Path

import pytest

from plateside.words.commands import typed

SOURCES = Path(__file__).parents[3] / "src" / "plateside"


@pytest.mark.parametrize(
    "name", ["my-shoot", "Küche Süd/fisch suppe", "a & b", "it's", 'the "big" one', "$5 lunch", "(1)", ""]
)
def test_a_name_is_one_argument_again(name: str) -> None:
    # shlex.split follows the POSIX shell's rules (IEEE Std 1003.1, Shell Command Language, 2.2 Quoting)
    assert shlex.split(f"plateside check {typed(name)}") == ["plateside", "check", name]


def test_a_plain_name_stays_as_it_is() -> None:
    assert typed(Path("demo-out/shoot")) == "demo-out/shoot"
    assert typed(r"C:\shoots\soup") == r"C:\shoots\soup"


def test_no_command_is_printed_with_a_bare_name() -> None:
    bare = []
    for path in sorted(SOURCES.rglob("*.py")):
        commands = re.findall(r"plateside [a-z]+ [^\"]*", path.read_text("utf-8"))
        bare += [
            f"{path.name}: {c}"
            for c in commands
            if re.search(r"\{(?!typed\()[\w.]*(root|folder|path|given|parent|shoot|name)\}", c)
        ]
    assert not bare
