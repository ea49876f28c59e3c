"""What is known of a frame that nothing is wrong with, and the same exposed otherwise."""

from dataclasses import replace

from plateside.frames.facts import ColourFacts, ExposureFacts, FocusFacts, FrameFacts

PLAIN = FrameFacts(
    "1", 6000, 4000, (0.3, 0.3, 0.7, 0.7),
    ExposureFacts(0.0, 0.6, 0.2, 0.0, 0.0, 0.0, 0.0, None, (0.7, 0.5, 0.9), False),
    FocusFacts(0.8, 0.8, 0.4, (0.5, 0.5), 0, 0, 0, 0, 0, 500, 0.005, 3000, ()),
    ColourFacts(5.0, 0.0, "grey world"),
)  # fmt: skip


def exposed(**changes: float) -> FrameFacts:
    return replace(PLAIN, exposure=replace(PLAIN.exposure, **changes))  # type: ignore[arg-type]
