"""`plateside demo`: the whole job on an invented kitchen and shoot."""

import argparse
import sys
from pathlib import Path

from plateside.cli.progress import show_progress
from plateside.demo.run import DemoReport, run_demo
from plateside.words.commands import DEMO_FLAGS, DEMO_HELP

HELP = DEMO_HELP


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("folder", nargs="?", type=Path, default=Path("demo-out"), help=DEMO_FLAGS["folder"])


def run(args: argparse.Namespace) -> DemoReport:
    return run_demo(args.folder, lambda words: print(words, file=sys.stderr, flush=True), show_progress)
