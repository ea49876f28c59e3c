"""What is decoded before it is asked for: the same picture, and never that of a file that was another."""

import os
from pathlib import Path

import numpy as np

from plateside.files.index.index import Index
from plateside.files.originals.pixels import display_picture, linear_and_levels
from plateside.files.originals.scan import read_frame
from plateside.files.settings.load import open_shoot
from plateside.tasks.set.frame_view import LONGEST_PX, FrameView
from plateside.tasks.set.judging import Judge
from plateside.tasks.set.warm import warm
from tests.shoots.bowl import shoot_folder
from tests.synthetic.dng import write_dng
from tests.unit.originals.sample_files import gradient, write_jpeg


def test_a_raw_begun_ahead_is_the_raw(tmp_path: Path) -> None:
    path = tmp_path / "a.dng"
    write_dng(path, np.linspace(0, 0.6, 64 * 96 * 3).reshape(64, 96, 3), seed=1)
    view = FrameView(path)
    view.begin()
    assert np.array_equal(view.picture, display_picture(path, LONGEST_PX))
    picture, levels = linear_and_levels(path)
    assert view.linear is not None and np.array_equal(view.linear.rgb, picture.rgb)
    assert view.levels == levels


def test_what_was_begun_of_a_torn_file_is_read_again(tmp_path: Path) -> None:
    path = tmp_path / "a.dng"
    write_dng(tmp_path / "whole.dng", np.full((64, 96, 3), 0.2, np.float32), preview=False)
    whole = (tmp_path / "whole.dng").read_bytes()
    path.write_bytes(whole[:100])
    view = FrameView(path)
    view.begin()
    # the one thread has been at it when a later begin of it is done
    later = FrameView(tmp_path / "whole.dng")
    later.begin()
    assert later.picture.shape == (32, 48, 3)
    path.write_bytes(whole)
    assert view.picture.shape == (32, 48, 3)
    assert view.linear is not None and view.linear.rgb.shape == (32, 48, 3)


def test_a_file_exchanged_since_it_was_begun_is_decoded_anew(tmp_path: Path) -> None:
    root = shoot_folder(tmp_path / "shoot")
    path = write_jpeg(root / "frames" / "a.jpg", gradient(64, 48), "")
    opened = open_shoot(root)
    with Index.open(root) as index:
        judge = Judge(opened, index)
        judge.begin(path)
        assert judge.picture(read_frame(path.parent, path)).shape == (48, 64, 3)
        judge.begin(path)
        write_jpeg(path, gradient(80, 48), "")
        os.utime(path, ns=(1, 1))
        assert judge.picture(read_frame(path.parent, path)).shape == (48, 80, 3)


def test_getting_warm_needs_no_frame() -> None:
    warm()
