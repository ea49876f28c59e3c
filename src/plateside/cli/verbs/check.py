"""`plateside check`."""

import argparse
from pathlib import Path

from plateside.tasks.studio.check import CheckReport, check
from plateside.tasks.studio.reference import FieldsReport, fields

HELP = "read studio.toml and shoot.toml, and say everything that is wrong at once"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The shoot's folder."""
    parser.add_argument(
        "folder",
        type=Path,
        nargs="?",
        default=Path(),
        help="the shoot's folder, or a studio.toml (default: here)",
    )
    parser.add_argument(
        "--fields",
        nargs="?",
        const="",
        metavar="NAME",
        help="tell instead what every line of both files means; or one table or key, as windows or sill_m",
    )


def run(args: argparse.Namespace) -> CheckReport | FieldsReport:
    """Check the files, or tell what can stand in them."""
    return check(args.folder) if args.fields is None else fields(args.fields)
