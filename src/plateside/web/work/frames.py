"""Work on frames that a page waits for."""

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from plateside.model.progress import Progress
from plateside.tasks.choose.make_thumbnails import make_thumbnails
from plateside.tasks.choose.strips import make_strips
from plateside.tasks.report import as_json
from plateside.tasks.set.added import put_in as put_photograph_in
from plateside.tasks.set.before_clearing import before_clearing
from plateside.tasks.set.lamp import ask_lamp_off
from plateside.tasks.set.layers import layers_of
from plateside.tasks.set.light_left import light_left
from plateside.tasks.set.marks import FrameMarker
from plateside.web.shown.light import left_shown
from plateside.web.shown.set import clearing_shown, layers_shown
from plateside.web.workers.names import Work

_markers: dict[Path, FrameMarker] = {}


def thumbnails(args: dict[str, Any], progress: Progress) -> Any:
    """Make pictures of frames: {"root", "frames": {id: name}, "size"} -> ids that could not be made."""
    return make_thumbnails(Path(args["root"]), args["frames"], args["size"], progress)


def strips(args: dict[str, Any], progress: Progress) -> Any:
    """Join small pictures by the strip: {"root"} -> how many strips were made."""
    return make_strips(Path(args["root"]), progress)


def marks(args: dict[str, Any], progress: Progress) -> Any:
    """What to draw on a frame, and all its acts: {"root", "frame"}."""
    return marker_of(Path(args["root"])).marks(str(args["frame"]))


def changed(args: dict[str, Any], progress: Progress) -> Any:
    """What changed since the layer or reference before: {"root", "frame"}."""
    return marker_of(Path(args["root"])).changed(str(args["frame"]))


def card(args: dict[str, Any], progress: Progress) -> Any:
    """What lies where she touched a frame to mark the grey card: {"root", "frame", "across", "down"}."""
    found = marker_of(Path(args["root"])).card(str(args["frame"]), float(args["across"]), float(args["down"]))
    return {**as_json(found), "said": " ".join(found.lines())}


def put_in(args: dict[str, Any], progress: Progress) -> Any:
    """Put an added photograph that has come whole into the frames folder: {"root", "key", "size"}."""
    return put_photograph_in(Path(args["root"]), str(args["key"]), int(args["size"]))


def light(args: dict[str, Any], progress: Progress) -> Any:
    """How long the light lasts: {"root", "shot"}."""
    return left_shown(light_left(Path(args["root"]), str(args["shot"]), datetime.now(UTC)))


def clearing(args: dict[str, Any], progress: Progress) -> Any:
    """What each shot has before the set is cleared: {"root"}."""
    return clearing_shown(before_clearing(Path(args["root"])))


def lamp_off(args: dict[str, Any], progress: Progress) -> Any:
    """Open the check 'lamp off, one frame': {"root", "shot", "frame"}."""
    return ask_lamp_off(Path(args["root"]), str(args["shot"]), str(args.get("frame", "")))


def layers(args: dict[str, Any], progress: Progress) -> Any:
    """The layers of a shot, what each added and measures: {"root", "shot"}."""
    return layers_shown(layers_of(Path(args["root"]), str(args["shot"])))


def marker_of(root: Path) -> FrameMarker:
    """The shoot's marker; one at a time, for its reference pictures are large."""
    if root not in _markers:
        for other in _markers.values():
            other.close()
        _markers.clear()
        _markers[root] = FrameMarker(root)
    return _markers[root]


WORK: dict[str, Work] = {
    "thumbnails": thumbnails, "strips": strips, "marks": marks, "changed": changed, "light": light,
    "lamp_off": lamp_off, "layers": layers, "card": card, "put_in": put_in,
    "clearing": clearing,
}  # fmt: skip
