"""`plateside pack`: a package whose every file can be checked."""

import argparse
from pathlib import Path

from plateside.cli.answer import Answer
from plateside.cli.progress import show_progress
from plateside.tasks.deliver.pack import pack
from plateside.words.deliver.checks import pack_lines

HELP = "pack the delivery to hand over, or the whole shoot to keep, with checksums"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("shoot", type=Path, metavar="SHOOT", help="the shoot's folder")
    parser.add_argument(
        "--archive", action="store_true", help="everything, to keep: originals, settings, journal, pictures"
    )
    parser.add_argument(
        "--channel",
        action="append",
        default=[],
        metavar="NAME",
        help="only this channel's pictures, for one client",
    )
    parser.add_argument("--to", type=Path, metavar="DIR", help="folder that receives the package")


def run(args: argparse.Namespace) -> Answer:
    report = pack(args.shoot, args.archive, tuple(args.channel), args.to, show_progress)
    return Answer(report, tuple(pack_lines(report, report.path, args.shoot)))
