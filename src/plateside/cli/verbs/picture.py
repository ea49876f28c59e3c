"""`plateside picture`: draw the photograph before the oven is on."""

import argparse
from pathlib import Path

from plateside.cli.answer import Answer
from plateside.cli.progress import show_progress
from plateside.model.errors import InputError
from plateside.tasks.plan.picture import WHAT_IFS, draw_picture
from plateside.words.commands import PICTURE_FLAGS, PICTURE_HELP, SHOOT_ARGUMENT
from plateside.words.plan import refusals
from plateside.words.plan.picture import picture_lines

HELP = PICTURE_HELP


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("shoot", type=Path, metavar="SHOOT", help=SHOOT_ARGUMENT)
    parser.add_argument("shot", metavar="SHOT", help=PICTURE_FLAGS["shot"])
    parser.add_argument("--at", metavar="HH:MM", help=PICTURE_FLAGS["--at"])
    parser.add_argument("--what-if", choices=WHAT_IFS, help=PICTURE_FLAGS["--what-if"])
    parser.add_argument("--out", type=Path, metavar="DIR", help=PICTURE_FLAGS["--out"])
    parser.add_argument("--size", metavar="WxH", help=PICTURE_FLAGS["--size"])
    parser.add_argument(
        "--quality",
        choices=("rough", "clean", "fine"),
        default="clean",
        help=PICTURE_FLAGS["--quality"],
    )
    parser.add_argument("--clipped", action="store_true", help=PICTURE_FLAGS["--clipped"])


def run(args: argparse.Namespace) -> Answer:
    report = draw_picture(
        args.shoot,
        args.shot,
        at=args.at,
        what_if=args.what_if,
        out=args.out,
        size_px=None if args.size is None else _size(args.size),
        quality=args.quality,
        show_clipped=args.clipped,
        progress=show_progress,
    )
    lines = picture_lines(report.file, report.width_px, report.height_px, report.drawn, report.engine)
    return Answer(report, tuple(lines))


def _size(text: str) -> tuple[int, int]:
    try:
        width, height = (int(part) for part in text.lower().split("x"))
    except ValueError:
        raise InputError(refusals.no_size_text(text)) from None
    return width, height
