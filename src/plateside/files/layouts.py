"""Where the clients' layouts of a shoot are kept: for each shot its file as it came, its drawn page, and which it is.

    .plateside/layouts/<shot>.json        {"name", "page", "pages", "key"}
    .plateside/layouts/<shot>.source      the file as it came
    .plateside/layouts/<shot>-<key>.png   its page, drawn

<shot> is a hash of the shot's name: names may hold what a disk does not take.
"""

import contextlib
import secrets
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from plateside.files.atomic import disk_faults_in_words, replacing, write_bytes
from plateside.files.cache import key_of, write_sealed_json
from plateside.files.cache import read_sealed_json as read_kept
from plateside.files.layout_drawn import draw_layout
from plateside.model.errors import InputError
from plateside.words.files import KEPT_RECORD
from plateside.words.set.closer import EMPTY_LAYOUT, NO_LAYOUT, layout_refused, layout_too_big

LARGEST_BYTES = 30_000_000
_FOLDER = Path(".plateside") / "layouts"


@dataclass(frozen=True)
class Layout:
    """A shot's layout."""

    name: str
    """of the file as you chose it"""
    page: int
    """from 1"""
    pages: int
    key: str
    """changes with every drawing"""


def layout_of(root: Path, shot: str) -> Layout | None:
    """The shot's layout; None when it has none (or what was kept is damaged)."""
    try:
        row: Any = read_kept(_place(root, shot, ".json"), KEPT_RECORD)
        found = Layout(str(row["name"]), int(row["page"]), int(row["pages"]), str(row["key"]))
    except (TypeError, KeyError, ValueError):
        return None
    return found if _picture(root, shot, found.key).is_file() else None


def picture_of(root: Path, shot: str, key: str) -> bytes | None:
    """The drawn page as a PNG; None when there is none of this key."""
    found = layout_of(root, shot)
    if found is None or found.key != key:
        return None
    with contextlib.suppress(OSError):
        return _picture(root, shot, key).read_bytes()
    return None


def arrive(root: Path, data: bytes, name: str) -> Path:
    """Put what has come beside the layouts, to be looked into (`take`). Raises InputError, CouldNotError."""
    if not data:
        raise InputError(EMPTY_LAYOUT)
    if len(data) > LARGEST_BYTES:
        raise InputError(layout_too_big(plain_name(name), LARGEST_BYTES))
    path = root / _FOLDER / f"arriving-{secrets.token_hex(8)}"
    write_bytes(path, data)
    return path


def take(root: Path, shot: str, came: Path, name: str, page: int = 1) -> Layout:
    """Make what has come the shot's layout. Raises InputError when it is none that can be drawn; CouldNotError."""
    try:
        found = _drawn(root, shot, came, plain_name(name), page)
        with disk_faults_in_words(came):
            came.replace(_place(root, shot, ".source"))
        return found
    finally:
        with contextlib.suppress(OSError):
            came.unlink(missing_ok=True)


def turn_to(root: Path, shot: str, page: int) -> Layout:
    """Another page of the shot's layout. Raises as `take`."""
    now = layout_of(root, shot)
    source = _place(root, shot, ".source")
    if now is None or not source.is_file():
        raise InputError(NO_LAYOUT)
    return now if page == now.page else _drawn(root, shot, source, now.name, page)


def put_away(root: Path, shot: str) -> None:
    """Take the shot's layout away; nothing happens when there is none."""
    now = layout_of(root, shot)
    with disk_faults_in_words(_place(root, shot, ".json")):
        _place(root, shot, ".json").unlink(missing_ok=True)
        _place(root, shot, ".source").unlink(missing_ok=True)
        if now is not None:
            _picture(root, shot, now.key).unlink(missing_ok=True)


def _drawn(root: Path, shot: str, source: Path, name: str, page: int) -> Layout:
    before = layout_of(root, shot)
    key = secrets.token_hex(8)
    with replacing(_picture(root, shot, key)) as neighbour:
        drawn = draw_layout(source, neighbour, page)
        if drawn.why:
            raise InputError(layout_refused(drawn.why, name))
    found = Layout(name, page, drawn.pages, key)
    write_sealed_json(_place(root, shot, ".json"), asdict(found))
    if before is not None:
        with contextlib.suppress(OSError):
            _picture(root, shot, before.key).unlink(missing_ok=True)
    return found


def plain_name(name: str) -> str:
    """The file's name as it may be shown: its last part, at most 80 characters."""
    last = name.replace("\\", "/").rsplit("/", 1)[-1]
    return "".join(c for c in last if c.isprintable())[:80] or "layout"


def _place(root: Path, shot: str, ending: str) -> Path:
    return root / _FOLDER / f"{key_of(shot)}{ending}"


def _picture(root: Path, shot: str, key: str) -> Path:
    return root / _FOLDER / f"{key_of(shot)}-{key}.png"
