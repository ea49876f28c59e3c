"""`plateside pack`: a package whose every file can be checked."""

import argparse
from pathlib import Path

from plateside.cli.answer import Answer
from plateside.cli.progress import show_progress
from plateside.tasks.deliver.pack import pack
from plateside.words.commands import PACK_FLAGS, PACK_HELP, SHOOT_ARGUMENT
from plateside.words.deliver.checks import pack_lines

HELP = PACK_HELP


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("shoot", type=Path, metavar="SHOOT", help=SHOOT_ARGUMENT)
    parser.add_argument("--archive", action="store_true", help=PACK_FLAGS["--archive"])
    parser.add_argument(
        "--channel",
        action="append",
        default=[],
        metavar="NAME",
        help=PACK_FLAGS["--channel"],
    )
    parser.add_argument("--to", type=Path, metavar="DIR", help=PACK_FLAGS["--to"])


def run(args: argparse.Namespace) -> Answer:
    report = pack(args.shoot, args.archive, tuple(args.channel), args.to, show_progress)
    return Answer(report, tuple(pack_lines(report, report.path, args.shoot)))
