"""The set card: what is printed on it, how to print it, and what one frame of it says."""

from typing import Protocol

from plateside.camera.card.advice import Move
from plateside.camera.card.pose import CardPose
from plateside.light.meter.iso12232 import MeasuredLight
from plateside.words.counting import figures
from plateside.words.set.acts import card_move_phrase
from plateside.words.units import Units, length_mm

STEEP_DEG = 80.0
"""From here up the camera is set to look straight down."""
BACK = "Show this side to the camera and take one frame: the next shot becomes the current one."
BEND = (
    "Print it at 100 %, without 'fit to page', on matt paper; glue it to stiff board so that it stays flat."
)
AS_PLANNED = "The camera is where you want it."
NO_CARD = (
    "at least two whole markers must be in frame, sharp and not in shadow. Wipe it, turn it to the light, and take the "
    "frame again."
)
WHICH_SHOOT = "Say which shoot the shot is of: plateside card SHOOT --read FRAME --shot NAME"
GREY = {
    "needs raw": "light: needs a raw, as the camera has changed the brightness of its JPEG",
    "no settings": "light: the frame does not give f-number, time and ISO",
    "too small": "light: the grey card's place is too small in the frame",
    "no grey card": "light: put your grey card in the dashed place, and you get the light as well",
    "too bright": "light: what is in the dashed place is too bright for an 18 % grey card",
}
"""Why there is no reading of the light, by the code of CardReport.grey."""


class _Read(Protocol):
    """What one frame of the card says."""

    @property
    def frame(self) -> str: ...
    @property
    def pose(self) -> CardPose: ...
    @property
    def magnification(self) -> float: ...
    @property
    def effective_focal_length_mm(self) -> float: ...
    @property
    def to_do(self) -> tuple[Move, ...]: ...
    @property
    def light(self) -> MeasuredLight | None: ...
    @property
    def grey(self) -> str: ...
    @property
    def print_scale(self) -> float: ...


def front_sentences(ruler_mm: float) -> str:
    """Printed on the front."""
    return (
        "Lay this card flat where the dish will be, with your own grey card here in the middle. Take one frame. Then "
        f"measure the ruler below: if it is not exactly {ruler_mm:.0f} mm long, give Plateside what you measured. Keep "
        "the card dry, flat and out of the food."
    )


def printed_lines(path: str, paper: str, ruler_mm: float) -> list[str]:
    """What the command says of a card that it made."""
    return [
        f"Set card for {paper}: {path} (front and back)",
        BEND,
        f"Then measure the ruler: it should be {ruler_mm:.0f} mm. If it is not, give what you measured: "
        "plateside card --read FRAME --ruler MM",
    ]


def card_lines(card: _Read, units: Units) -> list[str]:
    """What one frame of the card says; what to move last."""
    p = card.pose
    if p.back:
        return [f"{card.frame}: the back of the set card: next shot."]
    out = [
        f"{card.frame}: {p.markers_found} of {p.markers_printed} markers of the {p.paper} set card in frame",
        f"scale {p.mm_per_px:.4f} mm per pixel; magnification {card.magnification:.4f}",
        f"lens {length_mm(p.distance_mm, units, 1)} from the set card, {length_mm(p.height_mm, units, 1)} above it",
        tilt_phrase(p),
        focal_phrase(card),
    ]
    if card.print_scale != 1.0:
        out.append(f"printed {100 * (card.print_scale - 1):+.1f} % off its size: allowed for")
    return [
        *out,
        light_phrase(card),
        *(
            [f"Next: {card_move_phrase(m.code, m.amount, m.way, m.now, m.wanted)}" for m in card.to_do]
            or [AS_PLANNED]
        ),
    ]


def tilt_phrase(p: CardPose) -> str:
    """How the camera is tilted."""
    if p.elevation_deg >= STEEP_DEG:
        return f"off straight down: {p.tilt_right_deg:+.1f}° to the right, {p.tilt_up_deg:+.1f}° to the top"
    return f"elevation {p.elevation_deg:.1f}°, roll {p.roll_deg:+.1f}°"


def focal_phrase(card: _Read) -> str:
    """The focal length that the card shows; from straight above only the lens's own mark is known."""
    from_card = (
        "measured" if card.pose.focal_length_certain else "as marked: straight down it cannot be measured"
    )
    return f"focal length at this distance {card.effective_focal_length_mm:.1f} mm ({from_card})"


def light_phrase(card: _Read) -> str:
    """The light on the grey card, or why there is none."""
    if card.light is None:
        return GREY[card.grey]
    lux, spread = card.light.illuminance_lx, card.light.spread_stops
    low, high = (figures(lux * 2 ** (sign * spread)) for sign in (-1, 1))
    return f"light on the grey card about {figures(lux)} lx ({low}-{high})"


def no_card(frame: str) -> str:
    """No set card in the frame."""
    return f"No set card found in {frame}: {NO_CARD}"


def no_focal_length(frame: str) -> str:
    """A frame without its focal length."""
    return f"{frame} has no focal length in it (EXIF FocalLength): use a frame as the camera wrote it."


def no_paper(paper: str, known: tuple[str, ...]) -> str:
    """A paper that the card is not made for."""
    return f"There is no set card for the paper {paper!r}: choose {', '.join(known)}."


def no_ruler(paper: str, true_mm: float, given_mm: float) -> str:
    """A ruler's length that cannot be."""
    return f"The ruler on the {paper} set card is {true_mm:.0f} mm long; {given_mm:g} mm cannot be it."
