"""What cannot be done on set or while choosing: what you gave, and the fix."""

from collections.abc import Sequence

from plateside.words.commands import typed
from plateside.words.counting import listed

SHOT_WITHOUT_WORDS = "Say what is in the picture, in a word or two."
NOT_LANDED = "That frame has not landed in this shoot."
LAYER_FRAME_GONE = "A layer's frame is not in the frames folder any more."
CLOCK_IN_SECONDS = "A camera's clock is off by a number of seconds, such as -3600."


NO_FOUR_CORNERS = "A colour chart has four corners, each within the picture: put all four in place."


def no_such_frame(name: str, names: Sequence[str]) -> str:
    """`names`: of the frames that are there."""
    such = f", such as {', '.join(names[:3])}" if names else ""
    return f"There is no frame {name} in the frames folder; there are {len(names)}{such}."


def no_such_frame_near(name: str, near: Sequence[str]) -> str:
    hint = f" Nearest names: {', '.join(near)}." if near else ""
    return f"There is no frame {name} in the frames folder.{hint}"


def several_frames(name: str, names: Sequence[str]) -> str:
    return f"{name} is the name of {len(names)} frames: {', '.join(names)}. Say which."


def frame_gone(name: str) -> str:
    return f"{name} is not in the frames folder any more."


def not_written_down(error: object) -> str:
    return f"The verdicts could not be saved: {error}"


def of_another_shot(name: str, has: str, shot: str, root: object) -> str:
    return (
        f"{name} belongs to {has or 'no shot'}, not to {shot}. If it is of {shot}, say so first: "
        f"plateside shot {typed(root)} {shot} --frames {typed(name)}"
    )


def belongs_elsewhere(has: str, shot: str) -> str:
    return f"That frame belongs to {has}, not to {shot}."


def changed_elsewhere(at: str) -> str:
    return f"This was changed on another screen at {at}. Look at what it is now, then press again."


def no_decision(kind: str, kinds: Sequence[str]) -> str:
    return f"There is no decision called {kind!r}; there are: {', '.join(kinds)}."


def press_lacks(kind: str, missing: Sequence[str]) -> str:
    return f"A press of {kind!r} must also say: {', '.join(missing)}."


def text_wanted(fields: Sequence[str]) -> str:
    return f"Text is wanted for: {', '.join(fields)}."


def no_channel(name: str) -> str:
    return f"There is no channel called {name!r}."


IS_SELECT = "This frame is its shot's select: it is in the series already."


def use_is(uses: Sequence[str]) -> str:
    return f"A frame beside the selects is one of: {', '.join(uses)}."


def words_are(fields: Sequence[str]) -> str:
    return f"The words of a picture are: {', '.join(fields)}."


# ---- Places in a picture --------------------------------------------------------------------------------------

PLACES = {"crop": "A crop", "dish": "The dish's place", "grey card": "The grey card's place"}


def no_box(what: str) -> str:
    return f"{PLACES[what]} is four numbers: left, top, width and height as shares of the picture."


def box_outside(what: str, x: float, y: float, w: float, h: float) -> str:
    return (
        f"{PLACES[what]} is not within the picture: from {x:.4g} to {x + w:.4g} across and from {y:.4g} to "
        f"{y + h:.4g} down, where 0 to 1 is the picture."
    )


def box_too_small(what: str, w: float, h: float) -> str:
    return f"{PLACES[what]} is {w:.4g} wide and {h:.4g} high: give it at least 0.02 of the picture both ways."


def no_place(place: str) -> str:
    return (
        f"{place!r} is not a place in a frame: give across,down as shares from its upper left, such as 0.62,0.40 "
        "(or across,down,width,height)."
    )


def touched_beside(across: float, down: float) -> str:
    return f"{across:.2f} across and {down:.2f} down is beside the frame: touch the grey card within it."


def not_judged(root: object, name: str) -> str:
    return f"{name} has not been judged yet: plateside judge {typed(root)} {typed(name)}"


# ---- Lamps ----------------------------------------------------------------------------------------------------


def nothing_to_compare(shot: str) -> str:
    return (
        f"No frame of {shot} has landed yet, so there is nothing to compare with. Take one with everything as it is, "
        "then ask again."
    )


LAMP_FRAME_GONE = "The frame with the suspected lamp is not in the frames folder any more: ask again."
LAMP_OTHER_SHAPE = "The two frames have different shapes: ask again and keep the camera as it is."
LAMP_OTHER_SCENE = (
    "The frame does not show the same set-up as the suspected one: lamps off, camera and dish as they were, one more "
    "frame."
)

# ---- Layers ---------------------------------------------------------------------------------------------------


def too_few_layers(shot: str, count: int) -> str:
    return f"{shot} has {count} layer{'' if count == 1 else 's'}: it takes two to show them side by side."


def no_such_layer(number: int, most: int) -> str:
    return f"Layer {number} cannot be shown beside the newest: choose 1 to {most}."


def pair_wanted(option: str, text: str) -> str:
    return f"--{option} {text!r}: write it as SHOT=FRAME, such as --{option} three-bowls=IMG_0012.jpg"


LAYER_TAKES_ONE_FRAME = "--layer keeps one frame: plateside judge SHOOT FRAME --layer"


# ---- Choosing -------------------------------------------------------------------------------------------------


def no_select_yet(folder: str, root: object) -> tuple[str, str]:
    return (
        f"No shot has a select yet: shoot first, or put frames in the folder {folder}.",
        f"Then run: plateside choose {typed(root)}",
    )


def select_not_there(shot: str, frame: str, folder: str, root: object) -> tuple[str, str]:
    return (
        f"The select of {shot}, {frame}, is not in the folder {folder}: copy it back, or choose another.",
        f"Run: plateside choose {typed(root)} --select {typed(shot)}=FRAME",
    )


def select_changed(shot: str, name: str) -> str:
    return (
        f"{name}, the select of {shot}, has changed since you chose it. Copy it off the memory card again; originals "
        "are never changed here."
    )


def shot_without_frame(shot: str) -> str:
    return f"{shot} has no frame yet: left out."


def between_frames(most: int) -> str:
    return f"Between 1 and {most} frames at once."


NO_SUCH_PICTURE = "There is no such picture."
NONE_LANDED = "None of these frames has landed in this shoot."
NO_SUCH_FRAME = "There is no such frame."
CANNOT_BE_SHOWN = "That frame cannot be shown."
SAY_WHERE_TOUCHED = "Say where you touched: across and down, each from 0 to 1."
PRESS_WITHOUT_ROW = "A press says the number of the last row that the page has seen."


def settings_are(names: Sequence[str]) -> str:
    return f"The settings are {listed([repr(n) for n in names])}."
