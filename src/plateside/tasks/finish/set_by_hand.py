"""What you set by hand from the command line, for one picture or the series: the rows that a page's press writes."""

from collections.abc import Mapping
from dataclasses import asdict
from pathlib import Path

from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.files.settings.load import open_shoot
from plateside.finish.hand import LIMITS, UNTOUCHED, hand_of
from plateside.model.errors import InputError
from plateside.words import finish_options as words


def set_by_hand(given: Path, shot: str, values: Mapping[str, float | None]) -> None:
    """Write down what is set; what is not named stays as it was, and 0 takes it back.

    shot    one of the shoot's; empty: the whole series
    values  by the names of LIMITS; None: not named
    Raises InputError for what is no shot, or outside its limits. Nothing is written when nothing changes.
    """
    named = {name: value for name, value in values.items() if value is not None}
    if not named:
        if shot:
            raise InputError(words.nothing_set_for(shot))
        return
    opened = open_shoot(given)
    names = [one.name for one in opened.shoot.shots]
    if shot and shot not in names:
        raise InputError(words.no_shot_to_set(shot, names))
    before = read_state(opened.folder.root).looks.get(shot, UNTOUCHED)
    try:
        after = hand_of({**asdict(before), **named})
    except ValueError as error:
        name = str(error)
        raise InputError(words.outside_limits(name, named[name], LIMITS[name])) from error
    if after != before:
        Journal.open(opened.folder.root).append_many([("look", {"shot": shot, **asdict(after)})])
