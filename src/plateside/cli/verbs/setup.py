"""`plateside setup`: where the camera stands for a shot, and with which settings."""

import argparse
from pathlib import Path

from plateside.cli.numbers import number
from plateside.cli.progress import show_progress
from plateside.tasks.plan.setup import SetUpReport, set_up

HELP = "solve where the camera stands and its settings for a shot, and say what each costs"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("shoot", type=Path, metavar="SHOOT", help="the shoot's folder")
    parser.add_argument("shot", nargs="?", metavar="SHOT", help="the shot's name; left out: all")
    parser.add_argument("--at", metavar="HH:MM", help="local time instead of the planned hour")
    parser.add_argument(
        "--lux", type=number, help="light on the dish that you read, instead of the predicted"
    )


def run(args: argparse.Namespace) -> SetUpReport:
    return set_up(args.shoot, args.shot, args.at, args.lux, show_progress)
