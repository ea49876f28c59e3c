"""Every command that the guides write is one that the command line takes, and no verb asks for an option it lacks."""

import ast
import importlib
import inspect
import re
import shlex
from pathlib import Path

import pytest

from plateside.cli.main import available, build_parser, main
from plateside.demo.data import copy_demo

ROOT = Path(__file__).parents[3]
GUIDES = [ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md"))]
WRITTEN = re.compile(r"(?:^    |`)(plateside [^`\n#]+)", re.MULTILINE)


def commands() -> list[tuple[str, str]]:
    """(guide, command) as written; a remark behind two and more spaces is none of it."""
    out = []
    for guide in GUIDES:
        for found in WRITTEN.finditer(guide.read_text(encoding="utf-8")):
            line = re.split(r"\s{2,}", found[1].strip())[0]
            # a verb that is only named, and a rule with its options left open, are no commands to run
            if (
                "..." not in line
                and "VERB" not in line
                and (len(line.split()) > 2 or line == "plateside card")
            ):
                out.append((guide.name, line))
    return out


def test_there_are_commands_to_look_at() -> None:
    assert len(commands()) > 50


@pytest.mark.parametrize(("guide", "line"), commands(), ids=lambda v: v)
def test_a_command_of_the_guides_is_taken(guide: str, line: str, capsys: pytest.CaptureFixture[str]) -> None:
    words = shlex.split(line)[1:]
    parser = build_parser(words[0] if words[0] in available() else "")
    try:
        parser.parse_args(words)
    except SystemExit as stop:
        assert stop.code == 0, f"{guide}: {line}: {capsys.readouterr().err}"


@pytest.mark.parametrize("verb", available())
def test_a_verb_asks_only_for_options_that_it_has(verb: str) -> None:
    module = importlib.import_module(f"plateside.cli.verbs.{verb}")
    asked = {
        node.attr
        for node in ast.walk(ast.parse(inspect.getsource(module)))
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id == "args"
    }
    (subparsers,) = (a for a in build_parser(verb)._actions if a.dest == "verb")
    assert isinstance(subparsers.choices, dict)
    known = {a.dest for a in subparsers.choices[verb]._actions} | {"verb", "run"}
    assert asked <= known


def test_a_shot_of_the_set_card_is_asked_for_its_set_up(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    # no such frame and no such shot: a sentence each, not a traceback
    copy_demo(tmp_path / "demo")
    frame = ["--read", str(tmp_path / "none.jpg")]
    told = ["card", str(tmp_path / "demo"), *frame, "--shot", "nowhere"]
    assert main(told) == 2
    assert "nowhere" in capsys.readouterr().err
    assert main([*told[:-1], "three-bowls"]) in (1, 2)
    assert "none.jpg" in capsys.readouterr().err
    assert main(["card", *frame, "--shot", "three-bowls"]) == 2
    # the way it was written before still works
    assert main(["card", *frame, "--shoot", str(tmp_path / "demo"), "--shot", "nowhere"]) == 2
    assert "nowhere" in capsys.readouterr().err
