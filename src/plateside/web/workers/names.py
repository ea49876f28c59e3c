"""What a hand can be asked to do: a name, and the function that does it.

Every function takes `(args, progress)`, a JSON object and a callback, and gives back what `json` takes.
"""

import importlib
from collections.abc import Callable
from typing import Any

from plateside.model.progress import Progress

Work = Callable[[dict[str, Any], Progress], Any]

ROOMS = ("light", "plan", "studio", "frames", "closer", "results", "start")
"""Modules of plateside.web.work; a name is 'room.function', and only functions listed in WORK of a room count."""


def find_work(name: str) -> Work:
    """The function behind a name. Raises KeyError when there is none."""
    room, _, verb = name.partition(".")
    if room not in ROOMS:
        raise KeyError(name)
    module = importlib.import_module(f"plateside.web.work.{room}")
    work: dict[str, Work] = module.WORK
    return work[verb]
