"""What a crop could not give."""

from collections.abc import Callable

from plateside.model.crop import CropRemark
from plateside.words.counting import listed

_HELP = {
    "as placed": "as you placed it",
    "portrait": "shoot this one portrait, or step back",
    "landscape": "shoot this one landscape, or step back",
    "step back": "step back, or move the crop yourself",
}
_SAID: dict[str, Callable[[CropRemark], str]] = {
    "runs out": lambda r: (
        f"The food runs out of frame at the {listed(r.names)}: step back, or move the dish."
    ),
    "larger": lambda r: (
        f"The food fills {r.got[0]:.1f} times as much of the frame as the shot list says: you framed tighter, or the "
        "widths of dish and frame there need a fix."
    ),
    "cut": lambda r: f"About {r.got[0]:.0f} % of the food is outside this crop: {_HELP[r.what]}.",
    "text third taken": lambda r: (
        f"The food reaches into the {r.what} third, where the text goes: step back, or leave that third empty."
    ),
    "text third busy": lambda r: (
        f"The {r.what} third is free of food but busy: check that text can be read there."
    ),
    "too few pixels": lambda r: (
        f"Too few pixels: {r.asked[0]:.0f} x {r.asked[1]:.0f} asked, the crop has {r.got[0]:.0f} x {r.got[1]:.0f}; "
        f"delivered at {r.got[2]:.0f} x {r.got[3]:.0f}, not enlarged."
    ),
    "too heavy": lambda r: (
        f"{r.names[0]}: {r.got[0]:.0f} kB at the lowest quality used, {r.asked[0]:g} kB allowed: ask for fewer pixels."
    ),
    "squeezed": lambda r: (
        f"{r.names[0]}: squeezed under {r.asked[0]:g} kB it shows damage: fewer pixels or a larger limit look better."
    ),
}


def crop_sentence(remark: CropRemark) -> str:
    """One thing that is not as asked."""
    return _SAID[remark.code](remark)
