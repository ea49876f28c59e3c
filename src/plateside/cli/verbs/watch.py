"""plateside watch: each frame judged as it lands, large enough to read from two metres."""

import argparse
import json
import shutil
import sys
from pathlib import Path

from plateside.cli.big_words import large, small
from plateside.tasks.report import as_json
from plateside.tasks.set.events import Event
from plateside.tasks.set.folders import name_folders
from plateside.tasks.set.watch import watch
from plateside.tasks.set.watch_report import WatchReport
from plateside.words.commands import SHOOT_OR_HERE, WATCH_FLAGS, WATCH_HELP
from plateside.words.set.acts import act_sentence
from plateside.words.set.events import quick_look_line, then_line, watching_sentence
from plateside.words.set.verdicts import judged_sentence, shot_phrase

HELP = WATCH_HELP


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Which shoot, and how to tell."""
    parser.add_argument("shoot", nargs="?", default=".", metavar="SHOOT", help=SHOOT_OR_HERE)
    parser.add_argument("--once", action="store_true", help=WATCH_FLAGS["--once"])
    parser.add_argument("--quiet", action="store_true", help=WATCH_FLAGS["--quiet"])
    parser.add_argument("--plain", action="store_true", help=WATCH_FLAGS["--plain"])
    parser.add_argument("--second-disk", metavar="FOLDER", help=WATCH_FLAGS["--second-disk"])
    parser.add_argument("--memory-card", metavar="FOLDER", help=WATCH_FLAGS["--memory-card"])


def run(args: argparse.Namespace) -> WatchReport:
    """Watch until Ctrl-C (a stop by hand is a good end: the tally follows)."""
    columns = shutil.get_terminal_size((80, 24)).columns
    plain = args.plain or not sys.stdout.isatty()

    def say(event: Event) -> None:
        if args.json:
            print(json.dumps(as_json(event), ensure_ascii=False), flush=True)
        else:
            lines = picture(event, columns, plain=plain, quiet=args.quiet)
            if lines:
                print("\n".join(lines), flush=True)

    named = {"second_disk": args.second_disk, "memory_card": args.memory_card}
    # a folder typed here is one from here on
    given = {
        field: str(Path(text).expanduser().absolute()) if text else ""
        for field, text in named.items()
        if text is not None
    }
    if given:
        report = name_folders(Path(args.shoot), given)
        if not args.json:
            print("\n".join(report.lines()), flush=True)
    if not args.json:
        print(watching_sentence(Path(args.shoot).resolve().name), flush=True)
    return watch(Path(args.shoot), say, once=args.once)


def picture(event: Event, columns: int, *, plain: bool, quiet: bool) -> list[str]:
    """What is printed for one event. One bell: keep it; two bells: something to change."""
    if event.kind == "safe" and not event.words:
        return []
    if event.kind == "provisional":
        raw = event.judged is not None and event.judged.frame.is_raw
        return [quick_look_line(event.name, event.word, raw)]
    if event.kind == "burst" and not plain:
        return [*small(event.words, columns), ""]
    if event.kind != "verdict":
        return [event.words]
    bell = "" if quiet else ("\a" if event.word == "good" else "\a\a")
    shot = shot_phrase(event.shot)
    judged = event.judged
    if plain:
        return [bell + (judged.line() if judged else f"{event.name}  {event.word}  {event.words}{shot}")]
    rest = [then_line(act_sentence(act)) for act in judged.verdict.acts[1:]] if judged else []
    because = [f"  {judged_sentence(judged.verdict)}"] if judged else []
    return [
        bell, *large(event.word, columns), "", *small(event.words, columns), "",
        f"{event.name}{shot}", *rest, *because, "",
    ]  # fmt: skip
