"""What the demo says: which stage begins, where its results are, what its page calls its pictures."""

from collections.abc import Mapping, Sequence

from plateside.words.commands import typed

BEGINS: Mapping[str, str] = {
    "demo": "The demo kitchen in Lisbon and its shoot: every name in it is invented.",
    "light": "light: the day and the year at the window",
    "plan": "plan: set-ups, settings, an hour for each shot",
    "set": "set: rendering frames with known faults (RENDERED, not photographed), then judging them",
    "choose": "choose: a select and an alternate for each shot, judged against the test frame of its set-up",
    "finish": "finish: developing the selects into one matched series",
    "deliver": "deliver: crops, sizes, words, metadata, page",
}
"""Said as each stage begins."""

TOO_MANY = "There are a thousand demos here. Delete some."
RENDERED = "rendered frame: not a photograph"
"""In each frame's own metadata."""
PHOTOGRAPH = "a photograph of a cup of coffee (CC0, from scikit-image)"
DRAWN = "stand-in dishes, rendered in the light of each set-up and taken by a simulated camera"
DRAWINGS: Mapping[str, str] = {
    "year": "The light at the dish through the year, day by hour",
    "day": "The light at the dish through the day",
    "room": "The room from above and from the side, to scale",
    "plan": "The room from above and from the side, to scale",
}


def not_the_demos(path: object) -> str:
    return f"{path} is not the demo's. Name an empty or new folder for it, such as: plateside demo demo-2"


def drawing(kind: str, name: str) -> str:
    return DRAWINGS.get(kind, f"Drawing: {name}")


def coffee_for(title: str) -> str:
    """What stands in for a dish when nothing of its own is drawn."""
    return f"A rendered frame of a cup of coffee on a wooden table, standing in for: {title}"


def slot(starts: str, ends: str, plate_in: str) -> str:
    """A shot's time, by the clock."""
    return f"{starts} to {ends}, hero in at {plate_in}"


def report_lines(
    frames: int,
    truth: object,
    verdicts: Sequence[str],
    delivery: object,
    ready: bool,
    page: object,
    shoot: object,
) -> list[str]:
    """Where everything is; verdicts are the words of all frames."""
    return [
        "",
        f"{frames} frames were RENDERED for this demo, not photographed; what was put into each: {truth}",
        f"Judged: {', '.join(f'{verdicts.count(w)} {w}' for w in ('good', 'adjust', 'again'))}.",
        f"Delivered{'' if ready else ' (not ready: see the folder)'}: {delivery}",
        f"The whole shoot on one page: {page}",
        f"Look at this shoot in your browser: plateside serve {typed(shoot)}",
        "",
        "Now your own: plateside new my-kitchen",
    ]
