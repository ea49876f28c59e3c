"""What was done about a picture's lens, or why nothing was. Light to import: journal, lists and pages read it too."""

from collections.abc import Mapping
from dataclasses import dataclass, field

DISTORTION, FRINGES, SHADING = "distortion", "fringes", "shading"
"""What can be put right: lines bent, colours that do not lie on each other, dark corners."""
ON, OFF = "on", "off"
"""What is set for the series; anything else names the profile to take where several fit."""
FILE, PROFILE = "file", "profile"
"""By what it was corrected: the raw file's own word, or a profile."""
NO_EXTRA, NO_CAMERA, NO_LENS, UNKNOWN, SEVERAL = "no extra", "no camera", "no lens", "unknown", "several"
NO_FOCAL_LENGTH, DAMAGED, NOTHING_TO_DO, CAMERA_MADE = (
    "no focal length",
    "damaged",
    "nothing to do",
    "camera made",
)
"""Why it was left: the extra is not installed; the camera, the lens has no profile; the file names no lens; more than
one profile may fit; the file says no focal length; what it says of its lens is damaged; a profile without faults; a
camera's JPEG, which may be corrected already."""
CODES = (
    FILE, PROFILE, OFF, NO_EXTRA, NO_CAMERA, NO_LENS, UNKNOWN, SEVERAL, NO_FOCAL_LENGTH, DAMAGED, NOTHING_TO_DO,
    CAMERA_MADE,
)  # fmt: skip
_LONGEST = 200


@dataclass(frozen=True)
class LensDone:
    """Of one picture."""

    code: str = CAMERA_MADE
    """FILE or PROFILE: it was corrected; else why not"""
    name: str = ""
    """of the profile; of a lens that was left, as its file says it"""
    does: tuple[str, ...] = ()
    """what was put right (see lens.DISTORTION)"""
    others: tuple[str, ...] = field(default=())
    """profiles that may fit, where more than one may; yours among them once you chose"""

    def is_named(self, name: str) -> bool:
        """Whether that is its name, with or without its maker's."""
        return bool(name) and (self.name == name or self.name.endswith(f" {name}"))

    def another(self, use: str) -> bool:
        """Whether what is set now (`use`: ON or a name) asks for another profile than the one it was made by."""
        if self.code == SEVERAL:
            return use in self.others
        return bool(self.others) and not self.is_named(use)

    @property
    def corrected(self) -> bool:
        """Whether anything was put right."""
        return self.code in (FILE, PROFILE)


LEFT = LensDone()


def lens_done_of(row: object) -> LensDone:
    """From a list; of an earlier version's, LEFT. Raises ValueError, TypeError when it is none of ours."""
    if row is None:
        return LEFT
    if not isinstance(row, Mapping) or row.get("code") not in CODES or not isinstance(row.get("name"), str):
        raise ValueError("lens")
    does, others = row.get("does", ()), row.get("others", ())
    for names in (does, others):
        if (
            not isinstance(names, list | tuple)
            or len(names) > 20
            or not all(isinstance(n, str) for n in names)
        ):
            raise TypeError("lens")
    return LensDone(str(row["code"]), str(row["name"])[:_LONGEST], tuple(does), tuple(others))
