"""`plateside finish`: the selects developed and matched."""

import argparse
from pathlib import Path

from plateside.cli.answer import Answer
from plateside.cli.lens_options import lens_options
from plateside.cli.progress import show_progress, show_waiting
from plateside.model.errors import InputError
from plateside.tasks.finish.charts import Corners
from plateside.tasks.finish.every_shoot import finish_every
from plateside.tasks.finish.series import KINDS, finish
from plateside.tasks.finish.set_by_hand import set_by_hand
from plateside.words import every_shoot as every
from plateside.words.commands import FINISH_FLAGS, FINISH_HELP, SHOOT_ARGUMENT
from plateside.words.finish import finish_lines, no_patch
from plateside.words.finish_options import CORNERS_WITHOUT_CHART, OPTION_OF_HAND, no_corners

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
    parser.add_argument("--every-shoot", action="store_true", help=FINISH_FLAGS["--every-shoot"])
    parser.add_argument("--cluster", default="", metavar="ADDRESS", help=FINISH_FLAGS["--cluster"])
    parser.add_argument("--cluster-keys", type=Path, metavar="FOLDER", help=FINISH_FLAGS["--cluster-keys"])
    parser.add_argument("--extra", action="append", default=[], metavar="FRAME", help=FINISH_FLAGS["--extra"])
    parser.add_argument(
        "--no-extra", action="append", default=[], metavar="FRAME", help=FINISH_FLAGS["--no-extra"]
    )
    parser.add_argument("--chart", metavar="FRAME", help=FINISH_FLAGS["--chart"])
    parser.add_argument("--corners", metavar="X,Y,...", help=FINISH_FLAGS["--corners"])
    parser.add_argument("--for", default="", metavar="SHOT", dest="set_for", help=FINISH_FLAGS["--for"])
    parser.add_argument("--lens", metavar="WHAT", help=FINISH_FLAGS["--lens"])
    parser.add_argument("--square", metavar="CORNERS", help=FINISH_FLAGS["--square"])
    parser.add_argument("--shape", metavar="W:H", help=FINISH_FLAGS["--shape"])
    for name, option in OPTION_OF_HAND.items():
        metavar = name.rsplit("_", 1)[1].upper()
        parser.add_argument(option, type=float, metavar=metavar, dest=name, help=FINISH_FLAGS[option])


def run(args: argparse.Namespace) -> Answer:
    if args.every_shoot or args.cluster or args.cluster_keys:
        return _run_every(args)
    by_hand = {name: getattr(args, name) for name in OPTION_OF_HAND}
    squared = lens_options(args.shoot, args.set_for, args.lens, args.square, args.shape)
    if not squared or any(value is not None for value in by_hand.values()):
        set_by_hand(args.shoot, args.set_for, by_hand)
    corners = _corners(args.corners)
    if corners and args.chart is None:
        raise InputError(CORNERS_WITHOUT_CHART)
    report = finish(
        args.shoot, args.kind, args.match_to, _shares(args.grey), show_progress, tuple(args.accept),
        tuple(args.extra), tuple(args.no_extra), None if args.chart is None else (args.chart, corners),
    )  # fmt: skip
    return Answer(report, tuple(finish_lines(report, report.folder)))


def _run_every(args: argparse.Namespace) -> Answer:
    if not args.every_shoot:
        raise InputError(every.CLUSTER_FOR_EVERY)
    if args.cluster_keys and not args.cluster:
        raise InputError(every.KEYS_FOR_CLUSTER)
    by_hand = any(getattr(args, name) is not None for name in (*OPTION_OF_HAND, "lens", "square", "shape"))
    if any(
        (args.match_to, args.grey, args.accept, args.extra, args.no_extra, args.chart, args.corners, by_hand)
    ):
        raise InputError(every.ONE_SHOOT)
    report = finish_every(args.shoot, args.kind, args.cluster, args.cluster_keys, show_progress, show_waiting)
    return Answer(report, tuple(every.every_lines(report.shoots)), report.exit_status)


def _corners(text: str | None) -> Corners | None:
    if text is None:
        return None
    try:
        a, b, c, d, e, f, g, h = (float(part) for part in text.split(","))
    except ValueError as error:
        raise InputError(no_corners(text)) from error
    if not all(-2 < v < 3 for v in (a, b, c, d, e, f, g, h)):
        raise InputError(no_corners(text))
    return a, b, c, d, e, f, g, h


def _shares(text: str | None) -> tuple[float, float, float, float] | None:
    if text is None:
        return None
    try:
        x, y, w, h = (float(part) for part in text.split(","))
    except ValueError as error:
        raise InputError(no_patch(text)) from error
    return x, y, w, h
