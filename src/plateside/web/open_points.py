"""Where on the pages each thing is mended that a delivery still waits for, and the sentences above and beside the list.

What is open is decided in tasks/open_points.py alone; here each point's code gets its address.
"""

from dataclasses import dataclass

from plateside.deliver.points import Point
from plateside.model.shoot import Shoot
from plateside.paper.read_me import ready_words
from plateside.tasks.deliver.open_points import Standing

NOTHING_YET = (
    "Each picture is cropped and sized for its places, with its words and your rights in it. "
    "Nothing is delivered yet."
)
NO_CHANNELS = "No channel says yet where the pictures go: add one on the Plan page."

_MENDED = {
    "no release": ("#releases", "Say that it was given"),
    "no licence": ("#usage_terms", "Write them"),
    "recipe placeholder": ("/plan#recipe", "Mend it"),
    "maker placeholder": ("/plan#creator", "Mend it"),
    "no frame": ("/set", "Photograph it"),
    "not finished": ("/finish", "Finish it"),
    "another hero": ("/finish", "Finish it again"),
    "finish cut short": ("/finish", "Finish it again"),
    "unmatched": ("/finish", "Look at it"),
    "taken again": ("/choose", "Choose another, or keep it"),
    "words": ("#alt_text-{shot}", "Mend it"),
    "food cut": ("#shot-{shot}", "See its crops"),
    "too few pixels": ("#shot-{shot}", "See its crops"),
    "too heavy": ("/plan#channels", "Mend the channel"),
    "squeezed": ("/plan#channels", "Mend the channel"),
    "no address": ("/plan#creator", "Say it"),
    "no shape": ("/plan#channels", "Add the channel"),
    "too small for search": ("/plan#channels", "Mend the channel"),
    "stale": ("#run", "Make it again"),
    "interrupted": ("#run", "Make it again"),
    "files missing": ("#run", "Make it again"),
}


@dataclass(frozen=True)
class OpenPoint:
    """One thing, and where it is mended: an address with the words of its link; both empty when there is no place."""

    words: str
    address: str = ""
    link: str = ""
    code: str = ""
    blocks: bool = False


def with_address(point: Point) -> OpenPoint:
    """The point as the page shows it."""
    address, link = _MENDED.get(point.code, ("", ""))
    return OpenPoint(point.words, address.format(shot=point.shot), link, point.code, point.blocks)


def mind_before_packing(now: Standing) -> list[str]:
    """What she should know before she hands over the delivery that lies there; empty: nothing."""
    if now.delivery is None:
        return []
    said = []
    if any(p.code in ("stale", "interrupted") for p in now.open):
        said.append(
            "The delivery is older than your last changes, so the old ones are packed: make it again first."
            if now.changed and not any(p.code == "interrupted" for p in now.open)
            else "Making the delivery was stopped before it was done: make it again first."
        )
    if not now.ready:
        said.append("It is not ready to publish: what holds it back stands at the top of the page.")
    return said


def headline(shoot: Shoot, now: Standing) -> str:
    """Where the delivery stands, in a sentence or two."""
    if not shoot.channels:
        return NO_CHANNELS
    if now.delivery is None:
        return NOTHING_YET
    pictures = now.delivery.pictures
    crops = len({(p.get("shot"), p.get("channel")) for p in pictures})
    told = (
        f"{crops} crop{'s' * (crops != 1)} as {len(pictures)} file{'s' * (len(pictures) != 1)} lie in the folder "
        "delivery."
    )
    return f"{told} {ready_words(now.ready, len(now.open))}"
