"""Planned pictures: what stands under them, and what the command says."""

from collections.abc import Sequence
from datetime import datetime
from typing import Protocol

from plateside.ground.exposure import f_number_words, shutter_words
from plateside.words.counting import clock, day, figures, stops
from plateside.words.light.phrases import LEVEL
from plateside.words.units import Units, length

NOT_A_PHOTOGRAPH = "rendered, not photographed"
FASTER = "Install LLVM 16 or newer to render several times faster (Debian: apt install libllvm19)."


BARE = "bare window, no board"


def over_window(sheet: str) -> str:
    """A what-if's name: 'sheer over the window'."""
    return f"{sheet} over the window"


def board_beside(board: str, side: str, distance_m: float, units: Units) -> str:
    """A what-if's name: 'white board left, 40 cm'."""
    return f"{board} board {side}, {length(distance_m, units)}"


class _Drawn(Protocol):
    """The facts of one planned picture."""

    @property
    def name(self) -> str: ...
    @property
    def at(self) -> datetime: ...
    @property
    def illuminance_lx(self) -> float: ...
    @property
    def key_fill_stops(self) -> float: ...
    @property
    def exposure_s(self) -> float: ...
    @property
    def f_number(self) -> float: ...
    @property
    def iso(self) -> float: ...
    @property
    def clipped_share(self) -> float: ...


def caption(one: _Drawn) -> str:
    """'480 lx on the table, shadow side 1.2 stops darker, f/8, 1/6 s, ISO 100'."""
    settings = f"{f_number_words(one.f_number)}, {shutter_words(one.exposure_s)}, ISO {one.iso:.0f}"
    return f"{figures(one.illuminance_lx)} lx {LEVEL}, shadow side {stops(one.key_fill_stops)} darker, {settings}"


def drawn_lines(one: _Drawn) -> list[str]:
    """One picture of a sheet: its caption, and what clips."""
    at = clock(one.at)
    out = [f"{one.name if one.name == at else f'{one.name} at {at}'}: {caption(one)}."]
    if one.clipped_share >= 0.001:
        out.append(f"{one.name}: {100 * one.clipped_share:.1f} % of the picture clips.")
    return out


def file_line(file: str, width_px: int, height_px: int) -> str:
    """Where the picture is."""
    return f"Planned picture: {file}, {width_px} x {height_px} px. A stand-in dish, {NOT_A_PHOTOGRAPH}."


def picture_lines(
    file: str, width_px: int, height_px: int, drawn: Sequence[_Drawn], engine: str
) -> list[str]:
    """What the command says."""
    return [
        file_line(file, width_px, height_px),
        *(line for one in drawn for line in drawn_lines(one)),
        engine,
    ]


def engine_sentence(fast: bool) -> str:
    """Which renderer drew it."""
    return "Rendered with the fast renderer." if fast else f"Rendered with the plain renderer. {FASTER}"


def sheet_note(when: datetime, sky: str) -> str:
    """Under a sheet of several."""
    return f"{day(when.date())}, {sky}; each exposed for its own light. {NOT_A_PHOTOGRAPH.capitalize()}."
