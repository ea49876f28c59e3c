"""Looking closely at a frame: {"root", "frame"}; pictures come back as texts in base 64."""

from pathlib import Path
from typing import Any

from plateside.model.progress import Progress
from plateside.tasks.set.close_pictures import ClosePictures
from plateside.tasks.set.closer import closer_facts
from plateside.tasks.set.layout import take_layout, turn_layout
from plateside.web.work.frames import marker_of
from plateside.web.workers.names import Work

_pictures: dict[Path, ClosePictures] = {}


def facts(args: dict[str, Any], _progress: Progress) -> Any:
    """Crops, what a delivery will lack, test frame, level."""
    return closer_facts(marker_of(Path(args["root"])), str(args["frame"]))


def size(args: dict[str, Any], _progress: Progress) -> Any:
    """How large it is, pixel for pixel."""
    return _of(args).size(str(args["frame"]))


def tile(args: dict[str, Any], _progress: Progress) -> Any:
    """One part of it: {..., "column", "row"}."""
    return _of(args).tile(str(args["frame"]), int(args["column"]), int(args["row"]))


def mask(args: dict[str, Any], _progress: Progress) -> Any:
    """What is clipped or sharp in it: {..., "which"}, of one part with "column" and "row"."""
    column, row = int(args.get("column", -1)), int(args.get("row", -1))
    return _of(args).mask(str(args["frame"]), str(args["which"]), column, row)


def levels(args: dict[str, Any], _progress: Progress) -> Any:
    """Histogram and headroom."""
    return _of(args).levels(str(args["frame"]))


def layout(args: dict[str, Any], _progress: Progress) -> Any:
    """A layout that has come: {"root", "shot", "came", "name"}."""
    root = Path(args["root"])
    return take_layout(root, str(args["shot"]), Path(args["came"]), str(args["name"]))


def layout_page(args: dict[str, Any], _progress: Progress) -> Any:
    """Another page of it: {"root", "shot", "page"}."""
    return turn_layout(Path(args["root"]), str(args["shot"]), int(args["page"]))


def _of(args: dict[str, Any]) -> ClosePictures:
    """The shoot's pictures; one shoot at a time, for they are large."""
    root = Path(args["root"])
    if root not in _pictures:
        _pictures.clear()
        _pictures[root] = ClosePictures(root)
    return _pictures[root]


WORK: dict[str, Work] = {
    "facts": facts, "size": size, "tile": tile, "mask": mask, "levels": levels, "layout": layout,
    "layout_page": layout_page,
}  # fmt: skip
