"""`plateside demo`: the whole job on an invented kitchen and shoot."""

import argparse
import sys
from pathlib import Path

from plateside.cli.progress import show_progress
from plateside.demo.run import DemoReport, run_demo

HELP = "run the whole job on an invented kitchen and shoot, with made frames, and write a page that tells it"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "folder", nargs="?", type=Path, default=Path("demo-out"), help="where to write (demo-out)"
    )


def run(args: argparse.Namespace) -> DemoReport:
    return run_demo(args.folder, lambda words: print(words, file=sys.stderr, flush=True), show_progress)
