"""A folder of originals as frames: pairs joined, copies named once, what cannot be read said with the reason."""

import contextlib
from collections import defaultdict
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from plateside.files.index.index import Index
from plateside.files.originals.identity import content_hash
from plateside.files.originals.kinds import is_raw
from plateside.files.originals.listing import ListedFile, list_folder, of_other_kind
from plateside.files.originals.metadata import read_settings
from plateside.files.originals.pixels import size_and_settings, stated_size
from plateside.files.originals.unreadable import Unreadable, shown, stem_key, unreadable
from plateside.files.originals.whole import check_whole
from plateside.model.errors import InputError, PlatesideError
from plateside.model.frame import Frame, Settings
from plateside.model.progress import Progress, silent
from plateside.words import originals as words

HEADERS_VERSION = "1"
"""Raised when more, or something else, is read from a file's headers, so that what is kept is read anew."""


def scan_frames(
    folder: Path, progress: Progress = silent, index: Index | None = None
) -> tuple[tuple[Frame, ...], tuple[Unreadable, ...]]:
    """Every frame in `folder` and its subfolders, by time taken, then name; and every file refused.

    A raw and a JPEG or HEIC of the same name in the same folder are one frame (the raw is used, the other is its
    companion). A file whose content is already there under an earlier name is listed as a copy, not taken
    twice. Nothing is decoded beyond the headers, nothing is written.
    index  what it knows of a file that has not changed since is not read again
    Raises InputError when the folder is missing.
    """
    if not folder.is_dir():
        raise InputError(words.no_folder(shown(str(folder))))
    frames: list[Frame] = []
    listing = list_folder(folder)
    refused = [*listing.refused, *(of_other_kind(folder, one) for one in listing.others)]
    companions, used = pairs_of(listing.frames)
    first_of: dict[str, str] = {}
    for done, one in enumerate(used):
        progress(done, len(used))
        frame = None
        for tried, companion in ((one, companions.get(one.name)), (companions.get(one.name), None)):
            # when the raw is damaged the JPEG beside it may still be good: better than losing the frame
            if tried is None or frame is not None:
                continue
            try:
                frame = _frame_of(folder, tried, companion, index)
            except PlatesideError as error:
                fact = unreadable(tried.name, error)
                refused += [fact] if fact.code != "gone" else []
        if frame is None:
            continue
        if frame.id in first_of:
            said = words.copy_of(frame.name, first_of[frame.id])
            refused.append(Unreadable(frame.name, said, "copy"))
            continue
        first_of[frame.id] = frame.name
        frames.append(frame)
    progress(len(used), len(used))
    return tuple(sorted(frames, key=_order)), tuple(sorted(refused, key=lambda r: r.name))


def frames_there(folder: Path, index: Index | None = None) -> tuple[str, ...]:
    """The names of the files in `folder` that would be frames, without hashing what need not be: quick at any size.

    index  what it knows of a file that has not changed since is not read again
    Pairs count once, copies once, and files whose headers cannot be read not at all. A missing folder holds none.
    """
    known: dict[str, str] = {}
    by_size: dict[int, list[str]] = defaultdict(list)
    for one in pairs_of(list_folder(folder).frames)[1]:
        with contextlib.suppress(PlatesideError):  # scan_frames says why
            identity = index.identity(one.name, one.size, one.mtime_ns) if index is not None else None
            if identity is not None:
                known[one.name] = identity
            else:
                stated_size(folder / one.name)
            by_size[one.size].append(one.name)
    found: list[str] = []
    for same in by_size.values():
        # only files of one size can be copies of each other
        with contextlib.suppress(PlatesideError):
            by_content = {
                (known.get(n) or content_hash(folder / n)) if len(same) > 1 else "": n for n in reversed(same)
            }
            found += by_content.values()
    return tuple(sorted(found))


def read_frame(folder: Path, path: Path, companion: Path | None = None, frame_id: str = "") -> Frame:
    """One file as a frame, from its headers. Raises InputError or CouldNotError with the reason.

    frame_id  its content's hash, when that is known already
    """
    check_whole(path)
    return _frame(folder, path, companion, frame_id or content_hash(path), size_and_settings(path))


def read_whole_frame(
    folder: Path, path: Path, companion: Path | None, frame_id: str, index: Index | None
) -> Frame:
    """As `read_frame`, of a file that is known to be whole; its headers come from the index when they are there."""
    known = index.facts(frame_id, "headers", HEADERS_VERSION) if index is not None else None
    headers = _known(known) if known is not None else None
    if headers is None:
        headers = size_and_settings(path)
        if index is not None:
            wide, high, settings = headers
            facts_then = {"width_px": wide, "height_px": high, "settings": _facts_of(settings)}
            index.put_facts(frame_id, facts_then, "headers", HEADERS_VERSION)
    return _frame(folder, path, companion, frame_id, headers)


def pairs_of(files: list[ListedFile]) -> tuple[dict[str, ListedFile], list[ListedFile]]:
    """For each raw's name the JPEG or HEIC beside it (a JPEG first); and all files but those that are of a raw."""
    beside: dict[tuple[str, str], list[ListedFile]] = defaultdict(list)
    with_raw: set[tuple[str, str]] = set()
    keys = {one.name: stem_key(Path(one.name)) for one in files}
    for one in files:
        if one.kind == "raw":
            with_raw.add(keys[one.name])
        else:
            beside[keys[one.name]].append(one)
    companions: dict[str, ListedFile] = {}
    given: set[tuple[str, str]] = set()
    for one in files:
        key = keys[one.name]
        # two raws of one name: the JPEG is the first one's
        if one.kind == "raw" and key in beside and key not in given:
            given.add(key)
            companions[one.name] = min(beside[key], key=_jpeg_first)
    return companions, [one for one in files if one.kind == "raw" or keys[one.name] not in with_raw]


def _jpeg_first(one: ListedFile) -> tuple[bool, str]:
    return one.name.lower().endswith(("hif", "heic", "heif", "heics", "heifs")), one.name


def _frame_of(folder: Path, one: ListedFile, companion: ListedFile | None, index: Index | None) -> Frame:
    path = folder / one.name
    known = index.identity(one.name, one.size, one.mtime_ns) if index is not None else None
    if known is None:
        check_whole(path)
        known = content_hash(path)
        beside = folder / companion.name if companion else None
        frame = read_whole_frame(folder, path, beside, known, index)
        # only what has proved to be a frame is remembered as one
        if index is not None:
            index.put_identity(one.name, one.size, one.mtime_ns, known)
        return frame
    return read_whole_frame(folder, path, folder / companion.name if companion else None, known, index)


def _known(known: Mapping[str, Any]) -> tuple[int, int, Settings] | None:
    """Headers as the index keeps them; None when they are not as they should be."""
    try:
        settings_then = dict(known["settings"])
        settings_then["taken_at"] = (
            datetime.fromisoformat(settings_then["taken_at"]) if settings_then["taken_at"] else None
        )
        return int(known["width_px"]), int(known["height_px"]), Settings(**settings_then)
    except (KeyError, TypeError, ValueError):
        return None


def _frame(
    folder: Path, path: Path, companion: Path | None, frame_id: str, headers: tuple[int, int, Settings]
) -> Frame:
    width_px, height_px, settings = headers
    if settings.taken_at is None and companion is not None:
        settings = read_settings(companion)
    return Frame(
        id=frame_id,
        name=path.relative_to(folder).as_posix(),
        width_px=width_px,
        height_px=height_px,
        is_raw=is_raw(path),
        settings=settings,
        companion=companion.relative_to(folder).as_posix() if companion is not None else "",
    )


def _facts_of(settings: Settings) -> dict[str, Any]:
    settings_then = dict(vars(settings))
    return settings_then | {"taken_at": settings.taken_at.isoformat() if settings.taken_at else ""}


def _order(frame: Frame) -> tuple[datetime, str]:
    return frame.settings.taken_at or datetime.min, frame.name
