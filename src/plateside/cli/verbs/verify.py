"""`plateside verify`: is every file of a package still there and unchanged."""

import argparse
from pathlib import Path

from plateside.cli.progress import show_progress
from plateside.tasks.deliver.verify import VerifyReport, verify

HELP = "check a package or a delivery: every file there and unchanged"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("folder", type=Path, help="a package, a delivery folder, or a shoot")


def run(args: argparse.Namespace) -> VerifyReport:
    return verify(args.folder, show_progress)
