"""What a delivery still waits for, in the order in which she would mend it, each with the place where it is mended.

The headline is made of the same list, so that it never says more than the list does.
"""

from dataclasses import dataclass
from typing import Any

from plateside.deliver.words import placeholders
from plateside.model.shoot import Shoot
from plateside.paper.read_me import ready_words
from plateside.paper.structured import page_url_missing

NOTHING_YET = (
    "Each picture is cropped and sized for its places, with its words and your rights in it. "
    "Nothing is delivered yet."
)
NO_CHANNELS = "No channel says yet where the pictures go: add one on the Plan page."


@dataclass(frozen=True)
class OpenPoint:
    """One thing, and where it is mended: an address with the words of its link; both empty when there is no place."""

    words: str
    address: str = ""
    link: str = ""


def held_points(shots: list[dict[str, Any]], licensed: bool) -> list[OpenPoint]:
    """What keeps the delivery from being published."""
    held = [
        OpenPoint(
            f"{s['name']}: a person is in the picture and no release is on record.",
            "#releases",
            "Say that it was given",
        )
        for s in shots
        if s["held_back"]
    ]
    if not licensed:
        held.append(
            OpenPoint(
                "No terms and no licence are stated, so nobody knows what may be done with the pictures.",
                "#usage_terms",
                "Write them",
            )
        )
    return held


def open_points(
    shoot: Shoot, shots: list[dict[str, Any]], delivery: dict[str, Any] | None, changed: bool
) -> list[OpenPoint]:
    """What would make it better.

    shots     as the page is told of them, those held back too: of these nothing else is asked yet
    changed   something was decided after the delivery was made
    """
    now = [s for s in shots if not s["held_back"]]
    points = [found for s in now if (found := _of_picture(s) or _doubtful(s)) is not None]
    points += [
        OpenPoint(words, f"#alt_text-{s['name']}", "Mend it")
        for s in now
        if s["picture"]
        for words in s["words"]["remarks"]
    ]
    if changed:
        points.append(
            OpenPoint("Something was changed after this delivery was made.", "#run", "Make it again")
        )
    for point in placeholders(shoot.recipe, shoot.creator.name):
        maker = point.words.startswith("The maker")
        points.append(OpenPoint(point.words, "/plan#creator" if maker else "/plan#recipe", "Mend it"))
    if delivery is not None:
        if (missing := page_url_missing(shoot.creator.page_url)) is not None:
            points.append(OpenPoint(missing.words, "/plan#creator", "Say it"))
        points += [
            _of_files(words, shots)
            for words in delivery["open_in_these_files"]
            if "full addresses" not in words
        ]
    return points


def _of_files(words: str, shots: list[dict[str, Any]]) -> OpenPoint:
    """What the delivery says of its own files; of a shot it is mended at that shot's crops."""
    shot = words.partition(":")[0]
    if any(s["name"] == shot for s in shots):
        return OpenPoint(words, f"#shot-{shot}", "See its crops")
    return OpenPoint(words)


def mind_before_packing(delivery: dict[str, Any] | None, old: bool, held: int) -> list[str]:
    """What she should know before she hands over the delivery that lies there; empty: nothing.

    old   something that it is made of has changed since
    held  how many points hold it back now
    """
    if delivery is None:
        return []
    said = []
    if old:
        said.append(
            "The delivery is older than your last changes, so the old ones are packed: make it again first."
        )
    if held or not delivery["ready"]:
        said.append("It is not ready to publish: what holds it back stands at the top of the page.")
    return said


def _of_picture(shot: dict[str, Any]) -> OpenPoint | None:
    name = shot["name"]
    if not shot["picture"]:
        if not shot["frames"]:
            return OpenPoint(f"{name}: no frame of it has landed yet.", "/set", "Photograph it")
        return OpenPoint(f"{name} is not finished.", "/finish", "Finish it")
    if shot["another_hero"]:
        return OpenPoint(f"{name} has another hero than the finished picture.", "/finish", "Finish it again")
    return None


def _doubtful(shot: dict[str, Any]) -> OpenPoint | None:
    """A picture of a frame that was to be taken again; one that she kept all the same is hers to decide."""
    doubt = shot["doubt"]
    if doubt is None or doubt["kept"]:
        return None
    name, act = shot["name"], doubt["act"].rstrip(".")
    if doubt["by_her"]:
        who = f"You wanted the frame of {name} taken again"
    else:
        who = f"The tool would take the frame of {name} again" + (f": {act}" if act else "")
    return OpenPoint(f"{who}.", "/choose", "Choose another, or keep it")


def headline(shoot: Shoot, delivery: dict[str, Any] | None, held: int, open_count: int) -> str:
    """Where the delivery stands, in a sentence or two."""
    if not shoot.channels:
        return NO_CHANNELS
    if delivery is None:
        return NOTHING_YET
    crops = len({(p["shot"], p["channel"]) for p in delivery["pictures"]})
    files = len(delivery["pictures"])
    ready = delivery["ready"] and not held
    told = f"{crops} crop{'s' * (crops != 1)} as {files} file{'s' * (files != 1)} lie in the folder delivery."
    return f"{told} {ready_words(ready, open_count)}"
