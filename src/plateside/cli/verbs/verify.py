"""`plateside verify`: is every file of a package still there and unchanged."""

import argparse
from pathlib import Path

from plateside.cli.answer import Answer
from plateside.cli.progress import show_progress
from plateside.tasks.deliver.verify import verify
from plateside.words.commands import VERIFY_FLAGS, VERIFY_HELP
from plateside.words.deliver.checks import verify_lines

HELP = VERIFY_HELP


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("folder", type=Path, metavar="FOLDER", help=VERIFY_FLAGS["folder"])


def run(args: argparse.Namespace) -> Answer:
    report = verify(args.folder, show_progress)
    return Answer(report, tuple(verify_lines(report, report.path)), report.exit_status)
