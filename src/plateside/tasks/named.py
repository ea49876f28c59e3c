"""A shot by the name you typed or a page sent; windows and table spots, of which there must be one."""

import difflib

from plateside.files.settings.grammar import entries
from plateside.files.settings.mistakes import raise_if_any
from plateside.model.errors import InputError
from plateside.model.mistakes import Mistake
from plateside.model.room import Spot, Window
from plateside.model.shoot import Shoot
from plateside.model.studio import Studio
from plateside.words.studio import no_such_shot


def check_shot(shoot: Shoot, name: str) -> str:
    """The shot's name as it stands in the list. Raises InputError with the nearest names."""
    names = [s.name for s in shoot.shots]
    if name in names:
        return name
    near = difflib.get_close_matches(name, names, n=1)
    raise InputError(no_such_shot(name, near[0] if near else "", names))


def check_windows(studio: Studio) -> None:
    """Raise SettingsError when there is no window."""
    if not studio.windows:
        _refuse("windows", Window)


def check_spots(studio: Studio) -> None:
    """Raise SettingsError when there is no table spot."""
    if not studio.spots:
        _refuse("spots", Spot)


def _refuse(table: str, cls: type) -> None:
    lines = "\n".join([f"[[{table}]]", *(e.example for e in entries(cls).values() if e.required)])
    raise_if_any([Mistake(f"no {table}", "studio.toml", path=(table,), fix=lines)])
