"""The list beside the finished pictures: what each was made from and what was done to it, written and read back."""

import json
from collections.abc import Mapping
from dataclasses import asdict, fields
from typing import Any

from plateside import __version__
from plateside.files import damage
from plateside.files.atomic import write_text
from plateside.files.folder import ShootFolder
from plateside.files.settings.load import OpenShoot
from plateside.finish.facts import FinishedShot
from plateside.finish.followed import LookOff
from plateside.model.errors import InputError
from plateside.tasks.finish.finished_list import (
    DAMAGED,
    RECORD,
    adjustments_of,
    damaged_list,
    read_rows,
    rendering_of,
)
from plateside.tasks.finish.set_look import match_from
from plateside.words import finish as words


def read_list(folder: ShootFolder) -> list[FinishedShot]:
    """What the last `finish` wrote down. Raises InputError when there is nothing, or it cannot be read."""
    try:
        return [_from_row(row) for row in read_rows(folder)]
    except DAMAGED as error:
        raise damaged_list(folder) from error


def _from_row(row: Mapping[str, Any]) -> FinishedShot:
    done = adjustments_of(row, "")
    known = {f.name: row[f.name] for f in fields(FinishedShot) if f.name in row}
    own = {
        "match": match_from(row["match"]), "from_raw": done.from_raw, "tone": done.tone, "hand": done.hand,
        "rendering": rendering_of(row), "lens": done.lens, "square": done.square,
    }  # fmt: skip
    return FinishedShot(**{**known, **own})


def noted_files(opened: OpenShoot) -> tuple[dict[str, FinishedShot], bool]:
    """file -> what the list says of it; and whether there is a list that cannot be read."""
    try:
        return {one.file: one for one in read_list(opened.folder)}, False
    except InputError:
        path = opened.folder.finished_dir / RECORD
        if path.exists():
            damage.note_rebuilt(path, words.LIST_REBUILT)
        return {}, path.exists()


def write_list(opened: OpenShoot, match_to: str, finished: list[FinishedShot], off: LookOff | None) -> None:
    """Write it down, where it is another. Raises CouldNotError."""
    record = {
        "made_by": f"Plateside {__version__}",
        "match_to": match_to,
        "look_off": None if off is None else asdict(off),
        "colour_space": "sRGB (IEC 61966-2-1)",
        "pictures": [
            {**asdict(one), "adjustments": words.adjustment_sentences(one.adjustments(match_to))}
            for one in finished
        ],
    }
    text = json.dumps(record, indent=2, ensure_ascii=False) + "\n"
    path = opened.folder.finished_dir / RECORD
    if not path.is_file() or path.read_bytes() != text.encode():
        write_text(path, text, opened.folder.workplace)
