"""A frame as the pages show it: small, or as large as it is, made once and kept in the shoot's cache."""

from collections.abc import Mapping
from pathlib import Path

from plateside.files.cache import write_sealed
from plateside.files.folder import shoot_folder
from plateside.files.originals.pixels import display_picture
from plateside.files.pictures import encode, encode_plain
from plateside.files.settings.load import load_shoot
from plateside.files.thumbnails import SIZES, thumbnail_path
from plateside.model.errors import CouldNotError, InputError
from plateside.model.progress import Progress, silent
from plateside.words.set import refusals


def make_thumbnails(
    root: Path, name_of: Mapping[str, str], size: str, progress: Progress = silent
) -> list[str]:
    """Make the pictures of frames (id -> file name) that are not there yet; returns the ids that could not be."""
    folder = shoot_folder(root, load_shoot(root / "shoot.toml")).frames_dir
    failed = []
    for number, (frame_id, name) in enumerate(name_of.items()):
        path = thumbnail_path(root, frame_id, size)
        if not path.is_file():
            try:
                longest, quality = SIZES[size]
                if ".." in Path(name).parts or Path(name).is_absolute():
                    raise InputError(refusals.frame_gone(name))
                pixels = display_picture(folder / name, longest)
                plain = size == "thumb"
                write_bytes_to(
                    path, encode_plain(pixels, quality) if plain else encode(pixels, "jpeg", quality)
                )
            except (InputError, CouldNotError, OSError):
                failed.append(frame_id)
        progress(number + 1, len(name_of))
    return failed


def write_bytes_to(path: Path, data: bytes) -> None:
    """Write a kept picture, sealed, into a folder that may not be there yet."""
    path.parent.mkdir(parents=True, exist_ok=True)
    write_sealed(path, data)
