"""A client's layout, laid over a shot's frames: brought in, turned to another page, taken away.

Light to import: the server asks it what there is. What has come is looked into by a worker (`take`, `turn_to`).
"""

from dataclasses import dataclass
from pathlib import Path

from plateside.files import layouts
from plateside.files.folder import SHOOT_FILE
from plateside.files.settings.load import load_shoot
from plateside.tasks.named import check_shot


@dataclass(frozen=True)
class LayoutShown:
    """A shot's layout."""

    shot: str
    name: str
    """of its file; empty when the shot has none"""
    page: int
    pages: int
    key: str


def layout_shown(root: Path, shot: str) -> LayoutShown:
    """What there is. Raises InputError for a shot that is none."""
    return _shown(_known(root, shot), layouts.layout_of(root, _known(root, shot)))


def layout_picture(root: Path, shot: str, key: str) -> bytes | None:
    """Its drawn page as a PNG; None when there is none of this key. Raises InputError for a shot that is none."""
    return layouts.picture_of(root, _known(root, shot), key)


def layout_arrives(root: Path, shot: str, data: bytes, name: str) -> Path:
    """Keep what has come until a worker has looked into it. Raises InputError, CouldNotError."""
    _known(root, shot)
    return layouts.arrive(root, data, name)


def take_layout(root: Path, shot: str, came: Path, name: str) -> LayoutShown:
    """Make what has come the shot's layout. Raises InputError when it cannot be drawn, CouldNotError."""
    return _shown(shot, layouts.take(root, _known(root, shot), came, name))


def turn_layout(root: Path, shot: str, page: int) -> LayoutShown:
    """Another page of it. Raises as `take_layout`."""
    return _shown(shot, layouts.turn_to(root, _known(root, shot), page))


def put_layout_away(root: Path, shot: str) -> LayoutShown:
    """Take it away. Raises InputError for a shot that is none, CouldNotError."""
    layouts.put_away(root, _known(root, shot))
    return _shown(shot, None)


def _known(root: Path, shot: str) -> str:
    return check_shot(load_shoot(root / SHOOT_FILE), shot)


def _shown(shot: str, found: layouts.Layout | None) -> LayoutShown:
    if found is None:
        return LayoutShown(shot, "", 0, 0, "")
    return LayoutShown(shot, found.name, found.page, found.pages, found.key)
