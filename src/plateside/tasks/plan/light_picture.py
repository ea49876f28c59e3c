"""Planned pictures for a page: drawn once, then kept in the shoot's cache with their captions."""

from pathlib import Path
from typing import Any

from plateside.files.settings.load import open_shoot
from plateside.model.errors import InputError
from plateside.model.progress import Progress, silent
from plateside.tasks.light.choice import SKIES, LightChoice, picture_cache, picture_key
from plateside.tasks.plan.picture import draw_picture
from plateside.tasks.report import as_json
from plateside.words.light import refusals
from plateside.words.plan.picture import caption

SIZES = {"rough": (384, 384), "clean": (900, 900)}


def shown_picture(
    root: Path,
    choice: LightChoice,
    *,
    day: str,
    at: str,
    quality: str,
    what_if: str | None = None,
    progress: Progress = silent,
) -> Any:
    """{"key", "file", "sky", "words"} of one picture, drawn when it is not there yet.

    Pictures know skies in words: under another one it is the shoot's own that is drawn, and "sky" says which.

    at       local time HH:MM
    quality  rough or clean
    Raises InputError, MissingExtraError, CouldNotError, Cancelled.
    """
    if quality not in SIZES:
        raise InputError(refusals.no_quality(quality, tuple(SIZES)))
    cache = picture_cache(root)
    key = picture_key(root, choice, day, at, quality, what_if)
    folder = cache.path(key, "")
    shown = cache.get(f"{key}/told")
    if shown is not None and (folder / str(shown["file"])).is_file():
        return shown
    sky = choice.sky if choice.sky in SKIES else open_shoot(root).shoot.sky
    report = draw_picture(
        root, choice.shot, at=at, day=day, sky=sky, what_if=what_if, out=folder,
        size_px=None if what_if else SIZES[quality], quality=quality, progress=progress,
    )  # fmt: skip
    shown = {
        "key": key,
        "file": Path(report.file).name,
        "sky": sky,
        "width_px": report.width_px,
        "height_px": report.height_px,
        "words": [f"{d.name}: {caption(d)}" if what_if else caption(d) for d in report.drawn],
        "clipped": [as_json(d.clipped_share) for d in report.drawn],
        "engine": report.engine,
    }
    cache.put(f"{key}/told", shown)
    cache.make_room()
    return shown
