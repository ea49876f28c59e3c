"""plateside serve: all stages in a browser, on this machine."""

import argparse
import contextlib
import json
import webbrowser
from pathlib import Path

from plateside.cli.numbers import whole
from plateside.model.errors import CouldNotError
from plateside.words.commands import SERVE_FLAGS, SERVE_HELP
from plateside.words.serving import NOT_ENCRYPTED, another_browser, serving_at

HELP = SERVE_HELP


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Which folder, which port."""
    parser.add_argument(
        "folder",
        nargs="?",
        default=".",
        metavar="SHOOT",
        help=SERVE_FLAGS["folder"],
    )
    parser.add_argument("--port", type=whole, default=8765, help=SERVE_FLAGS["--port"])
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
    from plateside.tasks.serve.keeping import cannot_keep
    from plateside.web.server import listen, make_tool, serve

    tool = make_tool(Path(args.folder), watch=not args.no_watch, tablet_address=args.tablet_address)
    sock = listen(args.port)
    said = 0

    not_kept = cannot_keep(tool.home)

    def say() -> None:
        nonlocal said
        said += 1
        address = tool.desk.address()
        if args.json:
            address_row = {"address": address.partition("desk#")[0], "open": address}
            print(
                json.dumps({**address_row, "encrypted": False} if args.tablet_address else address_row),
                flush=True,
            )
        elif said == 1:
            print(serving_at(address), flush=True)
            if args.tablet_address:
                print(NOT_ENCRYPTED, flush=True)
            if not_kept:
                print(not_kept, flush=True)
        else:
            print(another_browser(address), flush=True)

    def ready(_address: str) -> None:
        tool.desk.on_used = say
        say()
        if not args.no_browser:
            # the key in a file of yours: what a browser is started with can be listed by every account
            with contextlib.suppress(OSError, CouldNotError):
                webbrowser.open(tool.desk.opening_file().as_uri())

    serve(tool, sock, ready)
