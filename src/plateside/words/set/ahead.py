"""What a delivery of this frame will lack, said while the dish is still there: what, and what mends it."""

from collections.abc import Callable, Mapping

from plateside.deliver.ahead import Ahead
from plateside.words.counting import capital, listed

_MEND: Mapping[str, str] = {
    "step back": "step back",
    "place": "move that crop, or step back",
    "portrait": "shoot this one portrait, or step back",
    "landscape": "shoot this one landscape, or step back",
}
_MORE_PIXELS: Mapping[str, str] = {
    "own crop": "move closer or fill more of the frame",
    "portrait": "shoot this one portrait",
    "landscape": "shoot this one landscape",
    "larger files": "set the camera to its largest picture size",
    "other camera": "this camera has no more: use one with more, or mark the shot “fewer pixels” on the Plan page",
}
_SAID: Mapping[str, Callable[[Ahead], str]] = {
    "runs out": lambda a: (
        f"the food runs out of frame at the {listed(a.names)}: step back, or move the dish."
    ),
    "cut": lambda a: f"about {a.got:.0f} % of the food is outside {listed(a.channels)}: {_MEND[a.mend]}.",
    "text third taken": lambda a: (
        f"the food reaches into the {a.names[0]} third of {listed(a.channels)}, where the text goes: step back, or "
        "leave that third empty."
    ),
    "too few pixels": lambda a: (
        f"too few pixels for {listed(a.channels)}: {a.got:,.0f} of {a.asked:,.0f} px: {_MORE_PIXELS[a.mend]}."
    ),
}
_NOT_OVER: Mapping[str, str] = {
    "none": "There is no other test frame of this shot to lay over it.",
    "turned": "The test frame was taken the other way up: turn the camera to lay it over.",
}


def ahead_sentence(ahead: Ahead) -> str:
    """'Too few pixels for print: 2,400 of 3,000 px: shoot this one portrait.'"""
    return capital(_SAID[ahead.code](ahead))


def ahead_lead(ahead: Ahead) -> str:
    """In short, for where a sentence has no room: 'Too few pixels for print.'"""
    return {
        "runs out": "Food out of frame.",
        "cut": f"Food cut in {listed(ahead.channels)}.",
        "text third taken": "Food where the text goes.",
        "too few pixels": f"Too few pixels for {listed(ahead.channels)}.",
    }[ahead.code]


def over_sentence(why: str) -> str:
    """Why the test frame cannot be laid over a frame; `why`: none, turned."""
    return _NOT_OVER[why]
