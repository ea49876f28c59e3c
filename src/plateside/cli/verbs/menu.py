"""`plateside menu`: an entry in this computer's own menu."""

import argparse

from plateside.cli.answer import Answer
from plateside.tasks.serve.menu import leave_menu, put_into_menu
from plateside.words.menu import MENU_FLAGS, MENU_HELP, NOT_THERE, taken, written

HELP = MENU_HELP


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--remove", action="store_true", help=MENU_FLAGS["--remove"])


def run(args: argparse.Namespace) -> Answer:
    if not args.remove:
        entry = put_into_menu()
        return Answer(entry, (written(entry.path),))
    entry = leave_menu()
    return Answer(entry, (taken(entry.path) if entry.there else NOT_THERE,))
