"""Cut into tiles a picture is the one that is developed at once; expected values come from that longer way."""

from pathlib import Path

import cv2
import numpy as np
import pytest
from numba import get_num_threads, set_num_threads

from plateside.files.originals import raws
from plateside.files.originals.one_decode import one_decode
from plateside.files.originals.pixels import linear_picture
from plateside.finish import tiles
from plateside.finish.by_hand import straightened
from plateside.finish.develop import develop
from plateside.finish.placing import placing_of
from plateside.finish.render import render
from plateside.finish.tiles import Developing, developing, rendered
from plateside.finish.tone import Curve
from plateside.finish.white_balance import Gains
from plateside.ground.srgb import to_linear
from plateside.model.counted import counted
from plateside.model.pixels import LinearPicture
from tests.photographs import photograph
from tests.synthetic.dng import write_dng
from tests.synthetic.noisy import written

SMALL = cv2.resize(photograph("coffee"), (452, 300), interpolation=cv2.INTER_AREA)
SCENE = np.asarray(to_linear(np.asarray(SMALL, np.float64) / 255))
GAINS, CURVE = Gains(1.2, 1.0, 0.9), Curve(1.4, 1.6)


@pytest.fixture(scope="module")
def noisy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """ISO 1600 with all of its noise, and places where one and more colours are lost."""
    path = tmp_path_factory.mktemp("tiles") / "a.dng"
    written(path, SCENE * 1.3, 1600)
    return path


@pytest.fixture(scope="module")
def known(noisy: Path) -> Developing:
    with one_decode() as run:
        return developing(run.whole(noisy))


def test_a_raw_in_tiles_is_the_raw_at_once(noisy: Path, known: Developing) -> None:
    assert known.known is not None
    assert known.even is not None
    at_once = develop(linear_picture(noisy, half=False))
    width, height = known.size
    differ = np.abs(known.part((0, height, 0, width)) - at_once)
    assert np.quantile(differ, 0.998) < 3e-5
    assert differ.max() < 0.01  # a coefficient that is just noise, or just none
    # 16 bits: the curve is by a table there
    apart = np.abs(rendered(known, GAINS, CURVE).astype(int) - render(at_once, GAINS, CURVE))
    assert np.quantile(apart, 0.998) <= 12
    assert np.median(apart) <= 1


@pytest.mark.parametrize("side", [96, 200])
@pytest.mark.parametrize("degrees", [0.0, 4.3])
def test_however_it_is_cut_it_is_the_same_and_so_are_its_bytes_by_any_number_of_threads(
    known: Developing, monkeypatch: pytest.MonkeyPatch, side: int, degrees: float
) -> None:
    placing = placing_of(known.size, degrees)
    monkeypatch.setattr(tiles, "SIDE_PX", 4096)
    whole = rendered(known, GAINS, CURVE, placing)
    monkeypatch.setattr(tiles, "SIDE_PX", side)
    cut = rendered(known, GAINS, CURVE, placing)
    if not degrees:
        assert np.abs(cut.astype(int) - whole).max() <= 4  # the last bit of a sum, at other widths
    else:  # places within a tile are counted from its own corner: the last bit of 1/32 px
        assert np.quantile(np.abs(cut.astype(int) - whole), 0.999) <= 64
    before = get_num_threads()
    try:
        set_num_threads(1)
        np.testing.assert_array_equal(rendered(known, GAINS, CURVE, placing), cut)
    finally:
        set_num_threads(before)


def test_a_straightened_picture_in_tiles_is_the_one_straightened_at_once(
    noisy: Path, known: Developing, monkeypatch: pytest.MonkeyPatch
) -> None:
    at_once = straightened(develop(linear_picture(noisy, half=False)), -3.2)
    monkeypatch.setattr(tiles, "SIDE_PX", 128)
    mine = rendered(known, GAINS, CURVE, placing_of(known.size, -3.2))
    apart = np.abs(mine.astype(int) - render(at_once, GAINS, CURVE)) / 65535
    assert mine.shape == at_once.shape
    assert np.quantile(apart, 0.99) < 0.01  # a hundredth of a display value: both round to 1/32 px


def test_a_cameras_jpeg_in_tiles_is_rendered_as_at_once() -> None:
    linear = np.ascontiguousarray(SCENE, np.float32)
    picture = counted(LinearPicture(linear))
    mine = rendered(developing(picture), GAINS, Curve(1.0, 1.2)).astype(int)
    assert np.abs(mine - render(linear, GAINS, Curve(1.0, 1.2))).max() <= 2


def test_a_raw_of_a_run_is_unpacked_once(
    noisy: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = tmp_path / "b.dng"
    write_dng(other, SCENE, orientation=6)
    with one_decode() as run:
        for path in (noisy, other, noisy):
            small = run.small(path)
            np.testing.assert_array_equal(small.rgb, linear_picture(path, half=True).rgb)
            assert run.white_balance(path) == small.white_balance
        for path in (noisy, other):
            np.testing.assert_allclose(
                run.whole(path).linear.rgb, linear_picture(path, half=False).rgb, rtol=1e-6
            )
        assert run.unpacked == 2
    monkeypatch.setattr("plateside.files.originals.one_decode.MOST_BYTES", 0)
    with one_decode() as run:  # no room: as before, and nothing stays open
        run.small(noisy)
        run.whole(noisy)
        assert run.unpacked == 2
    assert raws.raw_size(noisy) == (452, 300)
