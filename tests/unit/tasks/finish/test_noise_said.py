"""What the list of finished pictures says of noise, by the kind of raw."""

from pathlib import Path

import numpy as np
import pytest

from plateside.tasks.finish.series import finish
from plateside.words.finish import NOISE_EVENED, NOISE_UNKNOWN, adjustment_sentences
from tests.shoots.dotted import selected
from tests.shoots.re_lit import make_shoot
from tests.unit.originals.sample_files import BAYER, X_TRANS, counts_of, write_counts


@pytest.mark.parametrize(
    ("pattern", "said", "unsaid"),
    [(BAYER, NOISE_EVENED, NOISE_UNKNOWN), (X_TRANS, NOISE_UNKNOWN, NOISE_EVENED)],
)
def test_noise_left_in_a_mosaic_of_another_kind_is_said(
    tmp_path: Path, pattern: tuple[tuple[int, ...], ...], said: str, unsaid: str
) -> None:
    root = tmp_path / "shoot"
    make_shoot(root, shots=())
    ramp = np.tile((0.2, 0.35, 0.25), (540, 576, 1)) * np.linspace(0.3, 1, 576)[:, None]
    noisy = ramp + np.random.default_rng(1).normal(size=ramp.shape) * np.sqrt(ramp * 4e-4)
    selected(root, write_counts(root / "frames" / "IMG_1.dng", counts_of(noisy, pattern), pattern=pattern))
    report = finish(root)
    lines = adjustment_sentences(report.finished[0].adjustments(report.match_to))
    assert said in lines and unsaid not in lines
    # read again from what is written down
    assert finish(root).finished == report.finished
