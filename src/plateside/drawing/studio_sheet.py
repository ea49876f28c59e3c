"""The Studio page's paper: how large the room is drawn, and what a thing on it is."""

import json
from dataclasses import dataclass

from plateside.drawing.kit import element, number, text
from plateside.drawing.palette import SOFT
from plateside.drawing.views import View
from plateside.model.studio import Studio

Path = tuple[str | int, ...]
SMALL_PX = 560.0
"""A place narrower than this is a phone's: less air, names only where they fit."""
LOWEST_SCALE = 16.0
SIZE = 12.5


@dataclass(frozen=True)
class Sheet:
    """The paper: the room's view and what is left around it [px]."""

    studio: Studio
    view: View
    small: bool
    far: float
    right: float
    back: float
    chosen: Path | None

    @property
    def width(self) -> float:
        return self.view.right + self.right

    @property
    def height(self) -> float:
        return self.view.bottom + self.back

    def on(self, at: Path) -> bool:
        return at == self.chosen


def sheet_of(studio: Studio, wide_px: float, high_px: float, chosen: Path | None) -> Sheet:
    """The room as large as it can be in a place [px], with room round it for what stands outside, and for measures."""
    small = wide_px < SMALL_PX
    far = 54.0 if small else 74.0
    outside = {studio.wall_of(w) for w in studio.windows if w.opposite}
    glazed = {studio.wall_of(w) for w in studio.windows}

    def edge(wall: str, least: float) -> float:
        if wall in outside:
            return far + 34
        if wall in glazed:
            return max(least, 40.0 if small else 56.0) + (22 if wall == "right" else 0)
        return least

    front, left, right = edge("front", 56), edge("left", 16 if small else 60), edge("right", 76)
    back = edge("back", 0) + 78
    room = studio.room
    scale = min((wide_px - left - right) / room.width_m, (high_px - front - back) / room.depth_m)
    scale = max(LOWEST_SCALE, scale)
    view = View(left, front, round(scale, 2), (0.0, room.depth_m, 0.0), (1.0, 0.0, 0.0), (0.0, -1.0, 0.0),
                room.width_m, room.depth_m)  # fmt: skip
    return Sheet(studio, view, small, far, right, back, chosen)


def metres(value_m: float) -> str:
    """'0.6 m'."""
    return f"{number(value_m)} m"


def path_words(at: Path) -> str:
    """A path as the page writes it: '["windows",0]'."""
    return json.dumps(at, separators=(",", ":"))


def thing(sheet: Sheet, at: Path, words: str, drawn: str, name: str, kind: str = "thing") -> str:
    """A thing that can be taken hold of: what is read out of it, how it is drawn, its name beside it."""
    on = sheet.on(at)
    return element(
        "g", drawn + name, class_=f"{kind} on" if on else kind, data_path=path_words(at), tabindex=0, role="button",
        aria_pressed="true" if on else "false", aria_label=words,
    )  # fmt: skip


def label(
    words: str, x: float, y: float, *, anchor: str = "middle", colour: str = SOFT, **more: object
) -> str:
    """A name or a length, kept readable over lines by the page."""
    return text(words, x, y, size=SIZE, anchor=anchor, fill=colour, class_="name", **more)
