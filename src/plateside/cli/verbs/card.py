"""`plateside card`: print the set card, or read it from a frame."""

import argparse
from pathlib import Path

from plateside.cli.answer import Answer
from plateside.cli.numbers import number
from plateside.model.errors import InputError
from plateside.tasks.plan.set_card import (
    print_card,
    read_card,
    wanted_at,
    wanted_for,
)
from plateside.words.commands import CARD_FLAGS, CARD_HELP
from plateside.words.plan.set_card import WHICH_SHOOT, card_lines, printed_lines
from plateside.words.units import units_of

HELP = CARD_HELP


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("shoot", type=Path, nargs="?", metavar="SHOOT", help=CARD_FLAGS["shoot"])
    parser.add_argument("--paper", default="A4", help=CARD_FLAGS["--paper"])
    parser.add_argument("--out", type=Path, default=Path("set-card.pdf"), help=CARD_FLAGS["--out"])
    parser.add_argument("--read", type=Path, metavar="FRAME", help=CARD_FLAGS["--read"])
    parser.add_argument("--shoot", dest="shoot_named", type=Path, help=argparse.SUPPRESS)
    parser.add_argument("--shot", metavar="NAME", help=CARD_FLAGS["--shot"])
    parser.add_argument("--ruler", type=number, metavar="MM", help=CARD_FLAGS["--ruler"])
    parser.add_argument("--elevation", type=number, metavar="DEG", help=CARD_FLAGS["--elevation"])
    parser.add_argument("--distance", type=number, metavar="MM", help=CARD_FLAGS["--distance"])


def run(args: argparse.Namespace) -> Answer:
    if args.read is None:
        printed = print_card(args.paper, args.out)
        return Answer(printed, tuple(printed_lines(printed.path, printed.paper, printed.ruler_mm)))
    wanted = None
    shoot = args.shoot or args.shoot_named
    if args.shot is not None:
        if shoot is None:
            raise InputError(WHICH_SHOOT)
        wanted = wanted_for(shoot, args.shot)
    elif args.distance is not None:
        wanted = wanted_at(args.distance, args.elevation)
    found = read_card(args.read, shoot, args.ruler, wanted)
    return Answer(found, tuple(card_lines(found, units_of(found.units))))
