"""A frame looked at closely: its levels, and what is laid over it."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from plateside.words.counting import listed, megabytes, stops

if TYPE_CHECKING:
    # it brings numpy, and the server's own process asks for some of these sentences
    from plateside.model.pixels import RawLevels

CHANNELS = ("red", "green", "blue")
_OF: Mapping[str, str] = {
    "raw": "Levels of the raw itself.",
    "JPEG": "Levels of the JPEG: a raw of it may hold up to a stop more.",
    "HEIC": "Levels of the HEIC: a raw of it may hold up to a stop more.",
}
WAIT_FOR_VERDICT = "A new frame is being judged. Ask again in a moment."
LEAST_SAID_SHARE = 0.00005


def levels_sentences(kind: str, levels: "RawLevels") -> list[str]:
    """'Headroom 0.4 stop, then green clips.'; what is clipped; and whose levels these are: `kind` raw, JPEG, HEIC."""
    shares = levels.clipped_share
    lost = [
        f"{name} {_percent(share)}"
        for name, share in zip(CHANNELS, shares, strict=True)
        if share > LEAST_SAID_SHARE
    ]
    said = [f"Clipped: {listed(lost)}."] if lost else ["Nothing is clipped."]
    return [_headroom(levels.headroom_stops), *said, _OF[kind]]


def _headroom(headroom: Sequence[float]) -> str:
    least = min(headroom)
    first = [name for name, left in zip(CHANNELS, headroom, strict=True) if left <= least + 0.05]
    if least < 0.05:
        return f"No headroom: {listed(first)} at the limit."
    which = "all three channels clip" if len(first) == len(CHANNELS) else f"{listed(first)} {_clip(first)}"
    return f"Headroom {stops(least)}, then {which}."


def _clip(names: Sequence[str]) -> str:
    return "clips" if len(names) == 1 else "clip"


def _percent(share: float) -> str:
    return f"{100 * share:.1f} %" if share >= 0.001 else f"{100 * share:.2f} %"


# ---- A client's layout ----------------------------------------------------------------------------------------

_NOT_TAKEN: Mapping[str, str] = {
    "kind": "{name} is neither a PNG nor a PDF. Ask for the layout as one of these.",
    "large": "{name} has more pixels than can be laid over a frame. Export it smaller: 4,000 pixels a side is plenty.",
    "damaged": "{name} cannot be read. Export it again, without a password, and add it again.",
    "long": "{name} takes too long to draw. Export the one page as a PNG and add that.",
    "page": "{name} has no such page.",
}


def layout_refused(why: str, name: str) -> str:
    """Why a layout was not taken; `why`: kind, large, damaged, long, page."""
    return _NOT_TAKEN[why].format(name=name)


def layout_too_big(name: str, most: int) -> str:
    """`most`: bytes."""
    return f"{name} is larger than {megabytes(most)}. Export the one page, or a smaller PNG."


NO_LAYOUT = "There is no layout for this shot. Choose its PNG or PDF at the laptop."
EMPTY_LAYOUT = "That file is empty. Choose the layout again."
