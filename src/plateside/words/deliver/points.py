"""What is left to fix, and what is worth a remark: each with what fixes it.

`point_sentence` names no file, field or command: it is read on pages and in the note by people who have neither your
settings nor a terminal. `in_files_sentence` has the line to write, or the command, for who works by commands.
"""

from collections.abc import Callable, Sequence

from plateside.deliver.points import Point
from plateside.deliver.words import AIM_CHARACTERS, MOST_CHARACTERS
from plateside.finish.followed import LookOff
from plateside.words.commands import typed
from plateside.words.counting import listed
from plateside.words.finish import again_sentence, look_off_sentence
from plateside.words.retouched import placed

MOST_NAMED = 4

_WITHOUT = "To publish without it, mark the shot “left out” on the Plan page."
_ASIDE = 'In shoot.toml: deliberate = ["left out"] under the shot.'
_IN_RECIPE = "You find it under [recipe] in shoot.toml."


def _recipe_placeholder(p: Point) -> str:
    if p.what == "ingredient":
        return f"The ingredient “{p.text}” is a placeholder: write your own."
    if p.what == "step":
        return (
            f"Step {p.got[0]:.0f} of the recipe says only “{p.text}”: write the sentence your reader needs."
        )
    return f"The recipe's {p.what} is still “{p.text}”: write your own."


def _stale(p: Point) -> str:
    if not p.names:
        return "This delivery has no note of what it was made from: make it again."
    return f"Changed since this delivery was made: {some([source_phrase(name) for name in p.names])}. Make it again."


_SAID: dict[str, Callable[[Point], str]] = {
    "no release": lambda p: (
        f"{p.shot} is held back until everyone recognisable in it has signed a model release (or it is you). "
        "Tick it when they have."
    ),
    "no licence": lambda p: "You state no licence, so nobody knows what they may do: write your terms.",
    "recipe placeholder": _recipe_placeholder,
    "maker placeholder": lambda p: f"The pictures are still by “{p.text}”: write your name.",
    "no frame": lambda p: f"{p.shot} has no frame yet. {_WITHOUT}",
    "not finished": lambda p: f"{p.shot} is not finished yet. {_WITHOUT}",
    "left out": lambda p: f"{p.shot} is left out on purpose.",
    "no picture": lambda p: "Every shot is left out, so there is nothing to publish: choose at least one to deliver.",
    "another select": lambda p: (
        f"The select of {p.shot} has changed since its picture was finished: finish again, then deliver again."
    ),
    "hand changed": lambda p: (
        f"You have set {p.shot} by hand since its picture was finished: finish again, then deliver again."
    ),
    "finish cut short": lambda p: f"Finishing was stopped while it replaced the picture of {p.shot}: finish it again.",
    "unmatched": lambda p: (
        f"{p.shot} is not matched to the series. Compare it by eye: choose another frame, or accept it as it is on "
        "the Finish page."
    ),
    "look off": lambda p: (
        f"{look_off_sentence(LookOff(p.what, *p.got), p.shot)} Choose another frame of it, or match to another shot; "
        "then finish again."
    ),
    "taken again": lambda p: again_sentence(p.shot, True, "", False),
    "better again": lambda p: again_sentence(p.shot, False, p.text, False),
    "words": lambda p: alt_sentence(p),
    "food cut": lambda p: f"{p.shot}: the food is cut in {listed(p.names)}; the reason is beside each crop.",
    "too few pixels": lambda p: (
        f"{p.shot}: too few pixels for {p.channel}, which asks for {_size(p.asked)}; the crop has {_size(p.got)}. To "
        "hand it over smaller, mark the shot “fewer pixels” on the Plan page."
    ),
    "too heavy": lambda p: (
        f"{p.names[0]} is {p.got[0]:.0f} kB, and {p.channel} takes {p.asked[0]:g} kB: ask for fewer pixels there, or "
        "allow more."
    ),
    "squeezed": lambda p: f"{p.names[0]} shows damage, squeezed under {p.asked[0]:g} kB.",
    "no address": lambda p: "Search engines want the pictures' full addresses: write the address of your recipe page.",
    "no shape": lambda p: (
        f"No {p.asked[0]:.0f}:{p.asked[1]:.0f} picture of {p.shot}, which search engines ask for: add a channel of "
        f"that shape, such as {_size(p.got)} pixels."
    ),
    "small for search": lambda p: (
        f"{p.names[0]} has {_size(p.got)} = {p.got[0] * p.got[1]:,.0f} pixels; search engines want {p.asked[0]:,.0f} "
        "or more, so they are not offered it."
    ),
    "stale": _stale,
    "retouched older": lambda p: (
        f"{p.shot}: its picture was made again after you retouched it. Retouch the new one, or keep yours, on the "
        "Finish page."
    ),
    "retouched changed": lambda p: f"{p.shot}: you changed its retouched file: finish again, so that it is looked at.",
    "retouched gone": lambda p: (
        f"{p.shot}: its retouched file is gone. Add it again, or use the picture as it was made, on the Finish page."
    ),
    "retouched waiting": lambda p: f"{_placed(p)} has come back from retouching: finish again to take it in.",
    "retouched unknown": lambda p: f"{_placed(p)} is not used: the Finish page says why.",
    "interrupted": lambda p: "Making the delivery was stopped half-way, so old and new files are mixed: make it again.",
    "files missing": lambda p: f"Gone from the delivery since it was made: {some(p.names)}. Make it again.",
}  # fmt: skip
_IN_FILES = {
    "no release": "In shoot.toml: model_release = true under the shot.",
    "no licence": 'Under [creator] in shoot.toml: usage_terms = "All rights reserved" or licence_url = "https://..." '
    "with your own terms.",
    "recipe placeholder": _IN_RECIPE,
    "maker placeholder": "You find it under [creator] in shoot.toml.",
    "no frame": _ASIDE,
    "no picture": 'Take "left out" out of deliberate = [...] under a shot in shoot.toml.',
    "too few pixels": 'In shoot.toml: deliberate = ["fewer pixels"] under the shot.',
    "no address": 'In shoot.toml: page_url = "https://..." under [creator].',
}
FIX = {
    "no release": "Tick it", "no licence": "Write your terms", "recipe placeholder": "Fix it",
    "maker placeholder": "Fix it", "no frame": "Photograph it", "not finished": "Finish it", "no picture": "Choose one",
    "left out": "Change that", "another select": "Finish it again", "finish cut short": "Finish it again",
    "hand changed": "Finish it again", "retouched older": "Look at it", "retouched changed": "Finish it again",
    "retouched gone": "Look at it", "retouched waiting": "Finish it again", "retouched unknown": "Look at it",
    "look off": "Look at it", "unmatched": "Look at it", "taken again": "Choose another, or keep it",
    "better again": "Choose another, or keep it", "words": "Fix it", "food cut": "See its crops",
    "too few pixels": "See its crops", "too heavy": "Fix the channel", "squeezed": "Fix the channel",
    "no address": "Write the address", "no shape": "Add the channel", "small for search": "Fix the channel",
    "stale": "Make it again", "interrupted": "Make it again", "files missing": "Make it again",
}  # fmt: skip
"""The words of the link or button that leads to where a point is fixed, by its code."""

_ALT = {
    "stand-in": "is only a stand-in: write what the picture shows.",
    "empty": "is empty: say what the picture shows, for those who cannot see it.",
    "file name": "is a file name ({text!r}): say what the picture shows.",
    "needless": "begins with {text!r}: leave that out, readers know already that it is a picture.",
    "too long": "has {got:.0f} characters; at most {most}, better {aim}.",
    "long": "has {got:.0f} characters; {aim} are easier to listen to.",
    "title": "only repeats the title: say what the picture shows.",
    "keywords": "reads like a list of keywords: make it a sentence.",
}
_SOURCES = {
    "picture": "the finished picture of {0}", "words": "the words of {0}", "crop": "the crop of {0} in {1}",
    "dish": "where the dish is in {0}", "shot": "the shot {0}", "channel": "the channel {0}",
    "rights": "your name, licence or terms", "recipe": "the recipe", "page": "the date or the page's address",
    "shots": "the shot list",
}  # fmt: skip


def point_sentence(p: Point) -> str:
    """What it is and what would fix it, without the names of files, fields and commands."""
    return _SAID[p.code](p)


def in_files_sentence(p: Point, root: object) -> str:
    """The line to write in your settings, or the command to run; empty: there is none."""
    again = f"Run: plateside finish {typed(root)}"
    match p.code:
        case (
            "another select" | "finish cut short" | "hand changed" | "retouched changed" | "retouched waiting"
        ):
            return again
        case "not finished":
            return f"{again}. {_ASIDE}"
        case "look off":
            return f"{again} --match-to SHOT"
        case "unmatched":
            return f"{again} --accept {typed(p.shot)}"
        case "no shape":
            return f"In shoot.toml: [[channels]] with width_px = {p.got[0]:.0f}, height_px = {p.got[1]:.0f}."
        case "words" if p.what == "stand-in":
            return 'In shoot.toml: alt_text = "..." under the shot.'
        case "recipe placeholder" if p.what == "step":
            return 'In shoot.toml: text = "..." under that step.'
        case _:
            return _IN_FILES.get(p.code, "")


def in_full(p: Point, root: object) -> str:
    """Both, for who works by commands."""
    return " ".join(part for part in (point_sentence(p), in_files_sentence(p, root)) if part)


def alt_sentence(p: Point) -> str:
    """What is wrong with an alternative text."""
    got = p.got[0] if p.got else 0
    said = _ALT[p.what].format(text=p.text, got=got, most=MOST_CHARACTERS, aim=AIM_CHARACTERS)
    return f"The alt text of {p.shot} {said}"


def source_phrase(name: str) -> str:
    """As 'the finished picture of cup', of 'picture cup' (see deliver.sources)."""
    kind, *of = name.split(" ")
    return _SOURCES[kind].format(*of) if kind in _SOURCES and len(of) >= _SOURCES[kind].count("{") else name


def some(names: Sequence[str]) -> str:
    """The first few names, and how many more."""
    more = len(names) - MOST_NAMED
    return ", ".join(names[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")


def _placed(p: Point) -> str:
    return some([placed(name) for name in p.names])


def _size(pixels: Sequence[float]) -> str:
    return " x ".join(f"{side:.0f}" for side in pixels)
