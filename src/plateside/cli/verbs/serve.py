"""plateside serve: all stages in a browser, on this machine."""

import argparse
import contextlib
import json
import socket
import webbrowser
from collections.abc import Callable
from pathlib import Path

from plateside.cli.numbers import whole
from plateside.model.errors import CouldNotError
from plateside.tasks.serve.last_open import to_open
from plateside.web.port import listen
from plateside.web.watch_child import WatchChild
from plateside.words.commands import SERVE_FLAGS, SERVE_HELP
from plateside.words.serving import NOT_ENCRYPTED, another_browser, serving_at

HELP = SERVE_HELP
PORT = 8765
OTHER_PORTS = 20
"""Tried one after the other where any will do."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Which folder, which port."""
    parser.add_argument(
        "folder",
        nargs="?",
        default=".",
        metavar="SHOOT",
        help=SERVE_FLAGS["folder"],
    )
    parser.add_argument("--port", type=whole, default=PORT, help=SERVE_FLAGS["--port"])
    parser.add_argument("--no-browser", action="store_true", help=SERVE_FLAGS["--no-browser"])
    parser.add_argument(
        "--tablet-address",
        default="",
        metavar="ADDRESS",
        help=SERVE_FLAGS["--tablet-address"],
    )
    parser.add_argument("--no-watch", action="store_true", help=SERVE_FLAGS["--no-watch"])


def run(args: argparse.Namespace) -> None:
    """Serve until Ctrl-C."""
    serve_until_stopped(
        Path(args.folder), args.port, browser=not args.no_browser, watch=not args.no_watch,
        tablet_address=args.tablet_address, json_lines=args.json,
    )  # fmt: skip


def serve_until_stopped(
    folder: Path,
    port: int,
    *,
    others: int = 0,
    browser: bool = True,
    watch: bool = True,
    tablet_address: str = "",
    json_lines: bool = False,
    started: Callable[[], None] = lambda: None,
) -> None:
    """Serve a folder; at one of the `others` after this port where it is taken.

    started  called when the server can be found by who looks for one
    """
    home, root = to_open(folder)
    sock = listen(port, others)
    begun = WatchChild(root) if watch and root is not None else None
    try:
        _serve(
            home, root, sock, begun, browser=browser, watch=watch, tablet_address=tablet_address,
            json_lines=json_lines, started=started,
        )  # fmt: skip
    finally:
        sock.close()
        if begun is not None:
            begun.end()


def _serve(
    home: Path,
    root: Path | None,
    sock: socket.socket,
    begun: WatchChild | None,
    *,
    browser: bool,
    watch: bool,
    tablet_address: str,
    json_lines: bool,
    started: Callable[[], None],
) -> None:
    # loaded while the watching loads what it judges by
    from plateside.tasks.serve.keeping import cannot_keep
    from plateside.tasks.serve.menu import Announced
    from plateside.web.server import make_tool, serve

    tool = make_tool(home, root, watch=watch, begun=begun, tablet_address=tablet_address)
    announced = Announced(sock.getsockname()[1])
    said = 0

    not_kept = cannot_keep(tool.home)

    def say() -> None:
        nonlocal said
        said += 1
        address = tool.desk.address()
        if json_lines:
            address_row = {"address": address.partition("desk#")[0], "open": address}
            print(
                json.dumps({**address_row, "encrypted": False} if tablet_address else address_row),
                flush=True,
            )
        elif said == 1:
            print(serving_at(address), flush=True)
            if tablet_address:
                print(NOT_ENCRYPTED, flush=True)
            if not_kept:
                print(not_kept, flush=True)
        else:
            print(another_browser(address), flush=True)

    def ready(_address: str) -> None:
        tool.desk.on_used = say
        say()
        # the key in a file of yours: what a browser is started with can be listed by every account
        with contextlib.suppress(OSError, CouldNotError):
            opening = tool.desk.opening_file(keep=True)
            announced.say(tool.home, opening)
            if browser:
                webbrowser.open(opening.as_uri())
        started()

    try:
        serve(tool, sock, ready)
    finally:
        announced.end()
