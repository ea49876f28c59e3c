"""`plateside choose`: select and alternate for each shot."""

import argparse
from pathlib import Path

from plateside.cli.progress import show_progress
from plateside.model.errors import InputError
from plateside.tasks.choose.selects import ChooseReport, choose_frames
from plateside.words.set import refusals

HELP = "choose a select and an alternate for each shot, with reasons; your own choice always wins"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("shoot", type=Path, metavar="SHOOT", help="the shoot's folder")
    for name in ("select", "alternate"):
        parser.add_argument(
            f"--{name}", action="append", default=[], metavar="SHOT=FRAME", help=f"your own {name} of a shot"
        )
    parser.add_argument(
        "--test-frame", action="append", default=[], metavar="SHOT=FRAME",
        help="the test frame of a shot: its other frames are compared with it",
    )  # fmt: skip
    parser.add_argument("--keep", action="append", default=[], metavar="FRAME", help="a frame you keep")
    parser.add_argument("--again", action="append", default=[], metavar="FRAME", help="a frame to take again")
    parser.add_argument(
        "--best", action="append", default=[], metavar="FRAME", help="your own best of the burst it is of"
    )


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
