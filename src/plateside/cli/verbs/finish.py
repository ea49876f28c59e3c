"""`plateside finish`: the heroes developed and matched."""

import argparse
from pathlib import Path

from plateside.cli.progress import show_progress
from plateside.model.errors import InputError
from plateside.tasks.finish.series import KINDS, FinishReport, finish

HELP = "develop the heroes, match exposure and white balance over the set, write finished pictures"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("shoot", type=Path, metavar="SHOOT", help="the shoot's folder")
    parser.add_argument("--kind", choices=sorted(KINDS), default="tiff", help="16-bit TIFF (default) or JPEG")
    parser.add_argument("--reference", default="", metavar="SHOT", help="shot whose look the set follows")
    parser.add_argument(
        "--grey",
        metavar="X,Y,W,H",
        help="where the reference's hero shows a grey card, as shares of the picture",
    )


def run(args: argparse.Namespace) -> FinishReport:
    return finish(args.shoot, args.kind, args.reference, _shares(args.grey), show_progress)


def _shares(text: str | None) -> tuple[float, float, float, float] | None:
    if text is None:
        return None
    try:
        x, y, w, h = (float(part) for part in text.split(","))
    except ValueError as error:
        raise InputError(
            f"--grey {text!r} is not x,y,width,height as shares of the picture, such as 0.4,0.6,0.05,0.05."
        ) from error
    return x, y, w, h
