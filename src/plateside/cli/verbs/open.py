"""`plateside open`: what a press of the menu's entry runs. No second server where one runs."""

import argparse
import contextlib
import webbrowser
from pathlib import Path

from plateside.cli.answer import Answer
from plateside.cli.verbs import serve
from plateside.tasks.serve.menu import Starting, folder_to_serve, server_of
from plateside.words.menu import OPEN_FLAGS, OPEN_HELP, opened

HELP = OPEN_HELP
PATIENCE_S = 30.0
"""Longest that another start is waited for."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "folder", nargs="?", type=Path, default=None, metavar="FOLDER", help=OPEN_FLAGS["folder"]
    )


def run(args: argparse.Namespace) -> Answer | None:
    """Open the browser on the server that runs, or serve until stopped."""
    starting = Starting()
    starting.take(PATIENCE_S)
    try:
        found = server_of(args.folder)
        if found is not None:
            with contextlib.suppress(OSError):
                webbrowser.open(found.page.as_uri())
            return Answer(found, (opened(f"http://127.0.0.1:{found.port}/"),))
        serve.serve_until_stopped(
            folder_to_serve(args.folder), serve.PORT, others=serve.OTHER_PORTS, json_lines=args.json,
            started=starting.free,
        )  # fmt: skip
    finally:
        starting.free()
    return None
