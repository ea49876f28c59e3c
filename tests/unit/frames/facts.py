"""What is measured of a frame, made up."""

from plateside.frames.facts import ColourFacts, ExposureFacts, FocusFacts, FrameFacts

BOX = (0.3, 0.25, 0.7, 0.75)


def facts(spread: float | None, middle: float = 0.2, lost: float = 0.0) -> FrameFacts:
    return FrameFacts(
        "1", 6000, 4000, BOX,
        ExposureFacts(0, 0.5, middle, 0, 0, 0, lost, None, (1, 1, 1), False),
        FocusFacts(spread, 1.0, 0.5, (0.5, 0.5), 0, 0, 0, 0, 500, 500, 0.005, 3000, (1.0, 2.0)),
        ColourFacts(5.0, 0.1, "grey world"),
    )  # fmt: skip
