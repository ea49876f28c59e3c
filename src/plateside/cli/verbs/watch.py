"""plateside watch: each frame judged as it lands, in words that are read from two metres."""

import argparse
import json
import shutil
import sys
from pathlib import Path

from plateside.cli.big_words import large, small
from plateside.tasks.report import as_json
from plateside.tasks.set.told import Told
from plateside.tasks.set.watch import WatchReport, watch

HELP = "watch the frames folder and judge each frame as it lands"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Which shoot, and how to tell."""
    parser.add_argument("shoot", nargs="?", default=".", metavar="SHOOT", help="the shoot's folder")
    parser.add_argument(
        "--once", action="store_true", help="judge what is there and what is landing, then stop"
    )
    parser.add_argument("--quiet", action="store_true", help="no sound")
    parser.add_argument(
        "--plain", action="store_true", help="a line for each verdict instead of large letters"
    )


def run(args: argparse.Namespace) -> WatchReport:
    """Watch until Ctrl-C (a stop by hand is a good end: the tally is told)."""
    columns = shutil.get_terminal_size((80, 24)).columns
    plain = args.plain or not sys.stdout.isatty()

    def say(told: Told) -> None:
        if args.json:
            print(json.dumps(as_json(told), ensure_ascii=False), flush=True)
        else:
            print("\n".join(picture(told, columns, plain=plain, quiet=args.quiet)), flush=True)

    if not args.json:
        print(f"Watching the frames of {Path(args.shoot).resolve().name}. Ctrl-C stops.", flush=True)
    return watch(Path(args.shoot), say, once=args.once)


def picture(told: Told, columns: int, *, plain: bool, quiet: bool) -> list[str]:
    """What is printed for one thing told. One bell: keep it; two bells: something to change."""
    if told.kind == "provisional":
        raw = told.judged is not None and told.judged.frame.is_raw
        to_come = "the raw is being read" if raw else "the rest is being looked at"
        return [f"{told.name}  {told.word} so far, {to_come}"]
    if told.kind == "burst" and not plain:
        return [*small(told.words, columns), ""]
    if told.kind != "verdict":
        return [told.words]
    bell = "" if quiet else ("\a" if told.word == "good" else "\a\a")
    shot = f"  ({told.shot})" if told.shot else ""
    judged = told.judged
    if plain:
        return [bell + (judged.line() if judged else f"{told.name}  {told.word}  {told.words}{shot}")]
    rest = [f"  then: {act.words}" for act in judged.verdict.acts[1:]] if judged else []
    because = [f"  {judged.verdict.sure_because}"] if judged and judged.verdict.sure_because else []
    return [
        bell, *large(told.word, columns), "", *small(told.words, columns), "",
        f"{told.name}{shot}", *rest, *because, "",
    ]  # fmt: skip
