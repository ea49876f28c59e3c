"""What the series says of a frame whose colour profile is damaged."""

from pathlib import Path

import pytest
from PIL import Image, ImageCms

from plateside.files.originals.jpegs import decode
from plateside.tasks.finish.series import finish
from plateside.tasks.finish.shown import finishing
from plateside.words.finish import PROFILE_DAMAGED, adjustment_sentences, finish_lines, handed_over_sentences
from tests.shoots.dotted import selected
from tests.shoots.re_lit import make_shoot
from tests.unit.originals.sample_files import gradient

WHOLE = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
DAMAGED = (WHOLE[:200] + bytes(len(WHOLE) - 200), WHOLE[:100], b"no profile at all")


@pytest.mark.parametrize(("profile", "times"), [(WHOLE, 0), (None, 0), *((one, 1) for one in DAMAGED)])
def test_a_frame_read_as_srgb_for_its_damaged_profile_is_told(
    tmp_path: Path, profile: bytes | None, times: int
) -> None:
    root = tmp_path / "shoot"
    make_shoot(root, shots=())
    path = root / "frames" / "IMG_1.jpg"
    Image.fromarray(gradient(720, 480)).save(path, quality=95, icc_profile=profile)
    assert decode(path.read_bytes(), path.name, None).shape == (480, 720, 3)
    selected(root, path)
    report = finish(root)
    done = report.finished[0].adjustments(report.match_to)
    assert adjustment_sentences(done).count(PROFILE_DAMAGED) == times
    assert sum(PROFILE_DAMAGED in line for line in finish_lines(report, "finished")) == times
    # that stays with you: it is nothing that was done
    assert PROFILE_DAMAGED not in handed_over_sentences(done)
    # read again from what is written down, as the page does
    shown = [shot["picture"]["adjustments"] for shot in finishing(root)["shots"] if shot["picture"]]
    assert [one.profile_damaged for one in shown] == [times == 1]
    assert finish(root).finished == report.finished
