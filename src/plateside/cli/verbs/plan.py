"""`plateside plan`: the day, with an hour and a set-up for every shot."""

import argparse
from pathlib import Path

from plateside.cli.numbers import number
from plateside.cli.progress import show_progress
from plateside.tasks.plan.day import PlanReport, plan_shoot

HELP = "plan the day: an hour in the good light and a set-up for every shot, cooking planned back from it"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("shoot", type=Path, metavar="SHOOT", help="the shoot's folder")
    parser.add_argument(
        "--out",
        type=Path,
        metavar="DIR",
        help="write the call sheet (a page, and a PDF to print) and a card for each shot here",
    )
    parser.add_argument(
        "--lux", type=number, help="light on the dish that you read, instead of the predicted"
    )


def run(args: argparse.Namespace) -> PlanReport:
    return plan_shoot(args.shoot, args.out, args.lux, show_progress)
