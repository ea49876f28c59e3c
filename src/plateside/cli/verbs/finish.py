"""`plateside finish`: the selects developed and matched."""

import argparse
from pathlib import Path

from plateside.cli.answer import Answer
from plateside.cli.progress import show_progress
from plateside.model.errors import InputError
from plateside.tasks.finish.series import KINDS, finish
from plateside.tasks.finish.set_by_hand import set_by_hand
from plateside.words.commands import FINISH_FLAGS, FINISH_HELP, SHOOT_ARGUMENT
from plateside.words.finish import OPTION_OF_HAND, finish_lines, no_patch

HELP = FINISH_HELP


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("shoot", type=Path, metavar="SHOOT", help=SHOOT_ARGUMENT)
    parser.add_argument("--kind", choices=sorted(KINDS), default="tiff", help=FINISH_FLAGS["--kind"])
    parser.add_argument("--match-to", default="", metavar="SHOT", help=FINISH_FLAGS["--match-to"])
    parser.add_argument(
        "--grey",
        metavar="X,Y,W,H",
        help=FINISH_FLAGS["--grey"],
    )
    parser.add_argument(
        "--accept", action="append", default=[], metavar="SHOT", help=FINISH_FLAGS["--accept"]
    )
    parser.add_argument("--for", default="", metavar="SHOT", dest="set_for", help=FINISH_FLAGS["--for"])
    for name, option in OPTION_OF_HAND.items():
        metavar = name.rsplit("_", 1)[1].upper()
        parser.add_argument(option, type=float, metavar=metavar, dest=name, help=FINISH_FLAGS[option])


def run(args: argparse.Namespace) -> Answer:
    set_by_hand(args.shoot, args.set_for, {name: getattr(args, name) for name in OPTION_OF_HAND})
    report = finish(
        args.shoot, args.kind, args.match_to, _shares(args.grey), show_progress, tuple(args.accept)
    )
    return Answer(report, tuple(finish_lines(report, report.folder)))


def _shares(text: str | None) -> tuple[float, float, float, float] | None:
    if text is None:
        return None
    try:
        x, y, w, h = (float(part) for part in text.split(","))
    except ValueError as error:
        raise InputError(no_patch(text)) from error
    return x, y, w, h
