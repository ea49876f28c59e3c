"""plateside serve: the whole tool in a browser, on this machine."""

import argparse
import webbrowser
from pathlib import Path

from plateside.cli.numbers import whole

HELP = "open the tool in a browser, at this machine's own address"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Which folder, which port."""
    parser.add_argument(
        "folder", nargs="?", default=".", metavar="FOLDER", help="a shoot's folder, or where shoots are kept"
    )
    parser.add_argument("--port", type=whole, default=8765, help="port to listen at (0: any free one)")
    parser.add_argument("--no-browser", action="store_true", help="do not open the browser")
    parser.add_argument(
        "--tablet-address", default="", metavar="ADDRESS", help="this machine's address in the home network"
    )
    parser.add_argument("--no-watch", action="store_true", help="do not judge frames as they land")


def run(args: argparse.Namespace) -> None:
    """Serve until Ctrl-C."""
    from plateside.web.keeping import cannot_keep
    from plateside.web.server import listen, make_tool, serve

    tool = make_tool(Path(args.folder), watch=not args.no_watch, tablet_address=args.tablet_address)
    sock = listen(args.port)

    not_kept = cannot_keep(tool.home)

    def ready(address: str) -> None:
        print(f"Plateside is at {address}  Ctrl-C stops it.", flush=True)
        if not_kept:
            print(not_kept, flush=True)
        if not args.no_browser:
            webbrowser.open(address)

    serve(tool, sock, ready)
