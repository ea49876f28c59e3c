"""What is on two disks, what on one only, and whether the memory card may be cleared.

Facts as tasks/set/safe.py has them; each sentence says what is so first, then what to do about it.
"""

from collections.abc import Mapping, Sequence
from typing import Protocol

from plateside.words.counting import capital, in_letters, listed, plural

MOST_SAID = 3
"""Of names in one sentence."""


class _Left(Protocol):
    @property
    def name(self) -> str: ...
    @property
    def code(self) -> str: ...
    @property
    def reason(self) -> str: ...


class _Card(Protocol):
    @property
    def folder(self) -> str: ...
    @property
    def state(self) -> str: ...
    @property
    def pictures(self) -> int: ...
    @property
    def landed(self) -> int: ...
    @property
    def on_two(self) -> int: ...
    @property
    def left(self) -> Sequence[_Left]: ...
    @property
    def left_count(self) -> int: ...
    @property
    def may_be_cleared(self) -> bool: ...
    @property
    def second_is_card(self) -> bool: ...


class _Safe(Protocol):
    @property
    def folder(self) -> str: ...
    @property
    def state(self) -> str: ...
    @property
    def reason(self) -> str: ...
    @property
    def disks(self) -> str: ...
    @property
    def total(self) -> int: ...
    @property
    def on_two(self) -> int: ...
    @property
    def left(self) -> Sequence[_Left]: ...
    @property
    def left_count(self) -> int: ...
    @property
    def kept_as(self) -> Sequence[tuple[str, str]]: ...


NONE = "Originals are on one disk only. Name a folder on a second disk, and each is copied there as it lands."
STATES: Mapping[str, str] = {
    "starting": "Looking at the second disk ({folder}).",
    "away": "The second disk ({folder}) is not there: plug it in, and copying goes on by itself. If it is a new disk, "
    "save its folder once more.",
    "other disk": "Another disk is in its place ({folder}): plug in the one from before, or save its folder once more "
    "to use this one.",
    "not a folder": "{folder} is a file, not a folder. Name a folder on the second disk.",
    "inside": "{folder} is in the shoot's own folder, or around it. Name a folder on another disk.",
    "full": "The second disk ({folder}) is full. Free some space there, and copying goes on by itself.",
    "read only": "The second disk ({folder}) is read-only. Allow writing on it, or name a folder on another.",
    "not permitted": "Nothing may be written to {folder}. Change the folder's permissions, or name another.",
    "failed": "The second disk ({folder}) refuses: {reason}. Trying again; if it goes on, use another disk.",
}
"""Of the second disk; `folder` is the last part of its path."""
NOT_NOW = "Nothing is copied while new frames are not watched for."
SAME_DISK = "{folder} is on the same disk as the shoot: that is not a second disk. Name a folder on another."
NOT_KNOWN = "This system does not tell whether {folder} is a disk of its own: see that it is."
CARD_STATES: Mapping[str, str] = {
    "starting": "Looking at the memory card ({folder}).",
    "away": "The memory card ({folder}) is not in.",
    "not a folder": "{folder} is a file, not the memory card's folder.",
    "inside": "{folder} is in the shoot's own folder, or around it: that is no memory card.",
    "unread": "The memory card ({folder}) cannot be read. Take it out and put it in again.",
}
_LEFT: Mapping[str, str] = {
    "waiting": "", "still coming": "still coming in", "incomplete": "incomplete", "unread": "cannot be read",
    "differs": "read back otherwise than written: this disk may be failing", "not a picture": "not a photograph",
    "in before": "taken from the card before, then removed from the frames folder", "no room": "not copied",
}  # fmt: skip


def bag_description(name: str) -> str:
    """What stands in the copies' own list."""
    return f"{name}: originals, copied as they landed. The list grows by a line for each."


def short(safe: _Safe, card: _Card | None) -> str:
    """Beside the frame, in a few words; empty when there is nothing to do or to wait for."""
    if safe.state not in ("ok", "starting", "none"):
        return {"away": "second disk not there", "full": "second disk full"}.get(
            safe.state, "second disk refuses"
        )
    if card is not None and card.may_be_cleared:
        return "memory card may be cleared"
    if safe.state == "none" or (safe.state == "starting" and not safe.total):
        return ""
    if safe.disks == "same":
        return "one disk only"
    return "" if safe.total == safe.on_two else f"{safe.on_two} of {safe.total} on two disks"


def sentences(safe: _Safe) -> list[str]:
    """All that there is to say of the second disk, what matters first."""
    if safe.state == "none":
        return [NONE]
    said = []
    if safe.state != "ok":
        said.append(STATES[safe.state].format(folder=safe.folder, reason=safe.reason or "no reason given"))
    if safe.state == "ok" and safe.disks == "same":
        return [SAME_DISK.format(folder=safe.folder), _copied_there(safe)]
    if safe.total and (safe.state == "ok" or safe.on_two):
        said.append(_counted(safe))
    if safe.state == "ok" and safe.disks == "unknown":
        said.append(NOT_KNOWN.format(folder=safe.folder))
    said += [f"{name} is {kept} there: another file had its name, and stays." for name, kept in safe.kept_as]
    return said


def _copied_there(safe: _Safe) -> str:
    return f"Copied there all the same: {safe.on_two} of {safe.total}."


def _counted(safe: _Safe) -> str:
    count = f"On two disks: {safe.on_two} of {safe.total}."
    if not safe.left_count:
        return count
    verb = "is" if safe.left_count == 1 else "are"
    names = _named(safe.left, safe.left_count)
    return f"{count} {capital(in_letters(safe.left_count))} {verb} on one disk only: {names}."


def _named(left: Sequence[_Left], count: int) -> str:
    names = [f"{one.name} ({_LEFT[one.code]})" if _LEFT[one.code] else one.name for one in left[:MOST_SAID]]
    more = count - len(names)
    return listed([*names, f"{more} more"] if more > 0 else names)


def card_sentences(card: _Card, *, second: bool) -> list[str]:
    """All that there is to say of the memory card. `second`: a second disk is named."""
    if card.state != "ok":
        return [CARD_STATES[card.state].format(folder=card.folder)]
    if not card.pictures and not card.left_count:
        return [f"The memory card ({card.folder}) has no photographs."]
    if card.may_be_cleared:
        all_of_it = (
            f"all {card.pictures} photographs on it are" if card.pictures > 1 else "the photograph on it is"
        )
        return [f"The memory card may be cleared: {all_of_it} on two disks."]
    fixed = [one for one in card.left if one.code != "waiting"]
    if card.on_two == card.pictures and not card.second_is_card:
        yourself = f"Before you clear it, copy yourself: {_named(fixed, card.left_count)}."
        if not card.pictures:
            return [f"The memory card ({card.folder}) has no photographs. {yourself}"]
        return [f"On two disks from the memory card: {card.on_two} of {card.pictures}. {yourself}"]
    said = [f"Do not clear the memory card yet. {_progress(card)}"]
    if card.second_is_card:
        said.append("The second disk is the memory card itself: name a folder on another disk.")
    if not second:
        said.append("Name a second disk first.")
    return said + [one.reason or f"{one.name}: {_LEFT[one.code]}." for one in fixed]


def _progress(card: _Card) -> str:
    landed = f"{card.landed} {'is' if card.landed == 1 else 'are'} in the frames folder"
    return f"Of {plural(card.pictures, 'photograph')} on it, {landed}, {card.on_two} on two disks."


def told(safe: _Safe, card: _Card | None) -> list[str]:
    """What a watcher says in the terminal when it has changed."""
    said = sentences(safe) if safe.state != "none" else []
    return said + (card_sentences(card, second=safe.state != "none") if card is not None else [])


# what is said while the folders are named
SAVED: Mapping[str, str] = {
    "second disk": "Originals are copied to {folder} from now on.",
    "memory card": "Photographs on {folder} come into the frames folder from now on.",
    "no second disk": "Originals are no longer copied. What is there stays there.",
    "no memory card": "No memory card's folder any more.",
}
NO_FOLDER = "{path} is not there. Plug in the disk or card, or type the folder as the system shows it."
NOT_A_FOLDER = "{path} is a file. Type the folder that it is in."
INSIDE = "{path} is in the shoot's own folder, or around it. Choose a folder on another disk."
OPENED = "Opened {path}."
NO_OPENER = "This system has no window to open folders with ({program} is missing). The folder is {path}."
NOT_OPENED = "The folder could not be opened ({reason}). It is {path}."
REFUSED_BY = "{program} ended with {code}"
NO_FRAMES_FOLDER = "There is no folder {path} yet: it is made with the first photograph."
