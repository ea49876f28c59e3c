"""What the Set page is sent: its screen, and a shot's layers as they are drawn."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from plateside.tasks.set.now import SetNow
from plateside.tasks.set.safe import SafeNow
from plateside.words.set import safe as safe_words
from plateside.words.set.clearing import (
    NO_SHOTS,
    channel_sentences,
    grey_sentence,
    head_sentence,
    kept_sentence,
    release_sentence,
)
from plateside.words.set.grey_asked import SHORT, grey_card_sentence
from plateside.words.set.screen import NOT_WATCHING

if TYPE_CHECKING:
    # it computes, and this is asked for by the server's own process
    from plateside.tasks.set.before_clearing import BeforeClearing, ShotBefore
    from plateside.tasks.set.layers import LayersReport


@dataclass(frozen=True)
class SafeShown:
    """What is on two disks, and what is said of it."""

    state: str
    """of the second disk: tasks.set.safe.SafeNow"""
    all_on_two: bool
    may_be_cleared: bool
    """the memory card"""
    short: str
    """beside the frame; empty when there is nothing to do or to wait for"""
    lines: tuple[str, ...]
    card: tuple[str, ...]


@dataclass(frozen=True)
class SetScreen(SetNow):
    """The screen, and whether anything watches for frames."""

    watching: bool = False
    unwatched: tuple[str, ...] = ()
    """Said when nothing watches: in short, and with the fix."""
    trouble: str = ""
    """Why frames are not judged, when they are not."""
    safe: SafeShown | None = None
    """None: neither a second disk nor a memory card is named"""
    grey: tuple[str, ...] = ()
    """a frame of the grey card is wanted: in short, and why"""


@dataclass(frozen=True)
class ShotCleared:
    """One shot before the set is cleared."""

    name: str
    frame: str
    """to be shown; empty: none is kept"""
    complete: bool
    needs_dish: bool
    lines: tuple[str, ...]


@dataclass(frozen=True)
class ClearingShown:
    """Before the set is cleared: the verdict, then shot by shot."""

    head: str
    may_clear: bool
    shots: tuple[ShotCleared, ...]


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


def screen(now: SetNow, watching: bool, trouble: str, safe: SafeNow | None = None) -> SetScreen:
    """The screen of a shoot."""
    asked = now.grey_card
    return SetScreen(
        **vars(now),
        watching=watching,
        unwatched=() if watching else NOT_WATCHING,
        trouble=trouble,
        safe=None if safe is None else _safe_shown(safe) if watching and not trouble else _not_copying(safe),
        grey=() if asked is None else (SHORT, grey_card_sentence(asked)),
    )


def _not_copying(safe: SafeNow) -> SafeShown:
    """Nothing looks at the disks: what was so at the last look says nothing."""
    return SafeShown(safe.state, False, False, "", (safe_words.NOT_NOW,), ())


def _safe_shown(safe: SafeNow) -> SafeShown:
    card = safe.card
    return SafeShown(
        safe.state,
        safe.all_on_two,
        card is not None and card.may_be_cleared,
        safe_words.short(safe, card),
        tuple(safe_words.sentences(safe)),
        () if card is None else tuple(safe_words.card_sentences(card, second=safe.state != "none")),
    )


def clearing_shown(found: "BeforeClearing") -> ClearingShown:
    """Before the set is cleared."""
    lacking = [shot.name for shot in found.shots if not shot.complete]
    return ClearingShown(
        head_sentence(found.need_dish, lacking) if found.shots else NO_SHOTS,
        not lacking and bool(found.shots),
        tuple(
            ShotCleared(shot.name, shot.frame, shot.complete, shot.needs_dish, tuple(_of_shot(shot)))
            for shot in found.shots
        ),
    )


def _of_shot(shot: "ShotBefore") -> list[str]:
    lines = [kept_sentence(shot.kept, shot.spare)]
    if shot.kept:
        lines += channel_sentences(shot.channels, [(one.channel, one.remarks) for one in shot.left])
    return [*lines, grey_sentence(shot.grey_card), *filter(None, [release_sentence(shot.release)])]


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
