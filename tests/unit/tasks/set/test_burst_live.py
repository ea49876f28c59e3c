"""A burst of a pour while it lands: rows that name it and its best so far, the words, her own choice, a restart."""

from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from PIL.TiffImagePlugin import IFDRational

from plateside.cli.main import main
from plateside.cli.verbs.watch import picture
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.frames.edges import grey
from plateside.frames.stream import streams_of
from plateside.tasks.set.judge import judge_frames
from plateside.tasks.set.press import press
from plateside.tasks.set.shot import undo_last
from plateside.words.counting import ordinal
from tests.shoots.bowl import SHOOT, shoot_folder
from tests.synthetic.pours import Pour, PourBurst, pour_burst
from tests.synthetic.scenes import TEST
from tests.unit.tasks.set.watched import run

POURED = SHOOT + 'moves = "silk pour"\nperson = true\ndeliberate = ["dark", "high key", "blur"]\n'
SEED = 5003


@pytest.fixture(scope="module")
def pour() -> PourBurst:
    """Sharp hands throughout: only the stream tells the frames apart."""
    return pour_burst(TEST, SEED, frames=4, width=900, height=600, blurs=(0.4, 0.5))


def save(root: Path, name: str, shown: np.ndarray, second: int) -> None:
    tags = Image.Exif()
    inner = tags.get_ifd(0x8769)
    inner[33434], inner[33437], inner[34855] = IFDRational(1, 200), IFDRational(4), 400
    inner[37386], inner[36867] = IFDRational(35), f"2027:07:15 13:00:{second:02d}"
    Image.fromarray(shown).save(root / "frames" / name, quality=93, exif=tags)


def unbroken(truths: tuple[Pour, ...]) -> list[int]:
    return [k for k, t in enumerate(truths) if t.breaks == 0]


def test_the_stream_is_found_where_it_falls_and_read_frame_by_frame(pour: PourBurst) -> None:
    found = streams_of([grey(f) for f in pour.frames])
    assert found is not None
    x, top, bottom = pour.fall
    assert found.box[0] < x + 0.02 and found.box[2] > x - 0.02
    # where it splashes (a tenth of the width round the landing) other things move beside it, and it is not followed
    assert found.box[1] < top + 0.05 and found.box[3] > bottom - 0.1 * 900 / 600
    assert [s.breaks > 0 for s in found.frames] == [t.breaks > 0 for t in pour.truths]
    widths = [s.width * 900 for s, t in zip(found.frames, pour.truths, strict=True) if t.breaks == 0]
    assert widths == pytest.approx([pour.truths[0].width_px] * len(widths), rel=0.35)


def test_a_hand_alone_is_no_stream() -> None:
    dry = pour_burst(TEST, SEED, frames=4, width=900, height=600, stream=False)
    assert streams_of([grey(f) for f in dry.frames]) is None
    assert streams_of([grey(f) for f in dry.frames[:2]]) is None


def test_a_burst_is_told_as_it_lands(tmp_path: Path, pour: PourBurst) -> None:
    whole = unbroken(pour.truths)
    assert 0 < len(whole) < 4, "the made burst must have both"
    root = shoot_folder(tmp_path / "shoot")
    (root / "shoot.toml").write_text(POURED)
    Journal.open(root).append("shot current", shot="bowl")
    for k in (0, 1):
        save(root, f"{k}.jpg", pour.frames[k], k)
    first = [t for t in run(root) if t.kind == "burst"]
    assert [t.words[:9] for t in first] == ["Best of 2"]
    # a restart in the middle of a burst: the rest joins what was there
    for k in (2, 3):
        save(root, f"{k}.jpg", pour.frames[k], k)
    (told,) = [t for t in run(root) if t.kind == "burst"]
    (row,) = [r for r in Journal.open(root).rows() if r.number == told.row]
    by_name = {name: frame for frame, name in read_state(root).landed.items()}
    ids = [by_name[f"{k}.jpg"] for k in range(4)]
    assert row.data["frames"] == ids and row.data["shot"] == "bowl"
    best = ids.index(row.data["best"])
    assert best in whole
    assert told.words == f"Best of 4: the {ordinal(best + 1)}: stream unbroken, hand sharp"
    assert len(picture(told, 80, plain=False, quiet=True)) > 5, "in large letters"
    assert picture(told, 80, plain=True, quiet=True) == [told.words]
    assert list(read_state(root).bursts) == [ids[0]]
    # the same again says nothing new
    assert run(root) == []
    # her own choice wins, in judge too, and can be taken back
    other = next(k for k in range(4) if k != best)
    assert press(root, "best", {"frame": ids[other]}, told.row).said == "Best of its burst."
    (burst,) = judge_frames(root, record=False).bursts
    assert burst.best is not None and burst.measured is not None
    assert (burst.best.frame, burst.measured.frame) == (ids[other], ids[best])
    assert "your own choice" in burst.line()
    save(root, "4.jpg", pour.frames[0], 4)
    words = [t.words for t in run(root) if t.kind == "burst"]
    assert words == [] or words == [f"Best of 5: the {ordinal(other + 1)}: your own choice"]
    undo_last(root)
    (burst,) = judge_frames(root, record=False).bursts
    assert burst.best is not None and burst.best.frame != ids[other]
    assert main(["choose", str(root), "--best", f"{other}.jpg"]) == 0
    assert read_state(root).best_by_her(ids) == ids[other]
