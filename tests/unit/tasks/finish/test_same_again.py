"""The same frames and the same hand on another processor: the same pictures, as far as anybody can measure.

The bound, CIEDE2000 0.1, is a tenth of the least that is seen side by side (common practice, no source).
"""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
import tifffile
from numpy.typing import NDArray

from plateside.files.journal.journal import Journal
from plateside.files.originals.identity import content_hash
from plateside.finish.ciede2000 import delta_e
from plateside.finish.hand import UNTOUCHED
from plateside.ground.srgb import to_lab, to_linear
from plateside.tasks.finish.series import finish
from tests.photographs import photograph
from tests.shoots.folder import shoot_folder
from tests.synthetic.noisy import written

REPOSITORY = Path(__file__).parents[4]
SHOOT = """format = 1
date = "2027-05-01"
[recipe]
title = "Coffee"
[creator]
name = "A. Cook"
[[shots]]
name = "cup"
role = "main"
[[shots]]
name = "near"
role = "detail"
"""
SWITCHES = {
    "NUMBA_CPU_NAME": "generic",
    "NUMBA_CPU_FEATURES": "",
    "NUMBA_NUM_THREADS": "2",
    "VIPS_NOVECTOR": "1",
    "OPENCV_CPU_DISABLE": "AVX2,AVX512F,AVX512_SKX,FP16,FMA3",
}
"""What each library reads when it is loaded: no instruction that only some processors have."""


def light() -> NDArray[np.float64]:
    whole = np.asarray(photograph("coffee"), np.float64) / 255
    return np.asarray(to_linear(whole[40:280, 100:460]) * 0.6)


@pytest.fixture
def shoot(tmp_path: Path) -> Path:
    """Two raws at ISO 1600 in two lights, one of them set by hand: noise, matching, lost light and turning."""
    root = shoot_folder(tmp_path / "shoot", SHOOT)
    rows = list[tuple[str, dict[str, object]]]()
    for shot, gains in (("cup", (1.0, 1.0, 1.0)), ("near", (0.8, 0.7, 0.55))):
        path = root / "frames" / f"{shot}.dng"
        written(path, light() * np.asarray(gains), 1600)
        frame = content_hash(path)
        rows += [
            ("frame landed", {"frame": frame, "name": path.name}),
            ("frame belongs", {"frame": frame, "shot": shot, "guess": False}),
            ("select", {"shot": shot, "frame": frame}),
        ]
    hand = {**vars(UNTOUCHED), "brighter_stops": 0.3, "warmer_mired": 8.0, "turned_degrees": 1.2}
    Journal.open(root).append_many([*rows, ("look", {"shot": "near", **hand})])
    return root


def test_another_processor_and_other_threads_give_the_same_pictures(shoot: Path) -> None:
    one, two = (Path(shutil.copytree(shoot, shoot.with_name(name))) for name in ("one", "two"))
    report = finish(shoot)
    assert [(p.match.by, p.noise_evened) for p in report.finished][1] == ("same things", True)
    said = subprocess.run(
        [sys.executable, "-m", "tests.unit.tasks.finish.generic_finish", str(one), str(two)],
        env={**os.environ, **SWITCHES}, cwd=REPOSITORY, check=True, capture_output=True, text=True,
    )  # fmt: skip
    assert json.loads(said.stdout) == {"processor": "generic", "threads": 2}
    for name in ("cup.tif", "near.tif"):
        mine, *others = (tifffile.imread(root / "finished" / name) for root in (shoot, one, two))
        np.testing.assert_array_equal(others[0], others[1])  # threads change nothing at all
        assert mine.shape == others[0].shape
        lab = [to_lab(to_linear(picture / 65535)) for picture in (mine, others[0])]
        assert float(delta_e(*lab).max()) <= 0.1
