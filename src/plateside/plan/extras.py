"""What a set-up may need besides: a polariser, a clean frame, a grey card frame.

`extra_minutes`  the time that the frames take, before the hero comes in
`offers_of`      what would help a shot that has not got it, by code
"""

from collections.abc import Sequence

from plateside.camera.findings import Finding
from plateside.model.shoot import Shot

EXTRA_MIN = 1.5
"""A frame of the empty set, or of the grey card, laid and taken away (common practice, no source)."""
MIRROR_SHARE = 0.1
"""From this share of a shiny dish on, what it mirrors is worth a polariser (common practice, no source)."""
POLARISER_STOPS = (1.0, 2.0)
"""What a polariser takes, by its make and turn (common practice, no source): read it on the lens."""


def extra_minutes(shot: Shot) -> float:
    """Minutes for the frames taken besides."""
    return EXTRA_MIN * len(shot.extras)


def offers_of(shot: Shot, checks: Sequence[Finding]) -> tuple[str, ...]:
    """Codes of what would help: polariser, clean frame, grey card.

    A polariser where a shiny dish mirrors a window or the camera (it takes nothing off metal); a clean frame where
    hands or something that moves may spill on the set; a grey card frame always, for Finish goes by it.
    """
    out = []
    mirrors = max(
        (c.got or 0.0 for c in checks if c.kind == "gloss" and c.code in ("window", "camera")), default=0.0
    )
    if shot.polariser_stops is None and mirrors >= MIRROR_SHARE:
        out.append("polariser")
    if "clean frame" not in shot.extras and (shot.person or shot.moves not in ("nothing", "steam")):
        out.append("clean frame")
    if "grey card" not in shot.extras:
        out.append("grey card")
    return tuple(out)
