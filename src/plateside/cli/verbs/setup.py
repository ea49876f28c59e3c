"""`plateside setup`: where the camera goes for a shot, and with which settings."""

import argparse
from pathlib import Path

from plateside.cli.answer import Answer
from plateside.cli.numbers import number
from plateside.cli.progress import show_progress
from plateside.tasks.plan.setup import set_up
from plateside.words.plan.set_up import setup_lines
from plateside.words.units import units_of

HELP = "find where the camera goes for a shot, and its settings, and what each costs"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("shoot", type=Path, metavar="SHOOT", help="the shoot's folder")
    parser.add_argument("shot", nargs="?", metavar="SHOT", help="the shot's name; left out: all")
    parser.add_argument("--at", metavar="HH:MM", help="local time instead of the planned hour")
    parser.add_argument(
        "--lux", type=number, help="measured light facing the camera, in lux (used instead of the forecast)"
    )


def run(args: argparse.Namespace) -> Answer:
    found = set_up(args.shoot, args.shot, args.at, args.lux, show_progress)
    units = units_of(found.units)
    lines = [line for s in found.set_ups for line in setup_lines(s, units)]
    return Answer(found, (*lines, *found.unsolved), found.exit_status)
