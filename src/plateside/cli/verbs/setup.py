"""`plateside setup`: where the camera goes for a shot, and with which settings."""

import argparse
from pathlib import Path

from plateside.cli.answer import Answer
from plateside.cli.numbers import number
from plateside.cli.progress import show_progress
from plateside.tasks.plan.setup import set_up
from plateside.words.commands import SETUP_FLAGS, SETUP_HELP, SHOOT_ARGUMENT
from plateside.words.plan.set_up import setup_lines
from plateside.words.units import units_of

HELP = SETUP_HELP


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("shoot", type=Path, metavar="SHOOT", help=SHOOT_ARGUMENT)
    parser.add_argument("shot", nargs="?", metavar="SHOT", help=SETUP_FLAGS["shot"])
    parser.add_argument("--at", metavar="HH:MM", help=SETUP_FLAGS["--at"])
    parser.add_argument("--lux", type=number, help=SETUP_FLAGS["--lux"])


def run(args: argparse.Namespace) -> Answer:
    found = set_up(args.shoot, args.shot, args.at, args.lux, show_progress)
    units = units_of(found.units)
    lines = [line for s in found.set_ups for line in setup_lines(s, units)]
    return Answer(found, (*lines, *found.unsolved), found.exit_status)
