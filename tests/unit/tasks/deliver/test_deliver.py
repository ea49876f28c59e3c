"""Delivering over real files: crops and formats, words and rights inside, gates, resuming, faults of the disk.

Over 400 lines: the cases share one delivered shoot, made once for this file.
"""

import errno
import json
import os
from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
import tifffile
from PIL import Image

from plateside.deliver.sizes import ssim
from plateside.files import working
from plateside.files.checksums import sha256_of_file
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.files.settings.load import load_shoot
from plateside.model.errors import Cancelled, CouldNotError, InputError
from plateside.tasks.deliver.delivery import DeliverReport, deliver
from plateside.tasks.deliver.open_points import DeliveryStanding, standing, what_blocks
from plateside.tasks.deliver.pack import pack
from plateside.tasks.deliver.verify import verify
from plateside.tasks.finish.series import finish
from plateside.tasks.report import as_json
from plateside.tasks.set.press import press, take_back
from plateside.web.pages.deliver import delivering
from plateside.words.deliver.points import point_sentence
from plateside.words.finish import BY_HAND
from plateside.words.finish_matched import AS_TAKEN
from tests.killed import run_alone
from tests.shoots.re_lit import RELEASED, delivered_shoot, make_shoot


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


@pytest.fixture
def delivered(tmp_path: Path) -> Path:
    """A copy of it when it has been delivered."""
    return delivered_shoot(tmp_path / "my shoot", RELEASED)


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
    assert report.written == len(wanted)
    assert report.ready
    assert report.remarks  # they do not hold it back
    assert json.loads(json.dumps(as_json(report)))["ready"] is True


def test_the_picture_is_the_finished_one(delivered: Path) -> None:
    with Image.open(delivered / "delivery" / "square" / "cup.png") as image:
        small = np.asarray(image.convert("RGB"))
    # the crop is square, as high as the picture; compare with Pillow's own reduction at the place where it fits best
    whole = (tifffile.imread(delivered / "finished" / "cup.tif") // 257).astype(np.uint8)
    best = max(
        ssim(
            np.asarray(Image.fromarray(whole[:, x : x + 480]).resize((300, 300), Image.Resampling.BOX)), small
        )
        for x in range(0, 241, 4)
    )
    assert best > 0.9


def test_a_limit_on_size_is_kept(delivered: Path) -> None:
    for crop in deliver(delivered).crops:
        for file in crop.files:
            if crop.channel == "tall":
                assert file.bytes <= 12_000
                assert file.ssim is None or file.ssim > 0.5


def test_too_few_pixels_are_said_and_nothing_is_enlarged(delivered: Path) -> None:
    tall = next(c for c in deliver(delivered).crops if (c.shot, c.channel) == ("cup", "tall"))
    assert (tall.width_px, tall.height_px, tall.asked_px) == (120, 480, (200, 800))
    assert [r.asked for r in tall.remarks if r.code == "too few pixels"] == [(200, 800)]
    # the note names the pixels that the files have, not those that were asked for
    note = (delivered / "delivery" / "READ-ME.txt").read_text(encoding="utf-8")
    line = next(row for row in note.splitlines() if row.startswith("tall/"))
    with Image.open(delivered / "delivery" / "tall" / "cup.jpg") as image:
        assert f"cup {image.width} x {image.height}" in line
    assert "3 pictures, 320 x 180 px" in next(row for row in note.splitlines() if row.startswith("wide/"))


def test_a_person_without_a_release_is_held_back_and_an_earlier_delivery_withdrawn(delivered: Path) -> None:
    assert "wide/hand.jpg" in names(delivered / "delivery")
    text = (delivered / "shoot.toml").read_text(encoding="utf-8")
    (delivered / "shoot.toml").write_text(text.replace("model_release = true\n", ""), encoding="utf-8")
    # even when the record under .plateside is gone, the manifest still knows what was delivered
    (delivered / ".plateside" / "deliver.json").unlink()
    report = deliver(delivered)
    assert not report.ready
    assert report.removed == 7
    assert [(p.code, p.shot) for p in report.withheld] == [("no release", "hand")]
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
    assert "no licence" in {p.code for p in report.fix_first}


def test_a_second_run_makes_nothing_and_a_change_of_words_only_that_shot(shoot: Path) -> None:
    first = deliver(shoot)
    again = deliver(shoot)
    assert (again.written, again.removed) == (0, 0)
    assert [c.files for c in again.crops] == [c.files for c in first.crops]
    Journal.open(shoot).append(
        "words", shot="near", field="alt_text", text="A thin foam at the edge of a cup."
    )
    changed = deliver(shoot)
    assert changed.written == 7
    assert "A thin foam at the edge of a cup." in (shoot / "delivery" / "words.txt").read_text(
        encoding="utf-8"
    )


def test_a_retouched_picture_is_delivered_and_no_longer_called_untouched(delivered: Path) -> None:
    finished = delivered / "finished" / "cup.tif"
    pixels = np.ascontiguousarray(tifffile.imread(finished)[:, ::-1])
    finished.unlink()
    tifffile.imwrite(finished, pixels, photometric="rgb")
    assert deliver(delivered).written == 7
    sheet = (delivered / "delivery" / "contact-sheet.html").read_text(encoding="utf-8")
    assert BY_HAND in sheet
    finished.unlink()
    with pytest.raises(InputError, match=r"cup\.tif is gone"):
        deliver(delivered)


def test_a_moved_crop_is_obeyed(delivered: Path) -> None:
    first = sha256_of_file(delivered / "delivery/square/cup.png")
    Journal.open(delivered).append("crop", shot="cup", channel="square", box=[0.0, 0.0, 0.5, 0.7])
    report = deliver(delivered)
    after = {c.shot: c for c in report.crops if c.channel == "square"}
    assert report.written == 4
    # 336 px of height are marked: enough for the 300 asked
    assert (after["cup"].width_px, after["cup"].height_px) == (300, 300)
    assert sha256_of_file(report.folder / "square/cup.png") != first
    assert ("cut", "as placed") in {(r.code, r.what) for r in after["cup"].remarks}


def test_a_marked_dish_moves_the_tools_own_crops_and_is_taken_back(delivered: Path) -> None:
    def square(report: DeliverReport) -> str:
        return sha256_of_file(report.folder / "square/cup.png")

    before = square(deliver(delivered))
    press(delivered, "dish", {"shot": "cup", "box": [0.0, 0.2, 0.3, 0.6]}, 99)
    moved = deliver(delivered)
    assert square(moved) != before
    assert next(c for c in moved.crops if (c.shot, c.channel) == ("cup", "square")).subject_whole
    assert take_back(delivered, 99).said == "Taken back: the place of the dish of cup."
    assert square(deliver(delivered)) == before


def test_files_of_others_are_left_and_old_ones_of_ours_go(delivered: Path) -> None:
    (delivered / "delivery" / "mine.txt").write_text("mine", encoding="utf-8")
    text = (delivered / "shoot.toml").read_text(encoding="utf-8")
    (delivered / "shoot.toml").write_text(text.replace('name = "wide"', 'name = "broad"'), encoding="utf-8")
    report = deliver(delivered)
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
    left = names(shoot / "delivery") - {"manifest.json", "READ-ME.txt"}
    assert 0 < len(left) < 21
    assert not [n for n in left if ".plateside-" in n]
    report = deliver(shoot)
    assert report.written == 21 - len(left)
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
    for path in (shoot / "delivery").rglob("*/*.*"):
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
    assert told.value.words == "Nothing is finished yet: make the series first."
    (shoot / "finished" / "adjustments.json").unlink()
    (shoot / "finished" / "adjustments.json").write_text("{", encoding="utf-8")
    with pytest.raises(InputError, match="cannot be read"):
        deliver(shoot)
    text = (shoot / "shoot.toml").read_text(encoding="utf-8")
    (shoot / "shoot.toml").write_text(text[: text.index("[[channels]]")], encoding="utf-8")
    with pytest.raises(InputError, match="no channels"):
        deliver(shoot)


def test_a_new_hero_after_finishing_is_noticed(delivered: Path) -> None:
    state = Journal.open(delivered)
    other = next(r.data["frame"] for r in state.rows() if r.kind == "select" and r.data["shot"] == "cup")
    state.append("select", shot="near", frame=other)
    report = deliver(delivered)
    (point,) = [p for p in report.fix_first if p.shot == "near"]
    assert point.code == "another select"
    # the delivery is read by people who have neither the settings nor a terminal
    for paper in ("READ-ME.txt", "manifest.json"):
        text = (report.folder / paper).read_text(encoding="utf-8")
        assert point_sentence(point) in text
        assert "plateside finish" not in text
        assert "toml" not in text


# ---- what is there is whole and of today, or says that it is not -------------------------------------------


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(os, "fork"), reason="processes are not forked here")
def test_killed_at_any_step_a_mixture_never_reads_as_ready(tmp_path: Path) -> None:
    # each thing put in place; with no word behind the folder: each change of a file
    told = run_alone("tests.unit.tasks.deliver.killed_deliver", tmp_path, "os.rename")
    assert told["unfinished"] >= 8
    assert told["old"] >= 1


def where(root: Path) -> DeliveryStanding:
    return standing(root, load_shoot(root / "shoot.toml"), read_state(root))


def retold(root: Path, old: str, new: str) -> None:
    text = (root / "shoot.toml").read_text(encoding="utf-8")
    assert old in text
    (root / "shoot.toml").write_text(text.replace(old, new, 1), encoding="utf-8")


CHANGES: list[tuple[str, Callable[[Path], object], set[str]]] = [
    ("words", lambda r: Journal.open(r).append("words", shot="near", field="title", text="Foam"), {"words near"}),
    ("alt text in the file", lambda r: retold(r, "A red cup", "A blue cup"), {"words cup"}),
    (
        "crop",
        lambda r: Journal.open(r).append("crop", shot="cup", channel="tall", box=[0, 0, 0.5, 0.5]),
        {"crop cup tall"},
    ),
    ("dish", lambda r: Journal.open(r).append("dish", shot="cup", box=[0.1, 0.1, 0.5, 0.5]), {"dish cup"}),
    ("terms", lambda r: retold(r, "Ask first", "Ask twice"), {"rights"}),
    ("channel", lambda r: retold(r, "width_px = 320", "width_px = 330"), {"channel wide"}),
    ("recipe", lambda r: retold(r, "18 g coffee", "20 g coffee"), {"recipe"}),
    ("address", lambda r: retold(r, "org/coffee/", "org/cup/"), {"page"}),
    ("release taken back", lambda r: retold(r, "model_release = true\n", ""), {"shot hand", "picture hand"}),
    ("channels", lambda r: retold(r, 'role = "detail"', 'role = "detail"\nchannels = ["tall"]'), {"shot near"}),
    ("date", lambda r: retold(r, "2027-05-01", "2028-05-01"), {"page", "rights"}),
]  # fmt: skip


@pytest.mark.parametrize(("what", "change", "named"), CHANGES, ids=[c[0] for c in CHANGES])
def test_whatever_went_into_it_and_changed_makes_it_stale_and_is_named(
    delivered: Path, what: str, change: Callable[[Path], object], named: set[str]
) -> None:
    assert where(delivered).ready
    change(delivered)
    now = where(delivered)
    assert not now.ready
    assert set(now.changed) == named
    assert "stale" in [p.code for p in now.open]
    assert set(verify(delivered).changed) == named
    assert delivering(delivered)["ready"] is False


def test_what_is_only_touched_or_planned_by_is_not_stale_and_an_old_date_hides_nothing(
    delivered: Path,
) -> None:
    for path in delivered.rglob("*"):
        os.utime(path)
    retold(delivered, 'role = "detail"', 'role = "detail"\nminutes = 45.0')
    Journal.open(delivered).append("kept", frame="0" * 32)
    assert where(delivered).ready
    # a changed picture with the date, the size and the name of the old one
    finished = delivered / "finished" / "cup.tif"
    stat, data = finished.stat(), bytearray(finished.read_bytes())
    data[len(data) // 2] ^= 1
    finished.write_bytes(data)
    os.utime(finished, ns=(stat.st_atime_ns, stat.st_mtime_ns))
    assert where(delivered).changed == ("picture cup",)


def test_finishing_again_without_delivering_is_not_ready(delivered: Path) -> None:
    finish(delivered, match_to="near")
    now = where(delivered)
    assert not now.ready
    assert {"picture cup", "picture near", "picture hand"} <= set(now.changed)
    assert deliver(delivered).ready
    assert where(delivered).ready


def test_a_file_gone_and_a_stop_half_way_are_told_apart(delivered: Path) -> None:
    gone = delivered / "delivery" / "wide" / "cup.jpg"
    gone.unlink()
    assert [p.code for p in where(delivered).open if p.blocks] == ["files missing"]
    checked = verify(delivered)
    assert (len(checked.faults), checked.interrupted, checked.exit_status) == (1, False, 1)

    def stop(done: int, total: int) -> None:
        if done == 4:
            raise Cancelled("stopped")

    Journal.open(delivered).append("words", shot="cup", field="title", text="Another")
    with pytest.raises(Cancelled):
        deliver(delivered, stop)
    assert [p.code for p in where(delivered).open if p.blocks] == ["interrupted"]
    checked = verify(delivered)
    assert (checked.faults, checked.interrupted, checked.exit_status) == ((), True, 1)
    with pytest.raises(InputError):
        pack(delivered)
    assert deliver(delivered).ready
    assert verify(delivered).exit_status == 0


def test_a_second_run_writes_nothing_at_all(delivered: Path) -> None:
    def stamps() -> dict[Path, int]:
        return {p: p.stat().st_mtime_ns for p in (delivered / "delivery").rglob("*")}

    before = stamps()
    assert deliver(delivered).written == 0
    assert stamps() == before


def test_what_makes_it_unfit_keeps_it_from_being_ready_until_accepted_by_name(delivered: Path) -> None:
    def blocked() -> set[tuple[str, str, str]]:
        report = deliver(delivered)
        now = where(delivered)
        assert report.ready is now.ready is (not what_blocks(now))
        assert delivering(delivered)["ready"] is now.ready
        # the command, the note and the page say the same
        note = (delivered / "delivery" / "READ-ME.txt").read_text(encoding="utf-8")
        said = [p["words"] for p in delivering(delivered)["open"]]
        assert len(report.fix_first) + len(report.remarks) == len(said) == len(now.open)
        assert all(words in note for words in said)
        return {(p.code, p.shot, p.channel) for p in what_blocks(now)}

    # in each format a limit is sought for: here in one that it can be found for, and in one that it cannot
    retold(delivered, '["jpeg", "webp", "avif", "png"]', '["jpeg", "png"]')
    assert blocked() == set()
    retold(delivered, 'deliberate = ["fewer pixels"]\n', "")
    assert blocked() == {("too few pixels", "cup", "tall")}
    retold(delivered, 'role = "main"\n', 'role = "main"\ndeliberate = ["fewer pixels"]\n')
    retold(delivered, "height_px = 300", "height_px = 300\nlargest_kb = 5")
    heavy = blocked()
    assert {code for code, _shot, _channel in heavy} == {"too heavy"}
    assert ("too heavy", "cup", "square") in heavy  # its PNG has no lower quality
    retold(delivered, "height_px = 300\nlargest_kb = 5", "height_px = 300")
    assert blocked() == set()
    # a picture that nothing could be matched by, as `finish` writes it down
    record = delivered / "finished" / "adjustments.json"
    told = json.loads(record.read_text(encoding="utf-8"))
    told["pictures"][1]["match"] |= {"by": "surroundings", "stops": 0.0, "mired": 0.0}
    record.write_text(json.dumps(told), encoding="utf-8")
    assert blocked() == {("unmatched", "near", "")}
    sheet = (delivered / "delivery" / "contact-sheet.html").read_text(encoding="utf-8")
    assert AS_TAKEN in sheet
    assert "surroundings" not in sheet  # that stays in the shoot
    retold(delivered, 'role = "detail"\ndeliberate = [', 'role = "detail"\ndeliberate = ["unmatched", ')
    assert blocked() == set()


def test_a_picture_whose_run_was_stopped_is_not_called_retouched(delivered: Path) -> None:
    """`finish` put it in place, and was killed before its list was written."""
    record = delivered / "finished" / "adjustments.json"
    earlier = record.read_bytes()
    finish(delivered, match_to="near")
    record.write_bytes(earlier)
    report = deliver(delivered)
    assert not report.ready
    assert {p.shot for p in what_blocks(where(delivered)) if p.code == "finish cut short"} == {
        "cup", "near", "hand",
    }  # fmt: skip
    assert BY_HAND not in (report.folder / "contact-sheet.html").read_text(encoding="utf-8")


def test_what_was_changed_by_hand_travels_with_the_picture(delivered: Path, tmp_path: Path) -> None:
    finished = delivered / "finished" / "cup.tif"
    pixels = np.ascontiguousarray(tifffile.imread(finished)[:, ::-1])
    tifffile.imwrite(finished, pixels, photometric="rgb")
    for again in (False, True):
        if again:
            finish(delivered)  # which writes it down as changed by hand
        deliver(delivered)
        for channels in ((), ("square",)):
            data = pack(delivered, channels=channels, to=tmp_path).path / "data"
            assert BY_HAND in (data / "READ-ME.txt").read_text(encoding="utf-8")
            for kind in ("jpg", "webp", "avif", "png"):
                with Image.open(data / "square" / f"cup.{kind}") as image:
                    xmp = image.info.get("xmp") or image.info.get("XML:com.adobe.xmp", "").encode()
                history = ElementTree.fromstring(xmp).findall(  # noqa: S314 - our own file
                    ".//{http://ns.adobe.com/xap/1.0/mm/}History//"
                    "{http://ns.adobe.com/xap/1.0/sType/ResourceEvent#}parameters"
                )
                assert [event.text for event in history] == [BY_HAND]
        rows = json.loads(
            (data.parent.parent / "my shoot-delivery" / "data" / "manifest.json").read_text("utf-8")
        )
        assert {r["shot"] for r in rows["pictures"] if r["done"]} == {"cup"}


def test_a_package_for_a_client_says_nothing_of_what_is_open(delivered: Path, tmp_path: Path) -> None:
    retold(delivered, 'deliberate = ["fewer pixels"]\n', "")
    retold(delivered, 'title = "Coffee & crème"', 'title = "My dish"')
    assert not deliver(delivered).ready
    complaints = [point_sentence(p) for p in (*where(delivered).withheld, *where(delivered).open)]
    assert len(complaints) > 2
    note = (delivered / "delivery" / "READ-ME.txt").read_text(encoding="utf-8")
    assert all(words in note for words in complaints)
    for channels in ((), ("square",)):
        report = pack(delivered, channels=channels, to=tmp_path)
        assert report.ready is False  # said to her
        assert report.not_ready
        texts = [
            p.read_text("utf-8") for p in report.path.rglob("*.*") if p.suffix in (".txt", ".html", ".json")
        ]
        for text in texts:
            assert not [words for words in complaints if words in text]
            assert "open_in_these_files" not in text
            assert "made_from" not in text
        assert verify(report.path).faults == ()
    data = tmp_path / "my shoot-delivery" / "data"
    assert verify(data).faults == ()  # its own list is right as well


def test_a_damaged_list_of_the_delivery_is_as_good_as_none(delivered: Path) -> None:
    path = delivered / "delivery" / "manifest.json"
    whole = json.loads(path.read_text(encoding="utf-8"))
    for told in (
        b"",
        b"[]",
        b"[" * 100_000,
        b"\xff",
        b'{"pictures": [1], "documents": []}',
        b'{"pictures": 3}',
    ):
        path.write_bytes(told)
        assert delivering(delivered)["ready"] is False
        for act in (verify, pack):
            with pytest.raises(InputError):
                act(delivered)
    for kind, value in (
        ("pictures", [{}]),
        ("documents", [{"file": 3}]),
        ("pictures", [{"file": "a", "sha256": 1}]),
    ):
        path.write_text(json.dumps({**whole, kind: value}), encoding="utf-8")
        assert delivering(delivered)["ready"] is False
        with pytest.raises(InputError):
            pack(delivered)
    assert deliver(delivered).ready
