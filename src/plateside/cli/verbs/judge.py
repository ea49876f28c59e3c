"""plateside judge: what is wrong with each frame, and the one next act."""

import argparse
from pathlib import Path

from plateside.cli.progress import show_progress
from plateside.files.folder import SHOOT_FILE
from plateside.tasks.judge import JudgeReport, judge_frames

HELP = "judge frames: good, adjust or again, with the one next act"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Frames to judge, and the shoot they belong to."""
    parser.add_argument(
        "frames", nargs="*", metavar="FRAME", help="file names in the frames folder; none: all of them"
    )
    parser.add_argument(
        "--shoot", default="", metavar="FOLDER", help="the shoot's folder (default: this one)"
    )
    parser.add_argument("--dry", action="store_true", help="write nothing into the journal")


def run(args: argparse.Namespace) -> JudgeReport:
    """Judge them."""
    names = list(args.frames)
    shoot = args.shoot
    if not shoot and names and (Path(names[0]) / SHOOT_FILE).is_file():
        shoot = names.pop(0)
    return judge_frames(Path(shoot or "."), names, show_progress, record=not args.dry)
