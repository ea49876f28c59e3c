"""Frames against the test frame of their set-up, each with what may rightly be said first of it.

The right acts stand beside each kind (RIGHT): more than one may be right. They follow the order in which a set is put
right (`frames.verdict.FIRST`: common practice, no source) and how each frame was made. Numbers are held to what a
photographer can set: a third of a stop, one click of the dial; 15 mired, below which few see a cast (both common
practice, no source).
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.colour import cast_of
from plateside.frames.compare import compare, reference_of
from plateside.frames.exposure import small_linear
from plateside.frames.measure import facts_of
from plateside.frames.verdict import verdict_against
from plateside.model.frame import Act, Settings, Verdict
from plateside.model.shoot import Shot
from tests.synthetic.blur_cases import blur_cases
from tests.synthetic.faults import KINDS, blurred, changed, composed, disc, frame_of, streak
from tests.synthetic.light_cases import lamp_field, table, with_prop
from tests.synthetic.other_kinds import graded, other_case
from tests.synthetic.scenes import Array, Scene, flat, light_over

AT = Settings(
    focal_length_mm=50, f_number=8, exposure_s=1 / 3, iso=100, auto_iso=False, auto_white_balance=False
)
CLICK_STOPS, SEEN_MIRED = 1 / 3, 15.0
WIDTH = 900

RIGHT: dict[str, tuple[str, ...]] = {
    # nothing to change: `keep`, after a place to look at or not
    "same": (), "same, shallow": (), "same, dark": (), "same, pale": (), "prop added": (), "clouds": (),
    # light
    "under": ("expose",), "over": ("expose",), "warmer": ("colour changed",), "cooler": ("colour changed",),
    "lamp": ("lamp on",), "lamp, prop": ("lamp on",), "lamp, under": ("lamp on",),
    "under, warmer": ("expose",),
    # an automatic that would undo the correction comes before it
    "under, auto ISO": ("auto iso",), "warmer, auto white balance": ("auto white balance",),
    # the camera
    "camera": ("camera moved",), "camera, under": ("camera moved",), "zoom": ("zoom changed",),
    "another set-up": ("another scene",),
    # blur; what is out of focus is focused again, whichever of the two is said
    "defocus": ("out of focus", "focus elsewhere"), "elsewhere": ("focus elsewhere", "out of focus"),
    "behind": ("focus elsewhere", "out of focus"), "breathing": ("focus elsewhere", "out of focus"),
    "less depth": ("less depth",), "aperture": ("less depth", "aperture changed"),
    "shake": ("shake",), "bent shake": ("shake",), "shake, under": ("shake",),
    "motion": ("moved", "part moved"), "part moving": ("part moved", "moved"),
    # a camera that moved and shook is put back and held still: either may come first
    "camera, shake": ("camera moved", "shake"),
    "defocus, warmer": ("out of focus", "focus elsewhere"),
    "motion, lamp": ("moved", "part moved"),
}  # fmt: skip
"""Codes of the acts that may come first, by how the frame was made; none: the frame is to be kept."""


@dataclass(frozen=True, eq=False)
class FirstCase:
    """A test frame, a later one, and what was done."""

    kind: str
    reference: NDArray[np.uint8]
    frame: NDArray[np.uint8]
    shot: Shot
    before: Settings = AT
    after: Settings = AT
    stops: float | None = None
    """How much brighter the later frame is, where that is the fault."""
    mired: float | None = None
    """How much warmer, where that is."""

    def is_right(self, act: Act) -> bool:
        """Whether `act` may rightly come first."""
        right = RIGHT[self.kind]
        if not right:
            return act.code in ("keep", "look at part")
        if act.code not in right:
            return False
        if act.code == "expose" and self.stops is not None:
            return abs((act.stops or 0.0) + self.stops) <= CLICK_STOPS
        if act.code == "colour changed" and self.mired is not None:
            return abs((act.mired or 0.0) - self.mired) <= max(SEEN_MIRED, 0.25 * abs(self.mired))
        return True


def told_first(case: FirstCase) -> Verdict:
    """The whole verdict against the test frame, as `judge` makes it of a JPEG."""
    box = facts_of(case.reference, case.shot).subject_box
    test_frame = reference_of("r", case.reference, small_linear(case.reference), case.before, box)
    shallow = (case.shot.background_blur_percent or 0.0) > 0
    seen = compare(test_frame, case.frame, small_linear(case.frame), case.after, wants_shallow=shallow)
    assert seen is not None
    return verdict_against(facts_of(case.frame, case.shot), seen, case.shot, case.after, case.before)


def first_case(
    photos: tuple[str, ...], seed: int, kind: str, scene: Scene | None = None, width: int = WIDTH
) -> FirstCase:
    """One case of a kind of RIGHT; `scene`: of this one, `width` px wide, in the place of one by the seed."""
    rng = np.random.default_rng([seed, 31])
    scene = scene or table(photos, int(rng.integers(1 << 31)), width, width * 2 // 3)
    if kind in KINDS or kind in ("less depth", "bent shake", "behind", "part moving"):
        return _of_blur(photos, seed, kind, scene, width)
    return _made(photos, kind, scene, rng)


def _shot(scene: Scene, *, shallow: bool = False) -> Shot:
    """A shot that expects its hero about where the scene has it."""
    x0, y0, x1, y1 = scene.subject_box
    return Shot(
        name="bowl", elevation_deg=0.0, frame_width_mm=600.0, frame_height_mm=400.0,
        dish_width_mm=600 * (x1 - x0), dish_height_mm=400 * (y1 - y0),
        background_blur_percent=1.0 if shallow else None,
    )  # fmt: skip


def _of_blur(photos: tuple[str, ...], seed: int, kind: str, scene: Scene, width: int) -> FirstCase:
    if kind in KINDS:
        place = KINDS.index(kind)
        case = list(blur_cases(photos, place + 1, seed, width, lambda _k: scene))[place]
    else:
        case = other_case(photos, seed, kind, width, scene)
    return FirstCase(kind, case.reference, case.frame, _shot(scene, shallow=case.wants_shallow))


def _gains(mired: float) -> NDArray[np.float32]:
    """Red, green and blue of a light that is so much warmer, as bright."""
    tried = np.linspace(-1.5, 1.5, 601)
    casts = np.array([cast_of((2.0**t, 1.0, 2.0**-t))[0] for t in tried])
    t = float(tried[int(np.argmin(np.abs(casts - mired)))])
    gains = np.array([2.0**t, 1.0, 2.0**-t])
    return np.asarray(gains / float(gains @ np.array([0.2126, 0.7152, 0.0722])), np.float32)


def _moved(linear: Array, rng: np.random.Generator) -> Array:
    """The camera knocked: aside, turned, nearer or further."""
    height, width = linear.shape[:2]
    while True:
        away = rng.uniform(-0.06, 0.06, 2) * width
        turn, scale = float(rng.uniform(-3, 3)), float(rng.uniform(0.93, 1.07))
        if float(np.hypot(*away)) > 0.02 * width or abs(turn) > 1:
            break
    by = cv2.getRotationMatrix2D((width / 2, height / 2), turn, scale)
    by[:, 2] += away
    return np.maximum(
        cv2.warpAffine(linear, by, (width, height), flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_REFLECT), 0
    )


def _scaled(linear: Array, scale: float) -> Array:
    height, width = linear.shape[:2]
    by = cv2.getRotationMatrix2D((width / 2, height / 2), 0.0, scale)
    return np.maximum(
        cv2.warpAffine(linear, by, (width, height), flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_REFLECT), 0
    )


def _made(photos: tuple[str, ...], kind: str, scene: Scene, rng: np.random.Generator) -> FirstCase:
    shallow = kind in ("same, shallow", "breathing")
    base = disc(float(rng.uniform(3, 6))) if shallow else None
    top = float(np.percentile(flat(scene).max(axis=2), 98.5))
    level = np.float32({"same, dark": 0.1, "same, pale": 0.8}.get(kind, 0.62) / max(top, 1e-3))
    psf, noise = float(rng.uniform(0.5, 0.8)), float(rng.uniform(0.002, 0.008))
    still = composed(scene, base, None) * level
    reference = frame_of(np.asarray(still, np.float32), rng, psf=psf, noise=noise)
    if kind == "another set-up":
        other = table(photos, int(rng.integers(1 << 31)), scene.size[0], scene.size[1])
        after = flat(other) * np.float32(0.6 / max(float(np.percentile(flat(other).max(axis=2), 98.5)), 1e-3))
        return FirstCase(kind, reference, frame_of(np.asarray(after, np.float32), rng), _shot(scene))
    return _later(
        photos,
        kind,
        scene,
        rng,
        reference,
        level,
        base,
        lambda p, **k: frame_of(p, rng, psf=psf, noise=noise, **k),
    )


def _later(
    photos: tuple[str, ...], kind: str, scene: Scene, rng: np.random.Generator, reference: NDArray[np.uint8],
    level: np.float32, base: Array | None, taken: Callable[..., NDArray[np.uint8]],
) -> FirstCase:  # fmt: skip
    width, height = scene.size
    scale = width / 1200
    # the same set-up some minutes later; here its light is the fault only where that is said
    later = replace(changed(scene, rng, photos, 1.5 * scale), light=scene.light)
    around, hero = base, None
    what = kind.split(",")[0]
    if what == "defocus":
        radius = float(rng.uniform(3, 8)) * scale
        around, hero = disc(radius), disc(radius)
    elif what == "breathing":
        around, hero = disc(float(rng.uniform(0, 1.5)) * scale), disc(float(rng.uniform(3, 7)) * scale)
    elif what == "motion":
        hero = streak(float(rng.uniform(9, 24)) * scale, float(rng.uniform(0, 180)))
    linear = np.asarray(composed(later, around, hero) * level, np.float32)
    after = AT
    if what == "aperture":
        linear = graded(linear, float(rng.uniform(10, 24)) * scale, later.hero.y / height)
        after = replace(AT, f_number=4, exposure_s=1 / 13)
    if kind in ("camera, shake", "shake, under"):
        linear = blurred(linear, streak(float(rng.uniform(8, 20)) * scale, float(rng.uniform(0, 180)), 0.2))
    if kind in ("prop added", "lamp, prop"):
        linear = with_prop(linear, rng, photos)[1]
    if kind in ("lamp", "lamp, prop", "lamp, under", "motion, lamp"):
        linear = linear * lamp_field(rng, width, height, float(rng.uniform(0.2, 0.5)))
    if what == "camera":
        linear = _moved(linear, rng)
    if what in ("zoom", "breathing"):
        size = float(rng.choice([-1, 1])) * float(
            rng.uniform(0.05, 0.15) if what == "zoom" else rng.uniform(0.01, 0.05)
        )
        linear = _scaled(linear, 1 + size)
        after = replace(AT, focal_length_mm=50 * (1 + size)) if what == "zoom" else AT
    if kind == "clouds":
        # one cloud: the same light from the same side, its slope a little other, and the frame as bright on the whole
        slope = light_over(width, height, rng) ** np.float32(0.2)
        linear = linear * (slope / np.float32(np.median(slope)))
    stops = float(rng.uniform(-0.08, 0.08))
    if "under" in kind:
        stops = float(rng.uniform(-2.3, -0.4) if kind == "under" else rng.uniform(-1.5, -0.4))
    elif kind == "over":
        stops = float(rng.uniform(0.4, 1.3))
    mired = 0.0
    if "warmer" in kind or "cooler" in kind:
        mired = float(rng.uniform(25, 70)) * (-1 if "cooler" in kind else 1)
    if "auto ISO" in kind:
        after = replace(after, auto_iso=True)
    if "auto white balance" in kind:
        after = replace(after, auto_white_balance=True)
    frame = taken(np.asarray(linear, np.float32), stops=stops, colour=tuple(float(v) for v in _gains(mired)))
    return FirstCase(
        kind, reference, frame, _shot(scene, shallow=base is not None), AT, after, stops, mired or None
    )
