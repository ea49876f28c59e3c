"""What the page Finish shows: every shot, its finished picture, and where small ones lie. No pixel is read here."""

import contextlib
from dataclasses import asdict
from pathlib import Path
from typing import Any

from plateside.files import damage
from plateside.files.cache import key_of, picture_or_none
from plateside.files.folder import ShootFolder, can_lie_in, shoot_folder
from plateside.files.journal.extra_shots import extra_shots
from plateside.files.journal.state import ShootState, read_state
from plateside.files.json_text import read_json_file
from plateside.files.originals.kinds import is_raw
from plateside.files.settings.load import load_shoot
from plateside.finish.hand import LIMITS, UNTOUCHED
from plateside.finish.lens_facts import OFF, LensDone
from plateside.finish.square import Square
from plateside.model.errors import InputError
from plateside.model.shoot import Shot
from plateside.tasks.choose.doubt import doubt_of
from plateside.tasks.finish.finished_list import (
    RECORD,
    accepted_as_taken,
    adjustments_of,
    look_of,
    match_to_of,
    read_rows,
    rendering_of,
    set_since,
)
from plateside.tasks.finish.hand_version import hand_version
from plateside.tasks.finish.retouched_list import came_back
from plateside.tasks.finish.retouched_now import retouched_now
from plateside.words import finish as words

SIZES = {"row": (720, 82), "view": (1600, 88), "full": (12000, 92)}
"""A finished picture as a page shows it: longest side [px] and JPEG quality."""
__all__ = [
    "OFF",
    "LensDone",
    "Square",
    "finished_picture",
    "finished_preview",
    "finishing",
    "plain_preview",
    "preview",
    "profile_of",
    "read_finished",
]

HAND_LIMITS = LIMITS
"""How far either way each thing can be set by hand."""
_ROW = {
    "shot": str, "frame": str, "frame_id": str, "chosen_by": str, "file": str, "width_px": int, "height_px": int,
    "by_hand": bool,
}  # fmt: skip
"""What a page shows of a row of the record, and of which type it is."""
Profile = tuple[tuple[float, ...], ...]
_FIGURES = ("by", "sure", "stops", "mired", "delta_e_before", "delta_e_after")


def finishing(root: Path) -> dict[str, Any]:
    """Every shot, and its finished picture when there is one."""
    shoot, state = load_shoot(root / "shoot.toml"), read_state(root)
    record = read_finished(root, state)
    by_shot = {p["shot"]: p for p in record["pictures"]}
    selects = {p["frame_id"] for p in record["pictures"] if not p["extra"]}
    folder = shoot_folder(root, shoot)
    shots = [_shot(folder, shot, state, by_shot.get(shot.name), "") for shot in shoot.shots]
    extras = [
        _shot(folder, shot, state, by_shot.get(shot.name), frame)
        for frame, shot in extra_shots(shoot, state, selects).items()
    ]
    masters, frames = ({p["shot"]: p[of] for p in record["pictures"]} for of in ("master", "frame_id"))
    return {
        "row": state.last_row, "match_to": record["match_to"], "kind": record["kind"], "shots": shots,
        "extras": extras, "came_back": came_back(folder, state, masters, frames) if masters else [],
        "charts": [(f, list(at)) for f, at in state.charts.items() if f in state.landed],
        "raws": sorted(((f, name) for f, name in state.landed.items() if is_raw(Path(name))), key=lambda r: r[1]),
        "lens": state.lens, "series_hand": asdict(state.looks.get("", UNTOUCHED)),
        "look_off": look_of(folder)[1] if record["pictures"] else None,
    }  # fmt: skip


def _shot(
    folder: ShootFolder, shot: Shot, state: ShootState, done: dict[str, Any] | None, extra: str
) -> dict[str, Any]:
    """A shot, or an extra frame under its name, and its finished picture when there is one."""
    hero = extra or state.heroes.get(shot.name, "")
    finished = done["frame_id"] if done else ""
    own = [f for f, name in state.shot_of.items() if name == shot.name and f in state.landed]
    taken = {*state.extras, hero, finished}
    return {
        "name": shot.name,
        "role": shot.role,
        "frames": len(own) + bool(extra),
        "select": state.landed.get(hero, ""),
        "picture": done,
        "as_taken": done is not None and accepted_as_taken(shot, state, finished),
        "hand": asdict(state.looks.get(shot.name, UNTOUCHED)),
        "square": state.squares.get(shot.name),
        "hand_changed": done is not None and set_since(done["adjustments"], state, shot.name),
        "preview_version": ""
        if done is None
        else hand_version(folder, state, shot.name, done["made_from_key"], folder.frames_dir / done["frame"]),
        "another_select": bool(done and hero and hero != finished),
        "doubt": None if extra else doubt_of(state, hero or finished),
        "extra": state.extras[extra].use if extra else "",
        "extra_frame": extra,
        "of": state.shot_of.get(extra, "") if extra else "",
        "others": [(f, state.landed[f]) for f in own if f not in taken],
    }


def read_finished(root: Path, state: ShootState | None = None) -> dict[str, Any]:
    """The record that `finish` keeps beside its pictures, without what no page shows; empty when there is none."""
    folder = root / "finished"
    state = state or read_state(root)
    try:
        record = read_json_file(folder / RECORD)
        match_to = match_to_of(record)
        pictures = [_shown_row(root, state, row, match_to) for row in record["pictures"]]
    except (OSError, ValueError, KeyError, TypeError) as error:
        if not isinstance(error, FileNotFoundError):
            damage.note(folder / RECORD, words.damaged_list_note(RECORD))
        return {"match_to": "", "kind": "tiff", "pictures": []}
    damage.clear(folder / RECORD)
    kind = "jpeg" if pictures and all(p["file"].endswith(".jpg") for p in pictures) else "tiff"
    return {"match_to": match_to, "kind": kind, "pictures": [p for p in pictures if p["version"]]}


def _shown_row(root: Path, state: ShootState, row: dict[str, Any], match_to: str) -> dict[str, Any]:
    shown_row = {name: row[name] for name in _ROW}
    if wrong := [name for name, kind in _ROW.items() if type(shown_row[name]) is not kind]:
        raise ValueError(wrong[0])
    if not can_lie_in(str(shown_row["file"])) or Path(shown_row["file"]).name != shown_row["file"]:
        raise ValueError("file")
    match = {name: row["match"][name] for name in _FIGURES}
    if not all(v is None or isinstance(v, str | int | float) for v in match.values()):
        raise ValueError("match")
    done = adjustments_of(row, match_to)
    match |= {"by": done.match.by, "matched": done.match.matched}
    extra, made_from = row.get("extra", False), row.get("made_from", "")
    if type(extra) is not bool or not isinstance(made_from, str):
        raise ValueError("extra, made_from")
    shown_row |= {"extra": extra, "master": shown_row["file"], "made_from_key": made_from, "retouched": None}
    folder = ShootFolder(root, root / "frames", root / "studio.toml")
    retouched = retouched_now(folder, state, row["shot"], row["frame_id"], made_from)
    if retouched is not None:
        shown_row["retouched"] = retouched
    if retouched is not None and retouched.sha256:
        shown_row |= {
            "file": retouched.file, "width_px": retouched.width_px, "height_px": retouched.height_px,
            "by_hand": True,
        }  # fmt: skip
    path = folder.finished_dir / shown_row["file"]
    version, size = "", 0
    if path.is_file():
        stat = path.stat()
        version, size = f"{stat.st_mtime_ns:x}{stat.st_size:x}", stat.st_size
    return {
        **shown_row,
        "from_raw": done.from_raw,
        "match": match,
        "adjustments": done,
        "can_be_set": rendering_of(row) is not None,
        "version": version,
        "bytes": size,
    }


def finished_picture(root: Path, shot: str) -> dict[str, Any]:
    """The finished picture of a shot. Raises InputError when there is none."""
    for picture in read_finished(root)["pictures"]:
        if picture["shot"] == shot:
            found: dict[str, Any] = picture
            return found
    raise InputError(words.NOTHING_OF_THAT_NAME)


def finished_preview(root: Path, file: str, version: str, size: str) -> Path:
    """Where a finished picture made small lies once it was made. Raises InputError for a size that is none."""
    _refuse_size(size)
    return root / ".plateside" / "shown" / file / f"{version}-{size}.jpg"


def profile_of(root: Path, frame: str) -> Profile | None:
    """The chart's profile that a finished frame's colours were made by; None: by none, or it is not finished."""
    with contextlib.suppress(InputError):
        for row in read_rows(ShootFolder(root, root / "frames", root / "studio.toml")):
            rendering = rendering_of(row) if row["frame_id"] == frame else None
            if rendering is not None:
                return rendering.profile
    return None


def plain_preview(root: Path, frame: str, size: str, profile: Profile | None) -> Path:
    """Where a raw before matching lies once it was made. Raises InputError for what is no frame or no size.

    profile  a chart's, by which its colours are made (`profile_of`): another chart is another picture
    """
    _refuse_size(size)
    if not frame.isalnum():
        raise InputError(words.NOT_FROM_A_RAW)
    by = "" if profile is None else f"{key_of(profile)[:12]}-"
    return root / ".plateside" / "shown" / "plain" / f"{frame}-{by}{size}.jpg"


def preview(path: Path) -> bytes | None:
    """The JPEG; None when it is not made yet, or was damaged: then it is made again."""
    return picture_or_none(path)


def _refuse_size(size: str) -> None:
    if size not in SIZES:
        raise InputError(words.NO_SUCH_PICTURE)
