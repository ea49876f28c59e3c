"""A folder of originals as frames: pairs joined, copies named once, what cannot be read said with the reason."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from plateside.files.originals.identity import content_hash
from plateside.files.originals.kinds import OTHER_PICTURE_ENDINGS, is_jpeg, is_raw
from plateside.files.originals.metadata import read_settings
from plateside.files.originals.pixels import stated_size
from plateside.model.errors import InputError, PlatesideError
from plateside.model.frame import Frame
from plateside.model.progress import Progress, silent


@dataclass(frozen=True)
class Unreadable:
    """A file in the frames folder that is not used, and why."""

    name: str
    """Within the frames folder, with forward slashes."""
    reason: str
    """One sentence."""


def scan_frames(
    folder: Path, progress: Progress = silent
) -> tuple[tuple[Frame, ...], tuple[Unreadable, ...]]:
    """Every frame in `folder` and its subfolders, by time taken, then name; and every file refused.

    A raw and a JPEG of the same name in the same folder are one frame (the raw is used, the JPEG is its
    companion). A file whose content is already there under an earlier name is listed as a copy, not taken
    twice. Nothing is decoded beyond the headers, nothing is written.
    Raises InputError when the folder is missing.
    """
    if not folder.is_dir():
        raise InputError(f"There is no folder {folder}; make it and put the camera's files there.")
    frames: list[Frame] = []
    refused: list[Unreadable] = []
    paths = sorted(_files(folder), key=lambda p: p.relative_to(folder).as_posix())
    companions = _companions(paths)
    used = [p for p in paths if p not in companions.values()]
    seen: dict[str, str] = {}
    for done, path in enumerate(used):
        progress(done, len(used))
        name = path.relative_to(folder).as_posix()
        if path.suffix.lower() in OTHER_PICTURE_ENDINGS:
            refused.append(
                Unreadable(name, f"{name} is a {path.suffix[1:].upper()}; frames are JPEG or raw.")
            )
            continue
        companion = companions.get(path)
        try:
            frame = read_frame(folder, path, companion)
        except PlatesideError as error:
            if companion is not None:
                # The raw is damaged, but the JPEG beside it may still be good: better than losing the frame.
                refused.append(Unreadable(name, str(error)))
                try:
                    frame = read_frame(folder, companion, None)
                except PlatesideError as second:
                    refused.append(Unreadable(companion.relative_to(folder).as_posix(), str(second)))
                    continue
            else:
                refused.append(Unreadable(name, str(error)))
                continue
        if frame.id in seen:
            refused.append(Unreadable(name, f"{name} is a copy of {seen[frame.id]}; it is taken once."))
            continue
        seen[frame.id] = frame.name
        frames.append(frame)
    progress(len(used), len(used))
    return tuple(sorted(frames, key=_order)), tuple(refused)


def frames_there(folder: Path) -> tuple[str, ...]:
    """The names of the files in `folder` that would be frames, without hashing what need not be: quick at any size.

    Pairs count once, copies once, and files whose headers cannot be read not at all. A missing folder holds none.
    """
    if not folder.is_dir():
        return ()
    paths = sorted(_files(folder), key=lambda p: p.relative_to(folder).as_posix())
    companions = _companions(paths).values()
    by_size: dict[int, list[Path]] = {}
    for path in paths:
        if path in companions or path.suffix.lower() in OTHER_PICTURE_ENDINGS:
            continue
        try:
            stated_size(path)
            by_size.setdefault(path.stat().st_size, []).append(path)
        except (PlatesideError, OSError):
            continue  # scan_frames says why
    found = []
    for same in by_size.values():
        # only files of one size can be copies of each other
        by_content = {content_hash(p) if len(same) > 1 else "": p for p in reversed(same)}
        found += [p.relative_to(folder).as_posix() for p in by_content.values()]
    return tuple(sorted(found))


def read_frame(folder: Path, path: Path, companion: Path | None = None, frame_id: str = "") -> Frame:
    """One file as a frame, from its headers. Raises InputError or CouldNotError with the reason.

    frame_id  its content's hash, when that is known already
    """
    width_px, height_px = stated_size(path)
    settings = read_settings(path)
    if settings.taken_at is None and companion is not None:
        settings = read_settings(companion)
    return Frame(
        id=frame_id or content_hash(path),
        name=path.relative_to(folder).as_posix(),
        width_px=width_px,
        height_px=height_px,
        is_raw=is_raw(path),
        settings=settings,
        companion=companion.relative_to(folder).as_posix() if companion is not None else "",
    )


def _files(folder: Path) -> Iterator[Path]:
    for path in folder.rglob("*"):
        hidden = any(part.startswith(".") for part in path.relative_to(folder).parts)
        known = is_jpeg(path) or is_raw(path) or path.suffix.lower() in OTHER_PICTURE_ENDINGS
        if not hidden and known and path.is_file():
            yield path


def _companions(paths: list[Path]) -> dict[Path, Path]:
    """For each raw, the JPEG of the same name in the same folder (letter case of the name aside)."""
    jpegs = {(p.parent, p.stem.lower()): p for p in reversed(paths) if is_jpeg(p)}
    found: dict[Path, Path] = {}
    for path in paths:
        key = (path.parent, path.stem.lower())
        if is_raw(path) and key in jpegs and jpegs[key] not in found.values():
            found[path] = jpegs[key]
    return found


def _order(frame: Frame) -> tuple[datetime, str]:
    return frame.settings.taken_at or datetime.min, frame.name
