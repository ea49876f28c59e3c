"""`plateside picture`: draw the photograph before the oven is on."""

import argparse
from pathlib import Path

from plateside.cli.answer import Answer
from plateside.cli.progress import show_progress
from plateside.model.errors import InputError
from plateside.tasks.plan.picture import WHAT_IFS, draw_picture
from plateside.words.plan import refusals
from plateside.words.plan.picture import picture_lines

HELP = "render the planned picture of a shot: light, blur and exposure on a stand-in dish"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("shoot", type=Path, metavar="SHOOT", help="the shoot's folder")
    parser.add_argument("shot", metavar="SHOT", help="the shot's name")
    parser.add_argument("--at", metavar="HH:MM", help="local time instead of the planned hour")
    parser.add_argument("--what-if", choices=WHAT_IFS, help="a sheet of several: boards, hours or apertures")
    parser.add_argument(
        "--out", type=Path, metavar="DIR", help="folder to write into (default: SHOOT/pictures)"
    )
    parser.add_argument("--size", metavar="WxH", help="largest width and height in pixels, such as 480x320")
    parser.add_argument(
        "--quality",
        choices=("rough", "clean", "fine"),
        default="clean",
        help="rough is ready in a moment, clean is to judge by, fine for a page (default: clean)",
    )
    parser.add_argument("--clipped", action="store_true", help="paint in red what clips")


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
