"""The delivery: what the command answers, the page's headline, what is greyed out, what to know before you pack."""

from plateside.deliver.facts import DeliverFacts
from plateside.words.counting import megabytes, plural
from plateside.words.deliver.crops import crop_sentence
from plateside.words.deliver.points import in_full

NOTHING_YET = (
    "Each picture is cropped and sized for its channels, with words and rights inside. Nothing delivered yet."
)
NO_CHANNELS = "No channel yet for the pictures to go to: add one on the Plan page."
NOTHING_LEFT = "Nothing held back, nothing left to fix."
_GREYED = {
    "": "",
    "channel": "Greyed out: needs a channel. Add one on the Plan page.",
    "held back": "Greyed out: needs a picture that is not held back.",
    "no picture": "Greyed out: needs a finished picture.",
    "nothing to pack": "Greyed out: needs a frame or a delivery.",
    "no licence": "Greyed out: needs your terms.",
    "nothing to check": "Greyed out: needs a delivery or a package.",
}
_BEFORE_PACKING = {
    "stale": "The delivery is older than your last changes: make it again first.",
    "interrupted": "Making the delivery was stopped half-way: make it again first.",
    "not ready": "It is not ready to publish: see what to fix first, at the top of the page.",
}


def deliver_lines(d: DeliverFacts, folder: object, root: object, look_at: tuple[object, ...]) -> list[str]:
    """What `plateside deliver` answers: what is there, each crop, what to fix first, whether it is ready."""
    files = sum(len(c.files) for c in d.crops)
    size = sum(f.bytes for c in d.crops for f in c.files)
    lines = [
        f"{there_phrase(len(d.crops), files)} ({megabytes(size)}), in {folder}: {d.written} made, "
        f"{files - d.written} unchanged, {d.removed} removed."
    ]
    for crop in d.crops:
        lines.append(f"{crop.shot}, {crop.channel}: {crop.width_px} x {crop.height_px}")
        lines += [f"  {crop_sentence(r)}" for r in crop.remarks]
    lines += [f"fix first: {in_full(p, root)}" for p in d.fix_first]
    lines += [f"remark: {in_full(p, root)}" for p in d.remarks]
    lines.append(f"Look at it: {' and '.join(str(path) for path in look_at)}")
    return [*lines, ready_sentence(d.ready, len(d.remarks))]


LEFT_OUT = "Left out on purpose: you do not deliver it, and nothing waits for it."
HELD_BACK = "Held back until everyone recognisable has signed a model release (or it is you)."
ANOTHER_SELECT = "The select has changed since: finish the series again, then deliver."
NO_FRAME = "No frame of this shot yet."
DISH = {
    "moving": "Drag the dashed box over the dish, or use arrows, + and −.",
    "yours": "The dashed box is where you marked the dish.",
    "guess": "The dashed box is a guess at the dish. Crops keep it whole: move it if it is wrong.",
}
HINTS = {
    "title": "One line; also the name of the picture in search.",
    "caption": "The sentence under the picture.",
    "alt_text": "What the picture shows, for those who cannot see it.",
}
NO_SHOTS = "The shot list is empty: write it on the Plan page."


def release_phrase(shot: str) -> str:
    """Beside the box that says so; what it means stands in docs/deliver.md."""
    return f"Everyone recognisable in '{shot}' has signed a model release (or it is you)"


def as_taken_sentence(name: str, by_you: bool, frames: int) -> str:
    """Which frame stands for a shot before it is finished."""
    which = "your select" if by_you else f"the latest of {plural(frames, 'frame')}; no select yet"
    return f"{name}, straight from the camera: {which}."


def there_phrase(crops: int, files: int) -> str:
    """'14 crops, 77 files'."""
    return f"{plural(crops, 'crop')}, {plural(files, 'file')}"


def headline_sentence(crops: int, files: int, ready: bool, remarks: int) -> str:
    """'14 crops, 77 files, in the delivery folder. Ready to publish; 2 remarks.'"""
    return f"{there_phrase(crops, files)}, in the delivery folder. {ready_sentence(ready, remarks)}"


def made_sentence(crops: int, files: int, size: int, written: int, removed: int) -> str:
    """What came of making it, beside the button that did."""
    gone = f", {removed} no longer wanted and removed" if removed else ""
    return (
        f"{there_phrase(crops, files)}, {megabytes(size)}: {written} made, {files - written} unchanged{gone}."
    )


def ready_sentence(ready: bool, remarks: int) -> str:
    """Whether it may go out: what keeps it, or what would only make it better."""
    if not ready:
        return "Not ready to publish: see what to fix first."
    return f"Ready to publish; {plural(remarks, 'remark')}." if remarks else "Ready to publish."


def greyed_out(code: str) -> str:
    """Why a button cannot be pressed; empty: it can."""
    return _GREYED[code]


def before_packing(codes: list[str]) -> str:
    """What to know before you hand over the delivery that is there; empty: nothing."""
    return " ".join(_BEFORE_PACKING[code] for code in codes)
