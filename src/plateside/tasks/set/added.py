"""A photograph that has come whole is looked into and put into the frames folder."""

from dataclasses import dataclass
from pathlib import Path

from plateside.files.landing import arriving
from plateside.files.landing.arrived import arrive
from plateside.tasks.set.adding import frames_dir
from plateside.words.set.adding import added_sentence, already_sentence


@dataclass(frozen=True)
class PhotographAdded:
    """One photograph that is in."""

    name: str
    """As it stands in the frames folder."""
    already: bool
    """It had been there before, byte for byte."""
    said: str
    """One sentence."""
    done: bool = True


def put_in(root: Path, key: str, size: int) -> PhotographAdded:
    """Put a photograph of `size` bytes, all of which have come, into the frames folder.

    Raises InputError when it is no picture that can be read, CouldNotError when it cannot be written.
    """
    found = arrive(arriving.find(root, key), frames_dir(root), size)
    said = already_sentence(found.name) if found.already else added_sentence(found.name, found.asked)
    return PhotographAdded(found.name, found.already, said)
