"""`plateside check`."""

import argparse
from pathlib import Path

from plateside.cli.answer import Answer
from plateside.tasks.studio.check import check
from plateside.tasks.studio.reference import FieldsReport, fields
from plateside.words.commands import CHECK_FLAGS, CHECK_HELP
from plateside.words.remarks import check_lines

HELP = CHECK_HELP


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The shoot's folder."""
    parser.add_argument(
        "folder", type=Path, nargs="?", default=Path(), metavar="SHOOT", help=CHECK_FLAGS["folder"]
    )
    parser.add_argument("--fields", nargs="?", const="", metavar="NAME", help=CHECK_FLAGS["--fields"])


def run(args: argparse.Namespace) -> Answer | FieldsReport:
    """Check the files, or tell what can be in them."""
    if args.fields is not None:
        return fields(args.fields)
    report = check(args.folder)
    lines = check_lines(report.files, report.mistakes, report.remarks, report.counts)
    return Answer(report, tuple(lines), 0 if report.ok else 2)
