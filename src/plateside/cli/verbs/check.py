"""`plateside check`."""

import argparse
from pathlib import Path

from plateside.tasks.check import CheckReport, check

HELP = "read studio.toml and shoot.toml, and say everything that is wrong at once"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The shoot's folder."""
    parser.add_argument(
        "folder",
        type=Path,
        nargs="?",
        default=Path(),
        help="the shoot's folder, or a studio.toml (default: here)",
    )


def run(args: argparse.Namespace) -> CheckReport:
    """Check the files."""
    return check(args.folder)
