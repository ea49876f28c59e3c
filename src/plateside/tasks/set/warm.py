"""What only the first frame after a start would wait for, done before it comes: kernels are loaded from their cache."""

from functools import cache

import numpy as np

from plateside.frames.compare import compare, reference_of
from plateside.frames.exposure import small_linear
from plateside.frames.measure import facts_of
from plateside.frames.mosaic import bin_cells, count_levels
from plateside.model.frame import Settings

_HIGH, _WIDE = 120, 180
_PATTERN = np.array([[0, 1], [3, 2]])


@cache
def warm() -> None:
    """Judge a picture of noise, as a JPEG and as a raw; once in a process."""
    rng = np.random.default_rng(0)
    picture = rng.integers(0, 256, (_HIGH, _WIDE, 3), np.uint8)
    early = facts_of(picture, early=True)
    facts_of(picture, before=early)
    small, nothing = small_linear(picture), Settings()
    compare(reference_of("", picture, small, nothing, early.subject_box), picture, small, nothing)
    mosaic = rng.integers(0, 4096, (_HIGH, _WIDE), np.uint16)
    count_levels(mosaic, _PATTERN)
    bin_cells(mosaic, _PATTERN, (0.0,) * 4, (4095.0,) * 4)
