"""studio.toml and shoot.toml: read, checked, and written back with every comment kept."""

from plateside.files.settings.load import (
    OpenShoot,
    load_shoot,
    load_studio,
    open_shoot,
    parse_shoot,
    parse_studio,
)
from plateside.files.settings.reader import FORMAT
from plateside.files.settings.write import Add, Change, Move, Put, Take, dump, update_shoot, update_studio

__all__ = [
    "FORMAT",
    "Add",
    "Change",
    "Move",
    "OpenShoot",
    "Put",
    "Take",
    "dump",
    "load_shoot",
    "load_studio",
    "open_shoot",
    "parse_shoot",
    "parse_studio",
    "update_shoot",
    "update_studio",
]
