"""A frame looked at closely: its parts are its own pixels, its crops are a delivery's, and what these lack is told."""

import base64
from collections.abc import Iterator
from pathlib import Path

import cv2
import numpy as np
import pytest
from PIL import Image

from plateside.deliver.crops import plan_crop
from plateside.deliver.subject import dish_share, find_subject
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.files.originals.identity import content_hash
from plateside.files.originals.pixels import display_picture
from plateside.files.originals.whole_picture import clipping, whole_picture
from plateside.files.settings.load import load_shoot
from plateside.frames.clipped import BIT
from plateside.model.errors import InputError
from plateside.tasks.set.close_pictures import MASKS, TILE_PX, ClosePictures
from plateside.tasks.set.closer import closer_facts
from plateside.tasks.set.marks import FrameMarker
from plateside.tasks.set.now import OnSet
from tests.shoots.bowl import SHOOT, save, shoot_folder

CHANNELS = """
[[channels]]
name = "page"
width_px = 900
height_px = 600
[[channels]]
name = "print"
width_px = 3000
height_px = 2000
"""
WIDE, HIGH = 1300, 868


def bowl(seed: int) -> np.ndarray:
    """A pale bowl on a dark cloth with texture, its middle burnt out."""
    rng = np.random.default_rng(seed)
    picture = np.full((HIGH, WIDE, 3), (50, 46, 60), float) + rng.normal(0, 6, (HIGH, WIDE, 1))
    y, x = np.mgrid[0:HIGH, 0:WIDE]
    far = np.hypot((x - WIDE / 2) / 270, (y - HIGH / 2) / 270)
    picture[far < 1] = (205, 150, 90)
    picture += rng.normal(0, 4, (HIGH, WIDE, 1))
    picture[far < 0.2] = 255
    return np.clip(picture, 0, 255).astype(np.uint8)


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = shoot_folder(tmp_path_factory.mktemp("closer") / "s")
    (root / "shoot.toml").write_text(SHOOT + CHANNELS, encoding="utf-8")
    journal = Journal.open(root)
    for n in (1, 2):
        save(root, f"{n}.jpg", bowl(n), n)
        frame = content_hash(root / "frames" / f"{n}.jpg")
        journal.append("frame landed", frame=frame, name=f"{n}.jpg")
        journal.append("frame belongs", frame=frame, shot="bowl", guess=False)
    return root


@pytest.fixture(scope="module")
def marker(root: Path) -> Iterator[FrameMarker]:
    marker = FrameMarker(root)
    yield marker
    marker.close()


def frame_of(root: Path, name: str) -> str:
    return content_hash(root / "frames" / name)


def decoded(text: str) -> np.ndarray:
    found = cv2.imdecode(np.frombuffer(base64.b64decode(text), np.uint8), cv2.IMREAD_UNCHANGED)
    assert found is not None
    return np.asarray(found)


def test_parts_put_together_are_the_picture_pixel_for_pixel(root: Path) -> None:
    pictures, frame = ClosePictures(root), frame_of(root, "2.jpg")
    size = pictures.size(frame)
    assert (size.wide, size.high, size.tile) == (WIDE, HIGH, TILE_PX)
    rows = [
        np.hstack([decoded(pictures.tile(frame, column, row)) for column in range(-(-WIDE // TILE_PX))])
        for row in range(-(-HIGH // TILE_PX))
    ]
    whole = np.vstack(rows)[..., ::-1]
    expected = whole_picture(root / "frames" / "2.jpg")
    assert whole.shape == expected.shape
    # coded once more: nothing is moved or made smaller
    assert np.abs(whole.astype(int) - expected).mean() < 2.5


@pytest.mark.parametrize(("column", "row"), [(3, 0), (0, 2), (-1, 0), (10**9, 0)])
def test_a_part_beside_the_frame_is_refused(root: Path, column: int, row: int) -> None:
    with pytest.raises(InputError):
        ClosePictures(root).tile(frame_of(root, "2.jpg"), column, row)


def test_masks_are_of_the_pixels_themselves(root: Path) -> None:
    pictures, frame = ClosePictures(root), frame_of(root, "2.jpg")
    mask = clipping(root / "frames" / "2.jpg").mask
    for which in ("any", "red", "green", "blue"):
        expected = (mask & BIT[which] if which in BIT else mask) > 0
        # the whole mask as it is, for it is smaller than a screen; and a part of it
        assert np.array_equal(decoded(pictures.mask(frame, which))[..., 3] > 0, expected)
        part = decoded(pictures.mask(frame, which, 1, 0))[..., 3] > 0
        assert np.array_equal(part, expected[:TILE_PX, TILE_PX : 2 * TILE_PX])
    assert 0.005 < expected.mean() < 0.03, "a fifth of the bowl's width"
    with pytest.raises(InputError):
        pictures.mask(frame, "everything")


def test_the_sharp_mask_follows_what_is_sharp(root: Path) -> None:
    sharp = bowl(3)
    soft = cv2.GaussianBlur(sharp, (0, 0), 6)
    half = np.where(np.arange(WIDE)[None, :, None] < WIDE // 2, sharp, soft).astype(np.uint8)
    Image.fromarray(half).save(root / "frames" / "half.jpg", quality=95)
    frame = frame_of(root, "half.jpg")
    Journal.open(root).append("frame landed", frame=frame, name="half.jpg")
    found = decoded(ClosePictures(root).mask(frame, "sharp"))[..., 3] > 0
    left, right = found[:, : WIDE // 2 - 10].sum(), found[:, WIDE // 2 + 10 :].sum()
    assert left > 200
    assert right < 0.02 * left
    assert "sharp" in MASKS


def test_levels_are_named_by_whose_they_are(root: Path) -> None:
    found = ClosePictures(root).levels(frame_of(root, "2.jpg"))
    assert found.kind == "JPEG"
    assert found.headroom_stops[0] == 0
    assert [sum(counts) for counts in found.counts] == [WIDE * HIGH] * 3
    assert found.said


def test_crops_are_a_deliverys_own_and_what_they_lack_is_told(root: Path, marker: FrameMarker) -> None:
    found = closer_facts(marker, frame_of(root, "2.jpg"))
    shoot = load_shoot(root / "shoot.toml")
    subject = find_subject(whole_picture(root / "frames" / "2.jpg"), dish_share(shoot.shots[0], WIDE, HIGH))
    assert [c.channel for c in found.crops] == ["page", "print"]
    for crop, channel in zip(found.crops, shoot.channels, strict=True):
        expected = plan_crop(subject, channel)
        assert (crop.width_px, crop.height_px) == (expected.width_px, expected.height_px)
        assert crop.box[2:] == pytest.approx(
            (expected.box.width / WIDE, expected.box.height / HIGH), abs=1e-3
        )
        # the food is looked for in a smaller copy: the crop may stand a little aside
        assert crop.box[:2] == pytest.approx((expected.box.x / WIDE, expected.box.y / HIGH), abs=0.03)
    assert [crop.whole for crop in found.crops] == [True, False]
    assert len(found.lacks) == 1
    assert "print" in found.lacks[0]
    assert found.lead
    # the set card is not in it: how level it is stays unknown
    assert found.roll_deg is None
    assert found.test_over is None


def test_the_test_frame_is_laid_over_a_later_one(root: Path, marker: FrameMarker) -> None:
    first, second = frame_of(root, "1.jpg"), frame_of(root, "2.jpg")
    Journal.open(root).append("test frame", shot="bowl", frame=first)
    found = closer_facts(marker, second)
    assert (found.test_frame, found.test_over, found.test_words) == (first, (0.0, 0.0, 1.0, 1.0), "")
    assert closer_facts(marker, first).test_over is None


def test_a_frame_that_never_landed_is_refused(root: Path, marker: FrameMarker) -> None:
    for ask in (ClosePictures(root).size, lambda frame: closer_facts(marker, frame)):
        with pytest.raises(InputError):
            ask("0" * 32)


def test_a_frame_is_never_written_to(root: Path) -> None:
    before = (root / "frames" / "1.jpg").read_bytes()
    pictures = ClosePictures(root)
    pictures.tile(frame_of(root, "1.jpg"), 0, 0)
    pictures.levels(frame_of(root, "1.jpg"))
    assert (root / "frames" / "1.jpg").read_bytes() == before
    assert display_picture(root / "frames" / "1.jpg").shape[1] == WIDE


def test_the_newest_frames_verdict_comes_before_what_is_asked_of_it(root: Path) -> None:
    on_set, journal = OnSet(root), Journal.open(root)
    journal.append("shot current", shot="bowl")
    newest = frame_of(root, "2.jpg")
    assert on_set.newest_waits()
    journal.append("verdict", frame=newest, word="good", act="", confidence=0.9)
    assert not on_set.newest_waits()
    # an older frame of the shot may wait: nobody looks for it now
    assert frame_of(root, "1.jpg") not in read_state(root).verdicts
