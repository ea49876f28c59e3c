"""What the Set page is sent: its screen, and a shot's layers as they are drawn."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from plateside.tasks.set.now import SetNow
from plateside.words.set.screen import NOT_WATCHING

if TYPE_CHECKING:
    # it computes, and this is asked for by the server's own process
    from plateside.tasks.set.layers import LayersReport


@dataclass(frozen=True)
class SetScreen(SetNow):
    """The screen, and whether anything watches for frames."""

    watching: bool = False
    unwatched: tuple[str, ...] = ()
    """Said when nothing watches: in short, and with the fix."""
    trouble: str = ""
    """Why frames are not judged, when they are not."""


@dataclass(frozen=True)
class LayerMark:
    """What a layer added or moved, drawn on its frame."""

    kind: str
    box: tuple[float, float, float, float]
    words: str
    asked: bool
    outline: tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class LayerShown:
    """One layer of a shot."""

    frame: str
    number: int
    lines: tuple[str, ...]
    marks: tuple[LayerMark, ...]


@dataclass(frozen=True)
class LayersShown:
    """All layers of a shot, and what is said of them together."""

    shot: str
    layers: tuple[LayerShown, ...]
    said: tuple[str, ...]


def screen(now: SetNow, watching: bool, trouble: str) -> SetScreen:
    """The screen of a shoot."""
    return SetScreen(
        **vars(now), watching=watching, unwatched=() if watching else NOT_WATCHING, trouble=trouble
    )


def layers_shown(found: "LayersReport") -> LayersShown:
    """A shot's layers."""
    layers = tuple(
        LayerShown(
            layer.frame,
            layer.number,
            tuple(line.strip() for line in layer.lines(found.text_spaces)[1:]),
            tuple(LayerMark("changed", p.box, p.kind, True, p.outline) for p in layer.parts),
        )
        for layer in found.layers
    )
    return LayersShown(found.shot, layers, tuple(found.said()))
