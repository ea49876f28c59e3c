"""`plateside shot`: the current shot."""

import argparse
from pathlib import Path

from plateside.tasks.set.grey_card import CardNamed, name_grey_card
from plateside.tasks.set.lamp import LampAsked, ask_lamp_off
from plateside.tasks.set.shot import ShotReport, go_on, name_shot, undo_last
from plateside.words.commands import SHOOT_ARGUMENT, SHOT_FLAGS, SHOT_HELP

HELP = SHOT_HELP


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("shoot", type=Path, metavar="SHOOT", help=SHOOT_ARGUMENT)
    parser.add_argument("name", nargs="?", default="", metavar="SHOT", help=SHOT_FLAGS["shot"])
    parser.add_argument("--frames", nargs="+", default=[], metavar="FRAME", help=SHOT_FLAGS["--frames"])
    parser.add_argument(
        "--lamp-off",
        action="store_true",
        help=SHOT_FLAGS["--lamp-off"],
    )
    parser.add_argument(
        "--grey-card",
        nargs=2,
        default=[],
        metavar=("FRAME", "X,Y"),
        help=SHOT_FLAGS["--grey-card"],
    )
    parser.add_argument("--next", action="store_true", help=SHOT_FLAGS["--next"])
    parser.add_argument("--undo", action="store_true", help=SHOT_FLAGS["--undo"])


def run(args: argparse.Namespace) -> ShotReport | LampAsked | CardNamed:
    if args.grey_card:
        return name_grey_card(args.shoot, args.name, *args.grey_card)
    if args.lamp_off:
        return ask_lamp_off(args.shoot, args.name)
    if args.next:
        return go_on(args.shoot)
    return undo_last(args.shoot) if args.undo else name_shot(args.shoot, args.name, args.frames)
