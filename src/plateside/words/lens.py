"""What is said of a picture's lens and of what was squared: done, left alone and why, and what to do about it."""

from collections.abc import Sequence

from plateside.finish.facts import FinishFacts
from plateside.finish.lens_facts import (
    CAMERA_MADE,
    DAMAGED,
    DISTORTION,
    FILE,
    FRINGES,
    NO_CAMERA,
    NO_EXTRA,
    NO_FOCAL_LENGTH,
    NO_LENS,
    NOTHING_TO_DO,
    OFF,
    SEVERAL,
    SHADING,
    UNKNOWN,
    LensDone,
)
from plateside.finish.square import Square
from plateside.words.counting import listed, once_with_names

_DOES = {
    DISTORTION: "bent lines straightened", FRINGES: "colour fringes taken off",
    SHADING: "dark corners brightened",
}  # fmt: skip
INSTALL = 'pip install "plateside[lens]"'


def lens_sentences(done: LensDone) -> list[str]:
    """What was done about a lens, or why it was left alone; nothing of a camera's JPEG."""
    if done.corrected:
        by = "as the raw itself says" if done.code == FILE else f"by lensfun's profile of {done.name}"
        return [f"Lens corrected {by}: {listed([_DOES[one] for one in done.does if one in _DOES])}."]
    why = _left(done)
    return [f"Lens left as it is: {why}."] if why else []


def _left(done: LensDone) -> str:
    match done.code:
        case code if code in (CAMERA_MADE, NO_EXTRA, OFF):
            return ""  # said once, of the series
        case code if code == NO_CAMERA:
            return f"no profile for the camera {done.name}" if done.name else "the file names no camera"
        case code if code == UNKNOWN:
            return f"no profile for {done.name}"
        case code if code == SEVERAL:
            named = done.name or "the lens of this camera"
            return f"{named} may be {listed(list(done.others), 'or')}; choose yours on the Finish page, or with --lens"
        case code if code == NO_LENS:
            return "the file names no lens"
        case code if code == NO_FOCAL_LENGTH:
            return f"the file does not say at which focal length {done.name} was used"
        case code if code == DAMAGED:
            return f"what {done.name} says of it is damaged"
        case code if code == NOTHING_TO_DO:
            return f"the profile of {done.name} asks for no correction"
    return ""


def handed_over(done: LensDone, square: Square | None) -> list[str]:
    """What stays in the file: only what was done."""
    return [*(lens_sentences(done) if done.corrected else []), *square_sentences(square)]


def square_sentences(square: Square | None) -> list[str]:
    """By what a picture was squared."""
    if square is None:
        return []
    return [
        f"Squared by the set card in {square.card}."
        if square.card
        else "Squared by the four corners you gave."
    ]


def series_sentences(of: Sequence[LensDone]) -> list[str]:
    """What holds for the series, said once: the switch is off, the extra is not installed."""
    codes = {one.code for one in of}
    if NO_EXTRA in codes:
        return [f"Lenses left as they are: lens profiles are not installed. {INSTALL}"]
    return ["Lenses left as they are, as you set it. --lens on corrects them."] if OFF in codes else []


def report_lines(f: FinishFacts) -> list[str]:
    """What `plateside finish` says of lenses: what holds for all once, then what was left of each lens, once."""
    said = ((one.shot, [*lens_sentences(one.lens), *square_sentences(one.square)]) for one in f.finished)
    return [*series_sentences([one.lens for one in f.finished]), *once_with_names(said)]


# ---- the page --------------------------------------------------------------------------------------------------

NOT_SQUARE = {
    "crossed": "Those are not the four corners of a flat rectangle: give upper left, upper right, lower right and "
    "lower left.",
    "small": "That rectangle is too small to square the picture by: choose a larger one, such as a tray or the table.",
    "steep": "Too steep to square: less than a third of the picture would be left. Choose another rectangle.",
}


def squared(shot: str) -> str:
    return f"{shot} is squared: make the series again to have it in the file."


def no_card_seen(frame: str) -> str:
    return (
        f"No set card is seen in {frame}, nor in a frame of the card at the same focal length. Give the four corners "
        "of something flat and rectangular."
    )


def cannot_square(shot: str) -> str:
    return f"{shot} cannot be squared by its corners. Take them back: --square none --for {shot}."


def no_frame_to_square(shot: str, names: Sequence[str]) -> str:
    have = f"Shots with a select: {listed(list(names))}." if names else "No shot has a select yet."
    return f"{shot!r} has no select to square. {have}" if shot else f"Say of which shot with --for. {have}"


NO_LENS_SWITCH = "--lens is on, off, or the name of the profile to use where several fit."
SHAPE_WITHOUT_SQUARE = "--shape is of the rectangle whose corners you give: add --square X,Y,..."


def no_square(text: str) -> str:
    return (
        f"--square is {text!r}; allowed: card, none, or x,y of four corners as shares of the frame as you took it "
        "(upper left, upper right, lower right, lower left), such as 0.2,0.2,0.8,0.2,0.9,0.9,0.1,0.9."
    )


def no_shape(text: str) -> str:
    return f"--shape is {text!r}; allowed: width and height of the rectangle, such as 3:2 or 297x210, at most 20 to 1."
