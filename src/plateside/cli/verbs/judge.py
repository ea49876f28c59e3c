"""plateside judge: what is wrong with each frame, and the one thing to change."""

import argparse
from pathlib import Path

from plateside.cli.numbers import whole
from plateside.cli.progress import show_progress
from plateside.model.errors import InputError
from plateside.tasks.report import Report
from plateside.tasks.serve.shoots import is_shoot
from plateside.tasks.set.judge import judge_frames
from plateside.tasks.set.layers import keep_layer, layers_of
from plateside.words.commands import JUDGE_FLAGS, JUDGE_HELP
from plateside.words.set import refusals

HELP = JUDGE_HELP


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Frames to judge, and the shoot they belong to."""
    parser.add_argument(
        "frames",
        nargs="*",
        metavar="SHOOT FRAME",
        help=JUDGE_FLAGS["frames"],
    )
    parser.add_argument("--shoot", default="", help=argparse.SUPPRESS)
    parser.add_argument("--layer", action="store_true", help=JUDGE_FLAGS["--layer"])
    parser.add_argument("--layers", default="", metavar="SHOT", help=JUDGE_FLAGS["--layers"])
    parser.add_argument(
        "--out",
        type=Path,
        default=None,
        metavar="FILE.jpg",
        help=JUDGE_FLAGS["--out"],
    )
    parser.add_argument(
        "--beside", type=whole, default=0, metavar="N", help=JUDGE_FLAGS["--beside"]
    )  # fmt: skip
    parser.add_argument("--dry", action="store_true", help=JUDGE_FLAGS["--dry"])


def run(args: argparse.Namespace) -> Report:
    """Judge them, or keep and tell layers."""
    names = list(args.frames)
    shoot = args.shoot
    if not shoot and names and is_shoot(Path(names[0])):
        shoot = names.pop(0)
    root = Path(shoot or ".")
    if args.layers:
        return layers_of(root, args.layers, args.out, args.beside)
    if args.layer:
        if len(names) != 1:
            raise InputError(refusals.LAYER_TAKES_ONE_FRAME)
        return keep_layer(root, "", names[0])
    return judge_frames(root, names, show_progress, record=not args.dry)
