"""`plateside deliver`: a folder ready to publish."""

import argparse
from pathlib import Path

from plateside.cli.answer import Answer
from plateside.cli.progress import show_progress
from plateside.tasks.deliver.delivery import deliver
from plateside.words.commands import DELIVER_HELP, SHOOT_ARGUMENT
from plateside.words.deliver.report import deliver_lines

HELP = DELIVER_HELP


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("shoot", type=Path, metavar="SHOOT", help=SHOOT_ARGUMENT)


def run(args: argparse.Namespace) -> Answer:
    report = deliver(args.shoot, show_progress)
    look_at = report.folder / "preview.html", report.folder / "contact-sheet.html"
    return Answer(report, tuple(deliver_lines(report, report.folder, args.shoot, look_at)))
