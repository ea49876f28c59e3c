"""A shot by the name that a person typed or a page sent."""

import difflib

from plateside.model.errors import InputError
from plateside.model.shoot import Shoot


def check_shot(shoot: Shoot, name: str) -> str:
    """The shot's name as it stands in the list. Raises InputError with the nearest names."""
    names = [s.name for s in shoot.shots]
    if name in names:
        return name
    near = difflib.get_close_matches(name, names, n=1)
    hint = f" Did you mean {near[0]}?" if near else ""
    raise InputError(
        f"There is no shot called {name!r} in shoot.toml.{hint} The shots are: {', '.join(names)}."
    )
