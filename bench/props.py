"""A warm prop is not a lamp: the whole comparison on sets with props added, lamps left on, and nothing changed. Then
what is said of less depth of focus, bent shakes, focus behind a hero of shallow focus, and part of the hero moving.

    python -m bench props        (or python -m bench.props [cases of each kind] [seed])

Seeds from 5000 are held out: the limits were looked at on seeds from 1.
"""

import sys
from collections import Counter

from bench.synthetic.blur_cases import BlurCase
from bench.synthetic.light_cases import LightCase, light_case
from bench.synthetic.other_kinds import OTHER, other_case
from bench.synthetic.scenes import TEST, TRAIN
from plateside.frames.compare import Comparison, compare, reference_of
from plateside.frames.exposure import small_linear
from plateside.frames.facts import ColourFacts, ExposureFacts, FocusFacts, FrameFacts
from plateside.frames.verdict import verdict_against
from plateside.model.frame import Settings, Verdict

NUMBER, HELD_OUT = 60, 5000
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


def main() -> None:
    numbers = [int(word) for word in sys.argv[1:] if word.isdigit()]
    number, seed = (*numbers, NUMBER, HELD_OUT)[:2] if len(numbers) != 1 else (numbers[0], HELD_OUT)
    print(f"{number} of each kind, seeds from {seed}")
    for kind in ("prop", "lamp", "both", "same"):
        seen = [compared(light_case(TEST + TRAIN, seed + i, kind)) for i in range(number)]
        first = sum(told(s).acts[0].kind == "light" for s in seen)
        print(
            f"{kind:6} called a lamp {sum(s.lamp for s in seen):3d}, said first {first:3d}, of {number}",
            flush=True,
        )
    for kind in OTHER:
        named = Counter(compared(other_case(TEST + TRAIN, seed + i, kind)).kind for i in range(number // 2))
        print(f"{kind:12} {', '.join(f'{k} {v}' for k, v in named.most_common())}", flush=True)


if __name__ == "__main__":
    main()
