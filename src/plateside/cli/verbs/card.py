"""`plateside card`: print the set card, or read it from a frame."""

import argparse
from pathlib import Path

from plateside.cli.numbers import number
from plateside.model.errors import InputError
from plateside.tasks.plan.set_card import (
    CardReport,
    PrintedCard,
    print_card,
    read_card,
    wanted_at,
    wanted_for,
)
from plateside.words.set import refusals

HELP = "print the set card, or read scale, level and height from a frame that shows it"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "shoot", type=Path, nargs="?", metavar="SHOOT", help="with --read: the shoot's folder, for its camera"
    )
    parser.add_argument("--paper", default="A4", help="A4, Letter or A5 (default A4)")
    parser.add_argument("--out", type=Path, default=Path("set-card.pdf"), help="where to write the PDF")
    parser.add_argument("--read", type=Path, metavar="FRAME", help="a frame that shows the set card")
    parser.add_argument("--shoot", dest="shoot_named", type=Path, help=argparse.SUPPRESS)
    parser.add_argument("--shot", metavar="NAME", help="a shot of it: what to move to match the plan")
    parser.add_argument(
        "--ruler", type=number, metavar="MM", help="the printed ruler's length as you measured it"
    )
    parser.add_argument(
        "--elevation", type=number, metavar="DEG", help="wanted elevation of the camera, 90 straight down"
    )
    parser.add_argument("--distance", type=number, metavar="MM", help="wanted distance from lens to set card")


def run(args: argparse.Namespace) -> PrintedCard | CardReport:
    if args.read is None:
        return print_card(args.paper, args.out)
    wanted = None
    shoot = args.shoot or args.shoot_named
    if args.shot is not None:
        if shoot is None:
            raise InputError(refusals.CARD_NEEDS_THE_SHOOT)
        wanted = wanted_for(shoot, args.shot)
    elif args.distance is not None:
        wanted = wanted_at(args.distance, args.elevation)
    return read_card(args.read, shoot, args.ruler, wanted)
