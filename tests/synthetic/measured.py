"""A made case measured: its features, and its label."""

from dataclasses import dataclass

from plateside.frames.blur_features import against
from plateside.frames.edges import grey, smoothed
from plateside.frames.part_blur import part_blur
from plateside.frames.register import register
from plateside.frames.sharpness import focus_of
from plateside.frames.softer import Softening, reference_edges, softening, with_part
from tests.synthetic.blur_cases import BlurCase
from tests.synthetic.faults import Truth

KEEP_AND_FAULTS = ("keep", "defocus", "shake", "motion", "elsewhere")


@dataclass(frozen=True)
class Measured:
    """Features of one case."""

    truth: Truth
    wants_shallow: bool
    label: int
    alone: tuple[float, ...]
    against: tuple[float, ...]
    softening: Softening
    along_px2: float
    direction_deg: float
    edges_on_subject: int
    subject_spread_px: float
    around_spread_px: float
    seed: int
    sharp_across: float = -1.0
    core: tuple[float, ...] = ()
    clear_share: float = -1.0
    best_spread_px: float | None = None


def label_of(truth: Truth) -> int:
    """0 for what is kept, else the fault's place in KEEP_AND_FAULTS."""
    return 0 if truth.kind in ("good", "shallow") else KEEP_AND_FAULTS.index(truth.kind)


def measured(case: BlurCase) -> Measured:
    """Measure one case as `judge` would."""
    focus = focus_of(case.frame, case.subject_box)
    pair = smoothed(case.frame)
    fit = register(grey(case.reference), grey(case.frame))
    soft = softening(reference_edges(smoothed(case.reference)), pair, fit, case.subject_box)
    if fit.fits:
        soft = with_part(soft, part_blur(grey(case.reference), grey(case.frame), fit, case.subject_box))
    return Measured(
        case.truth, case.wants_shallow, label_of(case.truth), focus.features, against(soft), soft,
        focus.along_px2, focus.direction_deg, focus.edges_on_subject, focus.subject_spread_px or 0.0,
        focus.around_spread_px or 0.0, case.seed, focus.sharp_across, focus.core,
        focus.clear_share, focus.best_spread_px,
    )  # fmt: skip
