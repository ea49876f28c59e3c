"""Before the set is cleared: what each shot has, what it lacks, and what still needs the dish."""

from collections.abc import Sequence

from plateside.model.crop import CropRemark
from plateside.words.counting import capital, in_letters, listed, plural
from plateside.words.deliver.crops import crop_sentence

ALL_THERE = "Everything is there: the set may be cleared."
NO_SHOTS = "The shot list is empty."
_GREY = {
    "no": "No grey card frame: take one while this light lasts.",
    "unknown": "Whether a grey card frame is among its frames was not noted: look for one.",
    "yes": "Grey card: yes.",
}
_RELEASE = {
    "missing": "Model release: not signed. Have it signed before anyone leaves, then tick it in the plan.",
    "signed": "Model release: signed.",
    "none needed": "",
}


def spoken(name: str) -> str:
    """'three-bowls' as one says it: 'three bowls'."""
    return name.replace("-", " ")


def kept_sentence(kept: int, spare: str) -> str:
    """A keep and a spare."""
    if not kept:
        return "No frame kept yet."
    if spare == "kept":
        return (
            f"{capital(in_letters(kept))} frames kept: a keep and a spare."
            if kept > 1
            else "A keep and a spare."
        )
    if spare == "good":
        return "One frame kept, and a good one as its spare."
    return "One frame kept, no spare: take one more."


def channel_sentences(channels: int, left: Sequence[tuple[str, Sequence[CropRemark]]]) -> list[str]:
    """`left`: name and remarks of each channel that no kept frame fills, of `channels` in all."""
    if not channels:
        return []
    if not left:
        return ["Fits its channel." if channels == 1 else f"Fits all {plural(channels, 'channel')}."]
    lines = []
    for name, remarks in left:
        why = " ".join(crop_sentence(one) for one in remarks) or "no kept frame can be read."
        lines.append(f"{name}: {why}")
    return lines


def grey_sentence(grey_card: str) -> str:
    return _GREY[grey_card]


def release_sentence(release: str) -> str:
    """Empty where nobody is in the picture."""
    return _RELEASE[release]


def head_sentence(need_dish: Sequence[str], incomplete: Sequence[str]) -> str:
    """The verdict on the whole set."""
    if need_dish:
        verb = "needs" if len(need_dish) == 1 else "need"
        return f"Keep the dish: {listed(spoken(n) for n in need_dish)} still {verb} it."
    if incomplete:
        verb = "lacks" if len(incomplete) == 1 else "lack"
        names = listed(spoken(n) for n in incomplete)
        return f"The dish may go. Before you clear the set: {names} still {verb} something."
    return ALL_THERE
