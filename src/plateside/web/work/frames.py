"""Work on frames that a page waits for."""

from pathlib import Path
from typing import Any

from plateside.model.progress import Progress
from plateside.tasks.seen import make_seen
from plateside.web.hands.names import Work


def seen(args: dict[str, Any], progress: Progress) -> Any:
    """Make pictures of frames: {"root", "frames": {id: name}, "size"} -> ids that could not be made."""
    return make_seen(Path(args["root"]), args["frames"], args["size"], progress)


WORK: dict[str, Work] = {"seen": seen}
