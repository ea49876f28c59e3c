"""`plateside shot`: the current shot."""

import argparse
from pathlib import Path

from plateside.tasks.set.grey_card import CardNamed, name_grey_card
from plateside.tasks.set.lamp import LampAsked, ask_lamp_off
from plateside.tasks.set.shot import ShotReport, go_on, name_shot, undo_last

HELP = "name the shot you are taking, say which frames belong to it, or take back the last decision"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("shoot", type=Path, metavar="SHOOT", help="the shoot's folder")
    parser.add_argument(
        "name", nargs="?", default="", help="the shot; left out, only show where the shoot stands"
    )
    parser.add_argument(
        "--frames", nargs="+", default=[], metavar="FRAME", help="these frames belong to the shot"
    )
    parser.add_argument(
        "--lamp-off",
        action="store_true",
        help="was a lamp on? The shot's next frame is taken with the lamps off",
    )
    parser.add_argument(
        "--grey-card",
        nargs=2,
        default=[],
        metavar=("FRAME", "X,Y"),
        help="where your grey card is in this frame: across and down, as shares from its upper left (0.62,0.40)",
    )
    parser.add_argument(
        "--next", action="store_true", help="go on to the next shot, in the order of the day's plan"
    )
    parser.add_argument("--undo", action="store_true", help="take back the last decision")


def run(args: argparse.Namespace) -> ShotReport | LampAsked | CardNamed:
    if args.grey_card:
        return name_grey_card(args.shoot, args.name, *args.grey_card)
    if args.lamp_off:
        return ask_lamp_off(args.shoot, args.name)
    if args.next:
        return go_on(args.shoot)
    return undo_last(args.shoot) if args.undo else name_shot(args.shoot, args.name, args.frames)
