"""What is told of a frame when props move, against its reference."""

from plateside.frames.compare import Comparison, compare, reference_of
from plateside.frames.exposure import small_linear
from plateside.frames.facts import ColourFacts, ExposureFacts, FocusFacts, FrameFacts
from plateside.frames.verdict import verdict_against
from plateside.model.frame import Settings, Verdict
from tests.synthetic.blur_cases import BlurCase
from tests.synthetic.light_cases import LightCase

AT = Settings(f_number=8, exposure_s=1 / 3, iso=100)


def compared(case: LightCase | BlurCase) -> Comparison:
    if isinstance(case, LightCase):
        first, after, shallow = case.before, case.after, False
    else:
        first, after, shallow = case.reference, case.frame, case.wants_shallow
    before = reference_of("r", first, small_linear(first), AT, case.subject_box)
    seen = compare(before, after, small_linear(after), AT, wants_shallow=shallow)
    assert seen is not None
    return seen


def told(seen: Comparison) -> Verdict:
    """With facts that say nothing themselves: only the comparison speaks."""
    facts = FrameFacts(
        "1", 900, 600, (0.3, 0.3, 0.7, 0.7),
        ExposureFacts(0.0, 0.6, 0.2, 0.0, 0.0, 0.0, 0.0, None, (0.7, 0.5, 0.9), False),
        FocusFacts(0.8, 0.8, 0.4, (0.5, 0.5), 0, 0, 0, 0, 0, 500, 0.005, 900, ()),
        ColourFacts(0.0, 0.0, "grey world"),
    )  # fmt: skip
    return verdict_against(facts, seen, None, AT, AT)
