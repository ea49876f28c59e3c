"""The list that `finish` writes beside its pictures, read; and each picture's file now. Light: the pages read it."""

import math
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from plateside.files.cache import BuildRecord, key_of
from plateside.files.checksums import hash_now
from plateside.files.folder import ShootFolder, can_lie_in
from plateside.files.journal.state import ShootState
from plateside.files.json_text import read_json_file
from plateside.files.originals.kinds import is_raw
from plateside.finish.facts import (
    CALM,
    ROLLED_OFF,
    STRAIGHT,
    Adjustments,
    MatchFacts,
    Rendering,
    by_now,
)
from plateside.finish.followed import CARD, OTHERS, TEST_FRAME, LookOff
from plateside.finish.hand import hand_of
from plateside.finish.lens_facts import OFF, lens_done_of
from plateside.finish.square import square_of
from plateside.model.errors import InputError
from plateside.model.shoot import Shot
from plateside.tasks.finish.retouched_now import GONE, RetouchedNow, retouched_now
from plateside.words import finish as words

RECORD = "adjustments.json"
TONES = (CALM, ROLLED_OFF, STRAIGHT)
WAYS = (CARD, TEST_FRAME, OTHERS)
BUILD_RECORD = "finish.json"
"""What `finish` keeps under .plateside."""
AS_SEEN_RECORD = "as-seen.json"
"""How bright the cameras show their raws; the page's pictures ask for it too, so it has a file of its own."""
_APART = ("delta_e_before", "delta_e_after", "delta_e_widely", "delta_e_there", "delta_e_raised")
DAMAGED = (OSError, ValueError, KeyError, TypeError, AttributeError, OverflowError, RecursionError)
"""What reading a list that was damaged may end in."""


@dataclass(frozen=True)
class FinishedEntry:
    """One finished picture, as the list tells of it."""

    shot: str
    frame: str
    frame_id: str
    file: str
    sha256: str
    by_hand: bool
    adjustments: Adjustments
    """what was done to it"""
    made_from: str = ""
    """key of everything it was made from"""
    extra: bool = False
    """of a frame beside the select"""


def read_rows(folder: ShootFolder) -> list[Mapping[str, Any]]:
    """The rows of the list, each checked. Raises InputError when there is none, or none that can be read."""
    path = folder.finished_dir / RECORD
    try:
        rows = read_json_file(path)["pictures"]
        if not isinstance(rows, list):
            raise TypeError("pictures are a list")
        return [_checked(row) for row in rows]
    except FileNotFoundError as error:
        raise InputError(*words.nothing_finished(folder.root)) from error
    except DAMAGED as error:
        raise damaged_list(folder) from error


def damaged_list(folder: ShootFolder) -> InputError:
    """That the list cannot be read, and what to do."""
    return InputError(*words.damaged_list(RECORD, folder.root))


def match_to_of(record: Mapping[str, Any]) -> str:
    """The shot that a list's series is matched to. Raises KeyError, TypeError when it names none."""
    # lists of earlier versions called it by another name
    name = record["match_to"] if "match_to" in record else record["reference"]
    if not isinstance(name, str):
        raise TypeError("match_to")
    return name


def look_of(folder: ShootFolder) -> tuple[str, LookOff | None]:
    """The shot that the series is matched to, and how far its own look is off; None when it is not."""
    try:
        record = read_json_file(folder.finished_dir / RECORD)
        match_to, off = match_to_of(record), record.get("look_off")
        if off is None:
            return match_to, None
        figures = float(off["stops"]), float(off["mired"])
        if off["by"] not in WAYS or not all(map(math.isfinite, figures)) or not any(figures):
            return match_to, None
        return match_to, LookOff(off["by"], *figures)
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return "", None


def adjustments_of(row: Mapping[str, Any], match_to: str) -> Adjustments:
    """What was done to a picture, from a row that was checked."""
    m = row["match"]
    figures = {
        name: float(m.get(name) or 0.0)
        for name in ("stops", "mired", "lacking_stops", "lacking_mired", "evened_stops")
    }
    figures |= {name: float(m.get(name, 0.5)) for name in ("there_x", "there_y")}
    apart = {name: m.get(name) for name in _APART}
    # lists of earlier versions leave both to the kind of file
    from_raw = row.get("from_raw", is_raw(Path(row["frame"])))
    tone = row.get("tone", CALM if from_raw else STRAIGHT)
    return Adjustments(
        row["frame"],
        from_raw,
        match_to,
        MatchFacts(by_now(m["by"]), **figures, **apart),
        tone,
        row.get("noise_evened") is True,
        hand_of(row.get("hand", {})),
        row["by_hand"],
        *_chart_of(row),
        lens_done_of(row.get("lens")),
        square_of(row.get("square")),
        row.get("noise_unknown") is True,
        row.get("profile_damaged") is True,
    )


def _checked(row: dict[str, Any]) -> dict[str, Any]:
    """The row. Raises ValueError, KeyError, TypeError when `finish` did not write it."""
    for name in ("shot", "frame", "frame_id", "chosen_by", "file", "sha256", "made_from"):
        if not isinstance(row[name], str):
            raise TypeError(f"{name} is no text")
    if (
        not can_lie_in(row["file"])
        or Path(row["file"]).name != row["file"]
        or not isinstance(row["by_hand"], bool)
    ):
        raise ValueError("file, by_hand")
    if not all(isinstance(row[name], int) and 0 <= row[name] < 1 << 20 for name in ("width_px", "height_px")):
        raise ValueError("size")
    if not isinstance(row.get("extra", False), bool):
        raise TypeError("extra")
    if not isinstance(row.get("from_raw", False), bool) or row.get("tone", STRAIGHT) not in TONES:
        raise TypeError("from_raw, tone")
    hand_of(row.get("hand", {}))
    rendering_of(row)
    _chart_of(row)
    lens_done_of(row.get("lens"))
    square_of(row.get("square"))
    match = row["match"]
    if not isinstance(match["by"], str) or not all(_is_number(match[name]) for name in ("stops", "mired")):
        raise TypeError("match")
    if not all(
        match.get(name) is None or _is_number(match[name])
        for name in ("lacking_stops", "lacking_mired", "there_x", "there_y", "evened_stops", *_APART)
    ):
        raise TypeError("match")
    return row


def rendering_of(row: Mapping[str, Any]) -> Rendering | None:
    """By what a row's picture was made; None: an earlier version did not say. Raises as `_checked` does."""
    r = row.get("rendering")
    if r is None:
        return None
    balance = r["white_balance"]
    numbers = [*r["gains"], *(balance or ()), r["contrast"], r["white"]]
    threes = [r["gains"], *([] if balance is None else [balance])]
    if not all(_is_number(v) and 0 < v < 1e6 for v in numbers) or any(len(v) != 3 for v in threes):
        raise ValueError("rendering")
    red, green, blue = r["gains"]
    multipliers = None if balance is None else (float(balance[0]), float(balance[1]), float(balance[2]))
    terms = r.get("profile")
    if terms is not None and not (
        len(terms) == 3 and all(len(line) == 6 and all(_is_number(v) for v in line) for line in terms)
    ):
        raise ValueError("rendering")
    profile = None if terms is None else tuple(tuple(float(v) for v in line) for line in terms)
    return Rendering(
        (float(red), float(green), float(blue)), multipliers, float(r["contrast"]), float(r["white"]), profile
    )


def _chart_of(row: Mapping[str, Any]) -> tuple[str, float]:
    name, apart = row.get("chart", ""), row.get("chart_delta_e", 0.0)
    if not isinstance(name, str) or not _is_number(apart):
        raise TypeError("chart")
    return name, float(apart)


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)


def accepted_as_taken(shot: Shot, state: ShootState, frame_id: str) -> bool:
    """Whether its picture may differ from the series: by the shot list, or as you said of this very frame."""
    return "unmatched" in shot.deliberate or state.as_taken.get(shot.name) == frame_id


def set_since(done: Adjustments, state: ShootState, shot: str) -> bool:
    """Whether its file is not yet as it is set now."""
    if done.hand != state.hand(shot) or done.square != state.squares.get(shot):
        return True
    if not done.from_raw:
        return False
    off = state.lens == OFF
    return off != (done.lens.code == OFF) or (not off and done.lens.another(state.lens))


def placed(record: BuildRecord, file: str) -> set[str]:
    """Hashes under which `file` was ever put in place by `finish`, or was about to be when a run was cut short.

    made  the record MADE under .plateside
    """
    hashes = (record.entry(f"placed {file}") or {}).get("hashes", ())
    return {str(h) for h in hashes if h} if isinstance(hashes, list) else set()


@dataclass(frozen=True)
class FinishedNow:
    """A finished picture of the list, and its file as it is now."""

    one: FinishedEntry
    sha256: str
    """of the file that counts, which may be retouched; empty: it is gone"""
    ours: bool
    """the file is one that `finish` wrote"""
    retouched: RetouchedNow | None = None
    """your retouched file, which counts in its place"""

    @property
    def file(self) -> str:
        """The file that counts, under finished/."""
        return (
            self.one.file if self.retouched is None or self.retouched.wrong == GONE else self.retouched.file
        )

    @property
    def cut_short(self) -> bool:
        """The file was replaced by a run that did not come to write its list."""
        return self.ours and self.sha256 != self.one.sha256

    @property
    def by_hand(self) -> bool:
        """The file was changed by hand since it was written."""
        return bool(self.sha256) and not self.ours

    @property
    def digest(self) -> str:
        """Of the picture and of what is said of it."""
        return key_of(self.sha256, self.one.frame, asdict(self.one.adjustments))


def selects_of(finished: Mapping[str, FinishedNow]) -> set[str]:
    """Frames that are finished as selects."""
    return {now.one.frame_id for now in finished.values() if not now.one.extra}


def finished_now(folder: ShootFolder, state: ShootState) -> dict[str, FinishedNow]:
    """Shot -> its finished picture. Raises InputError when there is no list that can be read."""
    record = BuildRecord(folder.plateside_dir / BUILD_RECORD)
    found = {}
    rows = read_rows(folder)
    match_to, _off = look_of(folder)
    for row in rows:
        one = FinishedEntry(
            row["shot"], row["frame"], row["frame_id"], row["file"], row["sha256"], row["by_hand"],
            adjustments_of(row, match_to), row["made_from"], row.get("extra", False),
        )  # fmt: skip
        sha256 = hash_now(folder.finished_dir / one.file)
        own = (
            {record.last(one.file, "sha256")}
            | ({one.sha256} if not one.by_hand else set())
            | placed(record, one.file)
        )
        retouched = retouched_now(folder, state, one.shot, one.frame_id, one.made_from)
        if retouched is not None and retouched.sha256:
            found[one.shot] = FinishedNow(one, retouched.sha256, False, retouched)
        else:
            found[one.shot] = FinishedNow(one, sha256, bool(sha256) and sha256 in own, retouched)
    return found
