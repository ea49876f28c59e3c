"""Draw the planned picture of a planned shot, once for each key."""

from contextlib import suppress
from pathlib import Path

from plateside.files.cache import write_sealed_json
from plateside.model.errors import Cancelled, PlatesideError
from plateside.model.progress import Progress, silent
from plateside.picture.drawn_shot import load_renderer
from plateside.tasks.named import check_windows
from plateside.tasks.plan.picture import draw_set_up
from plateside.tasks.plan.picture_cache import SIZES, PlannedPicture, facts_of, make_room, picture_path
from plateside.tasks.plan.picture_engine import find_engine
from plateside.tasks.plan.planned import Memory, picture_key, work_out
from plateside.words.plan import refusals
from plateside.words.plan.picture import caption


def make_ready(root: Path, memory: Memory, progress: Progress = silent) -> None:
    """What the first picture would wait for: the day worked out, the renderer and its denoiser loaded.

    Nothing where there is no renderer; what is wrong with the day is said where the day is asked for.
    """
    with suppress(PlatesideError):
        load_renderer()
        find_engine(root / ".plateside" / "renderer.json")
        work_out(root, memory, progress)


def draw_planned(
    root: Path, shot: str, key: str, quality: str, memory: Memory, progress: Progress = silent
) -> PlannedPicture:
    """Draw the picture `key` of a shot, or take it from the cache.

    Raises Cancelled when the shot is no longer the one the key names, MissingExtraError without the renderer,
    CouldNotError, SettingsError.
    """
    path = picture_path(root, key, quality)
    if path.is_file() and facts_of(path)[0]:
        return PlannedPicture(key, quality, *facts_of(path))
    worked = work_out(root, memory)
    wanted = next((s for s in worked.opened.shoot.shots if s.name == shot), None)
    check_windows(worked.opened.studio)
    if wanted is None or shot not in worked.set_ups or picture_key(worked, wanted) != key:
        raise Cancelled(refusals.CHANGED)
    drawn, engine = draw_set_up(
        worked.opened,
        wanted,
        worked.set_ups[shot],
        out=path,
        quality=quality,
        size_px=SIZES[quality],
        progress=progress,
    )
    facts = {"words": caption(drawn), "clipped_share": drawn.clipped_share, "engine": engine}
    write_sealed_json(path.with_suffix(".json"), facts)
    make_room(path.parent)
    return PlannedPicture(key, quality, *facts_of(path))
