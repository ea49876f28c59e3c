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

__all__ = [
    "FORMAT",
    "OpenShoot",
    "load_shoot",
    "load_studio",
    "open_shoot",
    "parse_shoot",
    "parse_studio",
]
