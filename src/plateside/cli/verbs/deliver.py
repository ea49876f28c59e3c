"""`plateside deliver`: a folder ready to publish."""

import argparse
from pathlib import Path

from plateside.cli.progress import show_progress
from plateside.tasks.deliver.delivery import DeliverReport, deliver

HELP = (
    "crop, size and encode the finished pictures for their channels, with words, rights and the recipe page"
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("shoot", type=Path, metavar="SHOOT", help="the shoot's folder")


def run(args: argparse.Namespace) -> DeliverReport:
    return deliver(args.shoot, show_progress)
