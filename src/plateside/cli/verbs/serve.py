"""plateside serve: the whole tool in a browser, on this machine."""

import argparse
import contextlib
import json
import webbrowser
from pathlib import Path

from plateside.cli.numbers import whole
from plateside.model.errors import CouldNotError

HELP = "open the tool in a browser, at this machine's own address"

NOT_ENCRYPTED = (
    "Nothing between this laptop and a tablet is encrypted. Whoever is on the same network can read along, and can "
    "then do what the tablet may: use your own home network."
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Which folder, which port."""
    parser.add_argument(
        "folder",
        nargs="?",
        default=".",
        metavar="SHOOT",
        help="a shoot's folder, or the folder with all your shoots",
    )
    parser.add_argument("--port", type=whole, default=8765, help="port to listen at (0: any free one)")
    parser.add_argument("--no-browser", action="store_true", help="do not open the browser")
    parser.add_argument(
        "--tablet-address",
        default="",
        metavar="ADDRESS",
        help="this machine's address in the home network; what passes there is not encrypted",
    )
    parser.add_argument("--no-watch", action="store_true", help="do not judge frames as they land")


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
            print(f"Plateside is at {address}  Ctrl-C stops it.", flush=True)
            if args.tablet_address:
                print(NOT_ENCRYPTED, flush=True)
            if not_kept:
                print(not_kept, flush=True)
        else:
            print(f"For another browser: {address}", flush=True)

    def ready(_address: str) -> None:
        tool.desk.on_used = say
        say()
        if not args.no_browser:
            # the key in a file of yours: what a browser is started with can be listed by every account
            with contextlib.suppress(OSError, CouldNotError):
                webbrowser.open(tool.desk.opening_file().as_uri())

    serve(tool, sock, ready)
