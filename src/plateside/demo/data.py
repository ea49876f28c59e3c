"""The demo studio, shoot and takes that come with the package."""

import importlib.resources
import tomllib
from pathlib import Path
from typing import Any

from plateside.files.atomic import write_bytes
from plateside.files.folder import SHOOT_FILE
from plateside.model.errors import InputError, PlatesideError
from plateside.words.demo import TOO_MANY, not_the_demos


def copy_demo(target: Path) -> None:
    """Write the demo's studio.toml and shoot.toml into `target`.

    Raises InputError when another shoot lives there: the demo never writes over somebody's own work.
    """
    source = importlib.resources.files("plateside.demo")
    for name in ("studio.toml", "shoot.toml"):
        data = source.joinpath(name).read_bytes()
        there = target / name
        if there.exists() and there.read_bytes() != data:
            raise InputError(not_the_demos(there))
        write_bytes(there, data)


def demo_folder(home: Path) -> Path:
    """Where the demo's shoot lies, or will: one that you have changed stays yours, and another is made."""
    for number in range(1, 1000):
        root = home / ("demo" if number == 1 else f"demo-{number}") / "shoot"
        if not root.parent.exists():
            return root
        if (root.parent / SHOOT_FILE).exists():
            continue
        try:
            copy_demo(root)
        except PlatesideError:
            continue
        return root
    raise InputError(TOO_MANY)


def make_demo(home: Path) -> Path:
    """The demo's studio and shoot, without frames: at once."""
    root = demo_folder(home)
    copy_demo(root)
    return root


def demo_shot_count() -> int:
    """How many pictures the demo's shoot wants."""
    text = importlib.resources.files("plateside.demo").joinpath("shoot.toml").read_text(encoding="utf-8")
    return len(tomllib.loads(text)["shots"])


def demo_takes() -> list[dict[str, Any]]:
    """What the simulated camera does, press by press (demo/takes.toml)."""
    text = importlib.resources.files("plateside.demo").joinpath("takes.toml").read_text(encoding="utf-8")
    return list(tomllib.loads(text)["takes"])


def story_template() -> str:
    """The template of the page that tells the whole shoot (demo/story.html.j2)."""
    return importlib.resources.files("plateside.demo").joinpath("story.html.j2").read_text(encoding="utf-8")
