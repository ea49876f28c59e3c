"""A retouched file that has come whole from a page is put into its folder, and looked at."""

import contextlib
import os
import shutil
from dataclasses import dataclass
from pathlib import Path

from plateside.files.atomic import disk_faults_in_words, replacing
from plateside.files.checksums import sha256_of_file
from plateside.files.landing import arriving
from plateside.files.landing.arrived import names_for
from plateside.files.settings.load import open_shoot
from plateside.finish.facts import CameBack
from plateside.model.errors import InputError
from plateside.tasks.finish.retouched import take_in
from plateside.tasks.finish.retouched_now import FOLDER
from plateside.words.retouched import came_back_sentence
from plateside.words.set.adding import not_all_there


@dataclass(frozen=True)
class RetouchedAdded:
    """One file that is in its folder."""

    name: str
    code: str
    """what was found of it (see CameBack)"""
    said: str
    done: bool = True


def put_in(root: Path, key: str, size: int, changed_ms: int) -> RetouchedAdded:
    """Put a file of `size` bytes, all of which have come, beside the pictures, and take it in.

    changed_ms  when it was last saved, as the sender has it [ms]
    Nothing that lies there is replaced. Raises InputError, CouldNotError.
    """
    opened, path = open_shoot(root), arriving.find(root, key)
    if arriving.length(path) != size:
        raise InputError(not_all_there(path.name))
    folder = opened.folder.finished_dir / FOLDER
    with disk_faults_in_words(folder / path.name):
        folder.mkdir(parents=True, exist_ok=True)
        # its own time tells whether it is older than the picture; one from the future tells nothing
        now_ns = path.stat().st_mtime_ns
        saved_ns = changed_ms * 1_000_000
        os.utime(path, ns=(now_ns, saved_ns if 0 < saved_ns < now_ns else now_ns))
        name = _put(path, folder, opened.folder.workplace)
    arriving.give_up(path)
    found = take_in(opened)
    one = next((c for c in found if c.file == f"{FOLDER}/{name}"), CameBack(f"{FOLDER}/{name}", ""))
    return RetouchedAdded(name, one.code, came_back_sentence(one, [c.picture for c in found if c.picture]))


def _put(path: Path, folder: Path, workplace: Path) -> str:
    """The name under which the file stands there: its own, or with a number when another has it."""
    content = sha256_of_file(path)
    for name in names_for(path.name):
        target = folder / name
        if target.is_file() and sha256_of_file(target) == content:
            return name
        if os.path.lexists(target):
            continue
        with contextlib.suppress(OSError):
            os.link(path, target)
            return name
        # a disk that knows no links
        with replacing(target, workplace) as working:
            shutil.copy2(path, working)
        return name
    raise InputError(not_all_there(path.name))
