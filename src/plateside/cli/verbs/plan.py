"""`plateside plan`: the day, with an hour and a set-up for every shot."""

import argparse
from pathlib import Path

from plateside.cli.answer import Answer
from plateside.cli.numbers import number
from plateside.cli.progress import show_progress
from plateside.tasks.plan.day import plan_shoot
from plateside.words.commands import PLAN_FLAGS, PLAN_HELP, SHOOT_ARGUMENT
from plateside.words.plan.lines import caution_line, plan_lines, written_line
from plateside.words.plan.sheet import caution_lines
from plateside.words.units import units_of

HELP = PLAN_HELP


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("shoot", type=Path, metavar="SHOOT", help=SHOOT_ARGUMENT)
    parser.add_argument(
        "--out",
        type=Path,
        metavar="DIR",
        help=PLAN_FLAGS["--out"],
    )
    parser.add_argument("--lux", type=number, help=PLAN_FLAGS["--lux"])


def run(args: argparse.Namespace) -> Answer:
    plan = plan_shoot(args.shoot, args.out, args.lux, show_progress)
    lines = plan_lines(
        plan.title,
        plan.date,
        plan.place,
        plan.sky,
        plan.day,
        plan.set_ups,
        plan.unsolved,
        units_of(plan.units),
    )
    care = [caution_line(c) for c in caution_lines(plan.cautions)]
    written = [written_line(path) for path in plan.written]
    return Answer(plan, (*lines, *care, *written), plan.exit_status)
