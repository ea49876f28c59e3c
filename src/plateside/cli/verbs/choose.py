"""`plateside choose`: select and alternate for each shot."""

import argparse
from pathlib import Path

from plateside.cli.progress import show_progress
from plateside.model.errors import InputError
from plateside.tasks.choose.selects import ChooseReport, choose_frames
from plateside.words.commands import CHOOSE_FLAGS, CHOOSE_HELP, SHOOT_ARGUMENT
from plateside.words.set import refusals

HELP = CHOOSE_HELP


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("shoot", type=Path, metavar="SHOOT", help=SHOOT_ARGUMENT)
    for name in ("select", "alternate"):
        parser.add_argument(
            f"--{name}", action="append", default=[], metavar="SHOT=FRAME", help=CHOOSE_FLAGS[f"--{name}"]
        )
    parser.add_argument(
        "--test-frame", action="append", default=[], metavar="SHOT=FRAME",
        help=CHOOSE_FLAGS["--test-frame"],
    )  # fmt: skip
    parser.add_argument("--keep", action="append", default=[], metavar="FRAME", help=CHOOSE_FLAGS["--keep"])
    parser.add_argument("--again", action="append", default=[], metavar="FRAME", help=CHOOSE_FLAGS["--again"])
    parser.add_argument("--best", action="append", default=[], metavar="FRAME", help=CHOOSE_FLAGS["--best"])


def run(args: argparse.Namespace) -> ChooseReport:
    return choose_frames(
        args.shoot,
        [_pair(text, "select") for text in args.select],
        [_pair(text, "alternate") for text in args.alternate],
        args.keep,
        args.again,
        show_progress,
        test_frames=[_pair(text, "test-frame") for text in args.test_frame],
        best=args.best,
    )


def _pair(text: str, option: str) -> tuple[str, str]:
    shot, equals, frame = text.partition("=")
    if not (shot and equals and frame):
        raise InputError(refusals.pair_wanted(option, text))
    return shot, frame
