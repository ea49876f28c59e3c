"""Finishing over real files: matched to the known truth, resumed, stopped, refused with the mend.

Over 400 lines: the cases share the making of frames whose truth is known.
"""

import contextlib
import errno
import json
import os
import shutil
import threading
from pathlib import Path

import numpy as np
import pytest
import tifffile
from PIL import Image

from plateside.files.cache import read_sealed_json, write_sealed_json
from plateside.files.journal.journal import Journal
from plateside.files.originals.identity import content_hash
from plateside.files.settings.load import open_shoot
from plateside.finish.ciede2000 import delta_e
from plateside.finish.hand import UNTOUCHED
from plateside.finish.matched import is_matched
from plateside.finish.white_balance import of_array
from plateside.ground.srgb import to_lab, to_linear
from plateside.model.errors import Cancelled, CouldNotError, InputError
from plateside.tasks.deliver.delivery import deliver
from plateside.tasks.finish import series as task
from plateside.tasks.finish.series import finish
from plateside.tasks.finish.shown import read_finished
from plateside.tasks.finish.written_list import read_list
from plateside.tasks.report import as_json
from tests.killed import run_alone
from tests.shoots.re_lit import LIGHTS, SHOOT, finished_shoot, frame, make_shoot, scene
from tests.synthetic.dng import write_dng


@pytest.fixture
def shoot(tmp_path: Path) -> Path:
    return make_shoot(tmp_path / "my shoot ü")


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """Of half the size, where the pictures are not looked at."""
    return make_shoot(tmp_path / "my shoot ü", share=1 / 2)


@pytest.fixture
def finished(tmp_path: Path) -> Path:
    """The same with its pictures, as a run of finish left them; of half the size."""
    return finished_shoot(tmp_path / "my shoot ü", share=1 / 2)


def test_the_set_is_matched_to_its_main_shot(shoot: Path) -> None:
    before = {p: p.read_bytes() for p in (shoot / "frames").iterdir()}
    report = finish(shoot)
    assert report.match_to == "cup"
    assert report.written == 3
    for one in report.finished:
        truth = of_array(1 / np.array(LIGHTS[one.shot]))
        assert one.match.stops == pytest.approx(truth.exposure_stops, abs=0.03)
        assert one.match.mired == pytest.approx(truth.mired, abs=2.0)
        assert not one.by_hand
        with tifffile.TiffFile(shoot / "finished" / one.file) as tiff:
            written = tiff.asarray()
            assert isinstance(tiff.pages[0], tifffile.TiffPage)
            assert 34853 not in tiff.pages[0].tags  # no GPS
        assert written.dtype == np.uint16
        # upright, whatever the file said of its orientation, and the same light as the scene's own
        wanted = scene()[60:, 80:-40] if one.shot == "near" else scene()
        assert written.shape == wanted.shape
        there = (wanted.max(axis=-1) < 0.6) & (wanted.min(axis=-1) > 0.03)
        apart = delta_e(to_lab(to_linear(written / 65535.0)), to_lab(wanted))[there]
        assert float(np.median(apart)) < 1.0
    # originals untouched
    assert {p: p.read_bytes() for p in (shoot / "frames").iterdir()} == before


def test_the_record_says_what_was_done(shoot: Path) -> None:
    report = finish(shoot)
    record = json.loads((shoot / "finished" / "adjustments.json").read_text(encoding="utf-8"))
    assert [p["shot"] for p in record["pictures"]] == ["cup", "near", "hand"]
    assert record["match_to"] == "cup"
    assert "sRGB" in record["colour_space"]
    near = report.finished[1]
    assert (near.frame, near.width_px, near.height_px) == ("IMG 1 é.jpg", 600, 420)
    assert (near.match.by, near.from_raw, near.tone) == ("same things", False, "straight")
    assert near.match.delta_e_before is not None
    assert [len(p["adjustments"]) for p in record["pictures"]] == [3, 3, 3]
    assert json.loads(json.dumps(as_json(report)))["finished"][1]["shot"] == "near"


def test_a_second_run_makes_nothing_and_a_change_makes_only_its_own(finished: Path) -> None:
    stamps = {p.name: p.stat().st_mtime_ns for p in (finished / "finished").iterdir()}
    again = finish(finished)
    assert again.written == 0
    assert {p.name: p.stat().st_mtime_ns for p in (finished / "finished").iterdir()} == stamps
    (finished / "finished" / "near.tif").unlink()
    (finished / "finished" / "hand.tif").write_bytes(b"spoiled")
    assert finish(finished).written == 2
    # the caches may be damaged or deleted at any time
    (finished / ".plateside" / "finish.json").write_text("{torn", encoding="utf-8")
    assert finish(finished).written == 0
    shutil.rmtree(finished / ".plateside")
    shutil.rmtree(finished / "finished")
    assert finish(finished).written == 3


def test_what_she_changed_by_hand_is_never_lost(finished: Path) -> None:
    path = finished / "finished" / "near.tif"
    retouched = np.ascontiguousarray(tifffile.imread(path)[:, ::-1])
    tifffile.imwrite(path, retouched, photometric="rgb")
    hers = path.read_bytes()
    # kept, said, and no longer claimed to be untouched; even when the caches are deleted
    for _ in range(2):
        (finished / ".plateside" / "finish.json").unlink()
        report = finish(finished)
        assert report.written == 0
        one = report.finished[1]
        assert one.by_hand
        assert path.read_bytes() == hers
    # another hero needs another picture: hers is set aside, not written over
    rows = Journal.open(finished).rows()
    other = next(r.data["frame"] for r in rows if r.kind == "select" and r.data["shot"] == "hand")
    Journal.open(finished).append("select", shot="near", frame=other)
    report = finish(finished)
    assert not report.finished[1].by_hand
    assert (finished / "finished" / "near-by-hand-1.tif").read_bytes() == hers


def test_jpeg_in_place_of_tiff_replaces_it(finished: Path) -> None:
    report = finish(finished, kind="jpeg")
    assert {p.name for p in (finished / "finished").iterdir()} == {
        "cup.jpg",
        "near.jpg",
        "hand.jpg",
        "adjustments.json",
    }
    assert report.finished[0].file == "cup.jpg"
    with Image.open(finished / "finished" / "cup.jpg") as image:
        assert image.info["icc_profile"]


def test_another_reference_turns_the_set_to_it(shoot: Path) -> None:
    report = finish(shoot, match_to="near")
    cup = next(one for one in report.finished if one.shot == "cup")
    truth = of_array(np.array(LIGHTS["near"]))
    assert cup.match.stops == pytest.approx(truth.exposure_stops, abs=0.03)
    with pytest.raises(InputError, match="cup, near, hand"):
        finish(shoot, match_to="nothing")


def test_a_grey_patch_makes_the_whole_set_neutral(tmp_path: Path) -> None:
    root = make_shoot(tmp_path / "s")
    path = root / "frames" / "IMG 0 é.jpg"
    picture = frame((1.0, 1.0, 1.0))
    picture[400:460, 20:120] = [150, 130, 110]  # a warm-tinted card
    Image.fromarray(picture).save(path, quality=97)
    identity = content_hash(path)
    Journal.open(root).append_many(
        [
            ("frame landed", {"frame": identity, "name": path.name}),
            ("select", {"shot": "cup", "frame": identity}),
        ]
    )
    box = (30 / 720, 410 / 480, 80 / 720, 40 / 480)
    finish(root, grey=box)
    written = tifffile.imread(root / "finished" / "cup.tif")
    card = np.median(written[415:445, 40:100].reshape(-1, 3), axis=0) / 65535 * 255
    assert float(np.ptp(card)) < 1.5
    # the same place marked on set, in that very frame, serves as well, until it is taken away; each light has its own
    journal = Journal.open(root)
    journal.append("grey card", shot="cup", frame=identity, box=list(box))
    finish(root)
    assert np.array_equal(tifffile.imread(root / "finished" / "cup.tif"), written)
    journal.append("grey card", shot="cup", frame="0" * 32, box=list(box))
    finish(root)
    assert np.array_equal(tifffile.imread(root / "finished" / "cup.tif"), written)
    journal.append("grey card", shot="cup", frame=identity, box=None)
    finish(root)
    assert not np.array_equal(tifffile.imread(root / "finished" / "cup.tif"), written)
    with pytest.raises(InputError, match="shares"):
        finish(root, grey=(0.9, 0.9, 0.5, 0.5))


def test_a_dark_mood_keeps_its_exposure(tmp_path: Path) -> None:
    text = SHOOT.replace('role = "detail"', 'role = "detail"\ndeliberate = ["dark"]')
    report = finish(make_shoot(tmp_path / "s", text))
    near = next(one for one in report.finished if one.shot == "near")
    assert near.match.stops == pytest.approx(0, abs=1e-6)
    assert near.match.mired == pytest.approx(of_array(1 / np.array(LIGHTS["near"])).mired, abs=2.0)


def test_the_same_scene_too_dark_to_be_made_up_is_said_to_be_so(shoot: Path) -> None:
    dark = shoot / "frames" / "dark.jpg"
    Image.fromarray(frame((0.1, 0.1, 0.1), seed=5)).save(dark, quality=96)
    identity = content_hash(dark)
    Journal.open(shoot).append_many(
        [
            ("frame landed", {"frame": identity, "name": dark.name}),
            ("frame belongs", {"frame": identity, "shot": "hand", "guess": False}),
            ("select", {"shot": "hand", "frame": identity}),
        ]
    )
    report = finish(shoot)
    assert report.finished[2].match.lacking_stops == pytest.approx(np.log2(10), abs=0.1)
    assert (report.finished[2].match.by, report.unmatched) == ("too far", ("hand",))
    # the record says the same when it is read again
    assert read_list(open_shoot(shoot).folder)[2].match == report.finished[2].match


def test_what_is_told_on_the_way_counts_whole_pictures(small: Path) -> None:
    told: list[tuple[int, int]] = []
    finish(small, progress=lambda done, total: told.append((done, total)))
    assert told == sorted(told)
    assert {total for _, total in told} == {9}
    assert told[-1] == (9, 9)


def test_stopped_half_way_it_goes_on_where_it_was(small: Path) -> None:
    calls = []

    def stop(done: int, total: int) -> None:
        calls.append(done)
        if done == total - 1:  # while the last picture is rendered
            raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        finish(small, progress=stop)
    left = {p.name for p in (small / "finished").iterdir()}
    assert left == {"cup.tif", "near.tif"}
    report = finish(small)
    assert report.written == 1
    assert len(report.finished) == 3


def test_a_second_run_waits_and_takes_nothing_of_the_first_for_work_by_hand(small: Path) -> None:
    """The second is another look, asked for while the first makes its pictures."""
    asked, first_done = threading.Semaphore(0), threading.Event()
    early, written, runs = list[int](), list[int](), list[threading.Thread]()

    def told(done: int, total: int) -> None:
        if not first_done.is_set():
            early.append(done)
        asked.release()

    def another() -> None:
        written.append(finish(small, progress=told).written)
        for _ in range(20):
            asked.release()

    def on_the_way(done: int, total: int) -> None:
        if done == total - 2 and not runs:  # one picture is made
            look = {**vars(UNTOUCHED), "brighter_stops": 0.4}
            Journal.open(small).append("look", shot="", **look)
            runs.append(threading.Thread(target=another))
            runs[0].start()
            for _ in range(12):
                asked.acquire()

    finish(small, progress=on_the_way)
    first_done.set()
    runs[0].join()
    assert set(early) == {0}
    assert written == [3]
    assert {p.name for p in (small / "finished").glob("*.tif")} == {"cup.tif", "near.tif", "hand.tif"}


def test_a_full_disk_is_told_in_one_sentence_and_leaves_no_half_file(
    small: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object, **__: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(task, "fill_tiff_16", full)
    with pytest.raises(CouldNotError, match=r"The disk is full: .*cup\.tif could not be written"):
        finish(small)
    assert not (small / "finished" / "cup.tif").exists()
    monkeypatch.undo()
    assert finish(small).written == 3


def test_missing_heroes_are_said(tmp_path: Path) -> None:
    report = finish(make_shoot(tmp_path / "some", shots=("cup", "near"), share=1 / 2))
    assert [one.shot for one in report.finished] == ["cup", "near"]
    assert report.missing == ("hand",)
    with pytest.raises(InputError, match="No shot has a select yet"):
        finish(make_shoot(tmp_path / "none", shots=()))


def test_a_hero_that_is_gone_or_changed_is_refused(small: Path) -> None:
    path = small / "frames" / "IMG 1 é.jpg"
    kept = path.read_bytes()
    path.write_bytes(kept + b"x")
    with pytest.raises(InputError, match="has changed since you chose it"):
        finish(small)
    path.unlink()
    with pytest.raises(InputError, match=r"The select of near, IMG 1 é\.jpg, is not in the folder"):
        finish(small)
    path.write_bytes(kept)
    assert finish(small).written == 3


def test_raws_are_developed_with_one_white_balance_and_one_curve(tmp_path: Path) -> None:
    root = make_shoot(tmp_path / "s", shots=())
    journal = Journal.open(root)
    for shot, light in (("cup", (1.0, 1.0, 1.0)), ("near", (0.70, 0.64, 0.55))):
        name = f"{shot}.dng"
        write_dng(root / "frames" / name, scene()[:, :, :] * np.array(light), seed=3)
        identity = content_hash(root / "frames" / name)
        journal.append_many(
            [
                ("frame landed", {"frame": identity, "name": name}),
                ("select", {"shot": shot, "frame": identity}),
            ]
        )
    cup, near = finish(root).finished
    assert (cup.from_raw, cup.tone) == (True, "calm")
    assert near.match.stops == pytest.approx(
        of_array(1 / np.array([0.70, 0.64, 0.55])).exposure_stops, abs=0.05
    )
    assert near.match.delta_e_after is not None
    assert near.match.delta_e_after < 1.0
    one, two = (to_lab(to_linear(tifffile.imread(root / "finished" / f.file) / 65535.0)) for f in (cup, near))
    assert float(np.median(delta_e(one[20:-20, 20:-20], two[20:-20, 20:-20]))) < 1.5
    # as bright as the camera's own picture of it, which has the scene's own light
    written = to_linear(tifffile.imread(root / "finished" / cup.file) / 65535.0)
    there = np.abs(scene().mean(axis=-1) - 0.18) < 0.01
    assert float(np.median(written[there].mean(axis=-1))) == pytest.approx(0.18, abs=0.02)


def test_an_unknown_kind_is_refused(small: Path) -> None:
    with pytest.raises(InputError, match="tiff or jpeg"):
        finish(small, kind="bmp")


def test_tiny_frames_are_finished_and_delivered_with_the_truth_said(tmp_path: Path) -> None:
    root = make_shoot(tmp_path / "s", shots=())
    for number, shot in enumerate(("cup", "near")):
        name = f"{shot}.jpg"
        Image.fromarray(frame((1.0, 1.0, 1.0), seed=number)[200:216, 300:324]).save(root / "frames" / name)
        identity = content_hash(root / "frames" / name)
        Journal.open(root).append_many(
            [
                ("frame landed", {"frame": identity, "name": name}),
                ("select", {"shot": shot, "frame": identity}),
            ]
        )
    assert [(one.width_px, one.height_px) for one in finish(root).finished] == [(24, 16), (24, 16)]
    report = deliver(root)
    assert all("too few pixels" in {r.code for r in crop.remarks} for crop in report.crops)
    assert "small for search" in {p.code for p in report.remarks}


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(os, "fork"), reason="processes are not forked here")
def test_killed_at_any_step_its_own_picture_is_not_taken_for_hand_work(tmp_path: Path) -> None:
    # each thing that is put in place; with no word behind the folder: each change of a file (73 kills, two minutes)
    assert run_alone("tests.unit.tasks.finish.killed_finish", tmp_path, "os.rename")["kills"] >= 8


def retouch(path: Path) -> bytes:
    tifffile.imwrite(path, np.ascontiguousarray(tifffile.imread(path)[:, ::-1]), photometric="rgb")
    return path.read_bytes()


DAMAGES: list[bytes] = [
    b"", b"{", b"[]", b"\xff\xfe\x00", b"null", b'{"pictures": {}}', b'{"pictures": [1]}', b"[" * 100_000,
    b'{"pictures": [{"shot": "cup"}]}', b"1" * 5000,
]  # fmt: skip
FIELDS: list[tuple[str, object]] = [
    ("shot", None), ("file", "../x.tif"), ("file", 3), ("width_px", "wide"), ("width_px", -1), ("height_px", 10**400),
    ("by_hand", "no"), ("from_raw", "no"), ("tone", "loud"), ("match", []), ("match", {"by": "nothing"}),
    ("made_from", [1]),
]  # fmt: skip


def test_a_damaged_list_is_made_anew_and_hand_work_is_still_known(finished: Path) -> None:
    path = finished / "finished" / "adjustments.json"
    hers, whole = retouch(finished / "finished" / "near.tif"), json.loads(path.read_bytes())
    damaged = list(DAMAGES)
    for name, value in FIELDS:
        rows = [dict(row) for row in whole["pictures"]]
        rows[1][name] = value
        damaged.append(json.dumps({**whole, "pictures": rows}).encode())
    rows = [dict(row) for row in whole["pictures"]]
    rows[0]["match"] = {**rows[0]["match"], "stops": float("inf")}
    damaged.append(json.dumps({**whole, "pictures": rows}).encode())
    for data in damaged:
        path.write_bytes(data)
        # what a delivery needs of it may be whole all the same; else it is refused in a sentence
        with contextlib.suppress(InputError):
            deliver(finished)
        assert read_finished(finished)["pictures"] is not None  # and no page falls over it
        report = finish(finished)
        assert report.list_renewed, data[:60]
        assert [one.shot for one in report.finished if one.by_hand] == ["near"], data[:60]
        assert (report.written, (finished / "finished" / "near.tif").read_bytes()) == (0, hers)
        assert json.loads(path.read_bytes())["pictures"][0] == whole["pictures"][0]
    assert not finish(finished).list_renewed


def test_with_all_notes_lost_its_own_pictures_are_known_by_making_them_again(finished: Path) -> None:
    hers = retouch(finished / "finished" / "near.tif")
    shutil.rmtree(finished / ".plateside")
    (finished / "finished" / "adjustments.json").unlink()
    report = finish(finished)
    assert not [one.shot for one in report.finished if one.by_hand]
    assert {p.name for p in (finished / "finished").iterdir()} == {
        "cup.tif", "near.tif", "hand.tif", "near-by-hand-1.tif", "adjustments.json",
    }  # fmt: skip
    assert (finished / "finished" / "near-by-hand-1.tif").read_bytes() == hers


def test_what_she_saves_while_the_run_goes_on_or_cannot_be_read_is_not_written_over(finished: Path) -> None:
    other = json.loads((finished / "finished" / "adjustments.json").read_bytes())["pictures"][2]["frame_id"]
    Journal.open(finished).append("select", shot="near", frame=other)
    path = finished / "finished" / "near.tif"

    def meanwhile(done: int, total: int) -> None:
        if done == total - 2:
            path.write_bytes(b"hers, saved just now")

    report = finish(finished, progress=meanwhile)
    assert not report.finished[1].by_hand
    kept = [p.read_bytes() for p in (finished / "finished").glob("near-by-hand-*.tif")]
    assert kept == [b"hers, saved just now"]


def test_a_picture_of_an_earlier_run_put_back_is_made_again(finished: Path) -> None:
    path = finished / "finished" / "near.tif"
    earlier = path.read_bytes()
    other = json.loads((finished / "finished" / "adjustments.json").read_bytes())["pictures"][2]["frame_id"]
    Journal.open(finished).append("select", shot="near", frame=other)
    finish(finished)
    now = path.read_bytes()
    path.write_bytes(earlier)
    report = finish(finished)
    assert (report.written, path.read_bytes()) == (1, now)
    assert not report.finished[1].by_hand


@pytest.mark.parametrize(
    "notes", [b"[" * 100_000, b'{"match near": {"key": 1}, "placed near.tif": {"key": "", "hashes": 3}}']
)
def test_damaged_caches_cost_only_time(finished: Path, notes: bytes) -> None:
    cache = finished / ".plateside" / "finish.json"
    kept = read_sealed_json(cache, "notes")
    cache.write_bytes(notes)
    assert finish(finished).written == 0
    for spoiled in (
        {"match": {}, "highlight": 1},
        {"match": kept["match near"]["match"], "highlight": "x"},
        {},
    ):
        write_sealed_json(cache, {**kept, "match near": {"key": kept["match near"]["key"], **spoiled}})
        assert finish(finished).written == 0


def test_matched_is_said_only_of_what_was_measured(small: Path) -> None:
    for by in ("itself", "grey card", "same things", "settings"):
        assert is_matched(by)
    for by in ("surroundings", "nothing", "too far"):
        assert not is_matched(by)
    assert finish(small).unmatched == ()
