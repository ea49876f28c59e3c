"""Arguments to a task, its result to lines or JSON, its errors to one sentence and an exit status."""

import argparse
import importlib
import io
import json
import os
import pkgutil
import sys
from typing import Any

from plateside import __version__
from plateside.cli import verbs
from plateside.cli.answer import Answer
from plateside.cli.progress import whole_lines
from plateside.model.errors import PlatesideError, SettingsError
from plateside.tasks.report import as_json
from plateside.tasks.serve.damage_said import damage_to_say
from plateside.words.commands import JSON_FLAG, PROGRAM, STOPPED, does_not_fit
from plateside.words.refused import said

ORDER = (
    "new", "check", "light", "plan", "setup", "picture", "card", "day", "shot", "watch", "judge", "choose",
    "finish", "deliver", "pack", "verify", "serve", "open", "menu", "demo",
)  # fmt: skip


def available() -> list[str]:
    """The verbs that exist, in the order of the job."""
    found = {m.name for m in pkgutil.iter_modules(verbs.__path__)}
    return [v for v in ORDER if v in found] + sorted(found - set(ORDER))


def build_parser(only: str = "") -> argparse.ArgumentParser:
    """The whole command line; each verb's module brings its own arguments.

    only  the verb that will be run, when it is known: the other modules, and all they lean on, stay unloaded
    """
    parser = argparse.ArgumentParser(
        prog="plateside",
        description=PROGRAM,
    )
    parser.add_argument("--version", action="version", version=f"plateside {__version__}")
    sub = parser.add_subparsers(dest="verb", metavar="VERB", required=True)
    for name in [only] if only else available():
        module = importlib.import_module(f"plateside.cli.verbs.{name}")
        verb = sub.add_parser(name, help=module.HELP, description=module.HELP)
        module.add_arguments(verb)
        verb.add_argument("--json", action="store_true", help=JSON_FLAG)
        verb.set_defaults(run=module.run, refuse=verb.error)
    return parser


def _any_character(as_json_text: bool) -> None:
    """What a terminal cannot show is spelled out, whatever a name holds; JSON is UTF-8 (RFC 8259)."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
            if as_json_text and stream is sys.stdout and stream.encoding.lower() != "utf-8":
                stream.reconfigure(encoding="utf-8", errors="backslashreplace")


def main(argv: list[str] | None = None) -> int:
    """Run one command; return its exit status (0 done, 1 could not be done, 2 bad input, 130 stopped)."""
    try:
        return _run(sys.argv[1:] if argv is None else argv)
    except KeyboardInterrupt:
        # at any moment: what a command leans on takes a second to load, and an answer a while to be written
        print(STOPPED, file=sys.stderr)
        return 130


def _run(given: list[str]) -> int:
    verb = given[0] if given and given[0] in available() else ""
    args, beyond = build_parser(verb).parse_known_args(given)
    if beyond:
        # with the usage of its verb: argparse alone shows that of the whole
        args.refuse(does_not_fit(beyond))
    damage_to_say()  # what an earlier run in this process said
    _any_character(as_json_text=args.json)
    try:
        with whole_lines():
            report: Any = args.run(args)
    except PlatesideError as error:
        if args.json:
            mistakes = as_json(error.mistakes) if isinstance(error, SettingsError) else []
            print(json.dumps({"error": said(error), "mistakes": mistakes}, ensure_ascii=False))
        else:
            print(said(error), file=sys.stderr)
        return error.exit_status
    finally:
        for words in damage_to_say():
            print(words, file=sys.stderr)
    if report is not None:
        as_data = report.json() if isinstance(report, Answer) else as_json(report)
        text = json.dumps(as_data, ensure_ascii=False) if args.json else "\n".join(report.lines())
        try:
            print(text, flush=True)
        except BrokenPipeError:
            # the reader (`head`, a pager) has seen enough; without this Python complains once more on leaving
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return int(getattr(report, "exit_status", 0))
