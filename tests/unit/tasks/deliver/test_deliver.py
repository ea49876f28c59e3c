"""Delivering over real files: crops and formats, words and rights inside, gates, resuming, faults of the disk."""

import errno
import json
import os
from pathlib import Path

import numpy as np
import pytest
import tifffile
from PIL import Image

from plateside.deliver.sizes import ssim
from plateside.files import working
from plateside.files.journal.journal import Journal
from plateside.files.made import sha256_of_file
from plateside.finish.adjustments import BY_HAND
from plateside.model.errors import Cancelled, CouldNotError, InputError
from plateside.tasks.deliver.delivery import DeliverReport, deliver
from plateside.tasks.finish.series import finish
from plateside.tasks.report import as_json
from plateside.tasks.set.press import press, take_back
from tests.unit.tasks.finished_shoot import SHOOT, make_shoot

RELEASED = SHOOT.replace("person = true", "person = true\nrelease = true")


@pytest.fixture(scope="module")
def finished_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = make_shoot(tmp_path_factory.mktemp("made") / "my shoot", RELEASED)
    finish(root)
    return root


@pytest.fixture
def shoot(finished_once: Path, tmp_path: Path) -> Path:
    """A fresh copy, by hard links: nothing here ever writes into a file in place."""
    root = tmp_path / "my shoot"
    for source in finished_once.rglob("*"):
        target = root / source.relative_to(finished_once)
        if source.is_dir():
            target.mkdir(parents=True, exist_ok=True)
        elif source.name in ("shoot.toml", "journal.jsonl"):
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(source.read_bytes())
        else:
            target.parent.mkdir(parents=True, exist_ok=True)
            os.link(source, target)
    return root


def names(folder: Path) -> set[str]:
    return {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()}


def test_every_channel_gets_its_size_and_formats(shoot: Path) -> None:
    report = deliver(shoot)
    folder = shoot / "delivery"
    wanted = {f"wide/{s}.{e}" for s in ("cup", "near", "hand") for e in ("jpg", "webp")}
    wanted |= {f"square/{s}.{e}" for s in ("cup", "near", "hand") for e in ("jpg", "webp", "avif", "png")}
    wanted |= {f"tall/{s}.jpg" for s in ("cup", "near", "hand")}
    documents = {
        "recipe.html",
        "preview.html",
        "recipe.jsonld",
        "contact-sheet.html",
        "words.txt",
        "READ-ME.txt",
    }
    assert names(folder) == wanted | documents | {"manifest.json"}
    for crop in report.crops:
        for file in crop.files:
            with Image.open(folder / file.path) as image:
                assert image.size == (crop.width_px, crop.height_px) == (file.width_px, file.height_px)
                assert image.info["icc_profile"]
            assert (folder / file.path).stat().st_size == file.bytes
    assert report.made == len(wanted)
    assert report.ready
    assert report.lines()[-1].startswith("Ready to publish; ")  # what is open does not hold it back
    assert json.loads(json.dumps(as_json(report)))["ready"] is True


def test_the_picture_is_the_finished_one(shoot: Path) -> None:
    deliver(shoot)
    with Image.open(shoot / "delivery" / "square" / "cup.png") as image:
        small = np.asarray(image.convert("RGB"))
    # the crop is square, as high as the picture; compare with Pillow's own reduction at the place where it fits best
    whole = (tifffile.imread(shoot / "finished" / "cup.tif") // 257).astype(np.uint8)
    best = max(
        ssim(
            np.asarray(Image.fromarray(whole[:, x : x + 480]).resize((300, 300), Image.Resampling.BOX)), small
        )
        for x in range(0, 241, 4)
    )
    assert best > 0.9


def test_a_limit_on_size_is_kept(shoot: Path) -> None:
    for crop in deliver(shoot).crops:
        for file in crop.files:
            if crop.channel == "tall":
                assert file.bytes <= 12_000
                assert file.ssim is None or file.ssim > 0.5


def test_too_few_pixels_are_said_and_nothing_is_enlarged(shoot: Path) -> None:
    tall = next(c for c in deliver(shoot).crops if (c.shot, c.channel) == ("cup", "tall"))
    assert (tall.width_px, tall.height_px, tall.asked_px) == (120, 480, (200, 800))
    assert any("Too few pixels: 200 x 800 asked" in r for r in tall.remarks)
    # the note names the pixels that the files have, not those that were asked for
    note = (shoot / "delivery" / "READ-ME.txt").read_text(encoding="utf-8")
    line = next(row for row in note.splitlines() if row.startswith("tall/"))
    with Image.open(shoot / "delivery" / "tall" / "cup.jpg") as image:
        assert f"cup {image.width} x {image.height}" in line
    assert "3 pictures, 320 x 180 px" in next(row for row in note.splitlines() if row.startswith("wide/"))


def test_a_person_without_a_release_is_held_back_and_an_earlier_delivery_withdrawn(shoot: Path) -> None:
    assert "wide/hand.jpg" in names(deliver(shoot).folder)
    text = (shoot / "shoot.toml").read_text(encoding="utf-8")
    (shoot / "shoot.toml").write_text(text.replace("release = true\n", ""), encoding="utf-8")
    # even when the record under .plateside is gone, the manifest still knows what was delivered
    (shoot / ".plateside" / "deliver.json").unlink()
    report = deliver(shoot)
    assert not report.ready
    assert report.removed == 7
    assert "hand is held back: a person is in the picture and no release is on record" in report.held_back[0]
    left = names(report.folder)
    assert not [n for n in left if "hand" in n]
    for document in ("recipe.html", "preview.html", "recipe.jsonld", "words.txt"):
        assert "hand.jpg" not in (report.folder / document).read_text(encoding="utf-8")
    assert "Not ready to publish" in (report.folder / "READ-ME.txt").read_text(encoding="utf-8")


def test_no_licence_is_an_open_point_and_not_ready(shoot: Path) -> None:
    text = (shoot / "shoot.toml").read_text(encoding="utf-8")
    (shoot / "shoot.toml").write_text(text.replace('usage_terms = "Ask first"\n', ""), encoding="utf-8")
    report = deliver(shoot)
    assert not report.ready
    assert any("No licence is stated" in p for p in report.open_points)


def test_a_second_run_makes_nothing_and_a_change_of_words_only_that_shot(shoot: Path) -> None:
    first = deliver(shoot)
    again = deliver(shoot)
    assert (again.made, again.removed) == (0, 0)
    assert [c.files for c in again.crops] == [c.files for c in first.crops]
    Journal.open(shoot).append(
        "words", shot="near", field="alt_text", text="A thin foam at the edge of a cup."
    )
    changed = deliver(shoot)
    assert changed.made == 7
    assert "A thin foam at the edge of a cup." in (shoot / "delivery" / "words.txt").read_text(
        encoding="utf-8"
    )


def test_a_retouched_picture_is_delivered_and_no_longer_called_untouched(shoot: Path) -> None:
    deliver(shoot)
    finished = shoot / "finished" / "cup.tif"
    pixels = np.ascontiguousarray(tifffile.imread(finished)[:, ::-1])
    finished.unlink()
    tifffile.imwrite(finished, pixels, photometric="rgb")
    assert deliver(shoot).made == 7
    sheet = (shoot / "delivery" / "contact-sheet.html").read_text(encoding="utf-8")
    assert BY_HAND in sheet
    finished.unlink()
    with pytest.raises(InputError, match=r"cup\.tif is gone"):
        deliver(shoot)


def test_a_moved_crop_is_obeyed(shoot: Path) -> None:
    before = deliver(shoot)
    first = sha256_of_file(before.folder / "square/cup.png")
    Journal.open(shoot).append("crop", shot="cup", channel="square", box=[0.0, 0.0, 0.5, 0.7])
    report = deliver(shoot)
    after = {c.shot: c for c in report.crops if c.channel == "square"}
    assert report.made == 4
    # 336 px of height are marked: enough for the 300 asked
    assert (after["cup"].width_px, after["cup"].height_px) == (300, 300)
    assert sha256_of_file(report.folder / "square/cup.png") != first
    assert any("as you placed it" in r for r in after["cup"].remarks)


def test_a_marked_dish_moves_the_tools_own_crops_and_is_taken_back(shoot: Path) -> None:
    def square(report: DeliverReport) -> str:
        return sha256_of_file(report.folder / "square/cup.png")

    before = square(deliver(shoot))
    press(shoot, "dish", {"shot": "cup", "box": [0.0, 0.2, 0.3, 0.6]}, 99)
    moved = deliver(shoot)
    assert square(moved) != before
    assert next(c for c in moved.crops if (c.shot, c.channel) == ("cup", "square")).subject_whole
    assert take_back(shoot, 99).said == "Taken back: the place of the dish in cup."
    assert square(deliver(shoot)) == before


def test_files_of_others_are_left_and_old_ones_of_ours_go(shoot: Path) -> None:
    deliver(shoot)
    (shoot / "delivery" / "mine.txt").write_text("mine", encoding="utf-8")
    text = (shoot / "shoot.toml").read_text(encoding="utf-8")
    (shoot / "shoot.toml").write_text(text.replace('name = "wide"', 'name = "broad"'), encoding="utf-8")
    report = deliver(shoot)
    assert report.removed == 6
    left = names(report.folder)
    assert "mine.txt" in left
    assert not (report.folder / "wide").exists()
    assert "broad/cup.jpg" in left


def test_stopped_half_way_it_goes_on_where_it_was(shoot: Path) -> None:
    def stop(done: int, total: int) -> None:
        if done == 4:
            raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        deliver(shoot, stop)
    left = names(shoot / "delivery")
    assert 0 < len(left) < 21
    assert not [n for n in left if ".plateside-" in n]
    report = deliver(shoot)
    assert report.made == 21 - len(left)
    manifest = json.loads((report.folder / "manifest.json").read_text(encoding="utf-8"))
    assert {r["file"] for r in manifest["pictures"]} == {f.path for c in report.crops for f in c.files}
    for row in (*manifest["pictures"], *manifest["documents"]):
        assert sha256_of_file(report.folder / row["file"]) == row["sha256"]


def test_a_full_disk_is_one_sentence_and_no_half_file(shoot: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    written = 0
    real = Path.write_bytes

    def fills_up(self: Path, data: bytes) -> int:
        nonlocal written
        written += len(data)
        if written > 60_000:
            real(self, data[: len(data) // 2])
            raise OSError(errno.ENOSPC, "No space left on device")
        return real(self, data)

    monkeypatch.setattr(Path, "write_bytes", fills_up)
    with pytest.raises(CouldNotError, match="The disk is full"):
        deliver(shoot)
    monkeypatch.undo()
    for path in (shoot / "delivery").rglob("*.*"):
        with Image.open(path) as image:
            image.load()
    assert deliver(shoot).ready


def test_a_folder_that_may_not_be_written_is_told_with_the_mend(
    shoot: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # root may write anywhere, so the system's refusal is simulated
    def refused(*_: object, **__: object) -> tuple[int, str]:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(working, "_new_file", refused)
    with pytest.raises(CouldNotError, match="may not be written: change the folder's permissions"):
        deliver(shoot)


def test_what_is_missing_is_told_with_the_command(shoot: Path, tmp_path: Path) -> None:
    bare = make_shoot(tmp_path / "bare")
    with pytest.raises(InputError, match="plateside finish") as told:
        deliver(bare)
    # a page says the words alone: there is no terminal before her
    assert told.value.words == "Nothing is finished yet: make the matched set first."
    (shoot / "finished" / "adjustments.json").unlink()
    (shoot / "finished" / "adjustments.json").write_text("{", encoding="utf-8")
    with pytest.raises(InputError, match="cannot be read"):
        deliver(shoot)
    text = (shoot / "shoot.toml").read_text(encoding="utf-8")
    (shoot / "shoot.toml").write_text(text[: text.index("[[channels]]")], encoding="utf-8")
    with pytest.raises(InputError, match="no channels"):
        deliver(shoot)


def test_a_new_hero_after_finishing_is_noticed(shoot: Path) -> None:
    state = Journal.open(shoot)
    other = next(r.data["frame"] for r in state.rows() if r.kind == "hero" and r.data["shot"] == "cup")
    state.append("hero", shot="near", frame=other)
    report = deliver(shoot)
    assert any("near has another hero now" in p and "plateside finish" in p for p in report.open_points)
    # what lies in the delivery is read by people who have neither her settings nor a terminal
    for paper in ("READ-ME.txt", "contact-sheet.html", "manifest.json"):
        text = (report.folder / paper).read_text(encoding="utf-8")
        assert "near has another hero now" in text
        assert "plateside finish" not in text
        assert "toml" not in text
