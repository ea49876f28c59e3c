"""Choose, Finish and Deliver without a browser: what the pages are told, the work behind them, files handed out."""

import os
import shutil
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from plateside.demo.data import copy_demo
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.files.pictures import write_tiff_16
from plateside.files.settings.load import load_shoot
from plateside.files.settings.write import Put, update_shoot
from plateside.model.errors import InputError
from plateside.model.progress import silent
from plateside.tasks.choose.sheets import LastSheets, read_sheets
from plateside.tasks.deliver.shown import said_of
from plateside.tasks.finish.shown import finishing, read_finished
from plateside.tasks.report import as_json
from plateside.tasks.set.press import press
from plateside.web.downloads import POWERLESS, download
from plateside.web.pages.choose import asked_size, first_cards
from plateside.web.pages.deliver import delivering
from plateside.web.work.results import WORK
from tests.unit.web.finished import HIGH, WIDE, finished_row, write_record

MIDDLE, RADIUS = (700, 380), 210
"""The dish of the made picture: a green disc on grey."""


def disc() -> NDArray[np.uint16]:
    y, x = np.mgrid[0:HIGH, 0:WIDE]
    picture = np.full((HIGH, WIDE, 3), 0.45)
    picture += np.random.default_rng(3).normal(0, 0.004, picture.shape)
    picture[np.hypot(x - MIDDLE[0], y - MIDDLE[1]) < RADIUS] = (0.35, 0.7, 0.2)
    return np.asarray(np.rint(np.clip(picture, 0, 1) * 65535), np.uint16)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("results") / "shoot"
    root.mkdir()
    copy_demo(root)
    (root / "finished").mkdir()
    write_tiff_16(root / "finished" / "one-bowl.tif", disc())
    # the disc is a third of the frame's width, as the shot now says
    update_shoot(
        root,
        [
            Put(("shots", "one-bowl", "frame_width_mm"), 450.0),
            Put(("shots", "one-bowl", "frame_height_mm"), 300.0),
            Put(("shots", "one-bowl", "dish_width_mm"), 157.0),
            Put(("shots", "one-bowl", "dish_height_mm"), 40.0),
        ],
    )
    write_record(root, finished_row("one-bowl", "one-bowl.tif", "f" * 32))
    rows: list[tuple[str, dict[str, object]]] = [
        ("frame landed", {"frame": "a" * 32, "name": "plate-1.jpg"}),
        ("frame landed", {"frame": "f" * 32, "name": "plate-2.jpg"}),
        ("frame belongs", {"frame": "a" * 32, "shot": "one-bowl", "guess": True}),
        ("frame belongs", {"frame": "f" * 32, "shot": "one-bowl", "guess": False}),
        ("verdict", {"frame": "a" * 32, "word": "adjust", "act": "Nearer", "confidence": 0.9}),
    ]
    Journal.open(root).append_many(rows)
    return root


@pytest.fixture
def root(made: Path, tmp_path: Path) -> Path:
    shutil.copytree(made, tmp_path / "shoot", ignore=shutil.ignore_patterns("*.lock"))
    return tmp_path / "shoot"


def asked(root: Path, **more: Any) -> dict[str, Any]:
    picture = read_finished(root)["pictures"][0]
    return {
        "root": str(root),
        "shot": "one-bowl",
        "file": picture["file"],
        "version": picture["version"],
        **more,
    }


# ---- choose ------------------------------------------------------------------------------------------------


def test_sheets_tell_every_frame_shortly_and_which_small_pictures_are_there(root: Path) -> None:
    (root / ".plateside" / "thumbnails").mkdir(parents=True)
    (root / ".plateside" / "thumbnails" / f"{'a' * 32}-thumb.jpg").write_bytes(b"x")
    press(root, "select", {"shot": "one-bowl", "frame": "f" * 32}, 99)
    told = read_sheets(root).packed()
    first, second = told["frames"]
    shot = [s["name"] for s in told["shots"]].index("one-bowl")
    adjust, nearer = told["words"].index("adjust"), told["acts"].index("Nearer")
    # id, name, shot, word, act, pressed, and guessed (1) with its small picture there (4)
    assert first == ["a" * 32, "plate-1.jpg", shot, adjust, nearer, 0, 1 + 4]
    assert second == ["f" * 32, "plate-2.jpg", shot, 0, 0, 0, 0]
    assert {s["name"]: s["select"] for s in told["shots"]}["one-bowl"] == "f" * 32
    assert told["row"] == Journal.open(root).last_number()


def test_sheets_are_kept_until_something_changes(root: Path) -> None:
    kept = LastSheets()
    # what was written a moment ago may still change within the same tick of the file system's clock
    for path in (root / "journal.jsonl", root / "shoot.toml"):
        os.utime(path, (1_800_000_000 - 10**8, 1_800_000_000 - 10**8))
    first = kept.sheets(root)
    assert kept.sheets(root) is first
    press(root, "kept", {"frame": "f" * 32}, 99)
    second = kept.sheets(root)
    assert [f.pressed for f in second.now.frames] == ["", "kept"]


def test_the_first_cards_are_shared_out_over_the_shots(root: Path) -> None:
    groups = {g["name"]: g for g in first_cards(read_sheets(root), 1)}
    assert [c["label"] for c in groups["one-bowl"]["cards"]] == ["plate-1.jpg, adjust"]
    assert groups["one-bowl"]["count"] == 2
    assert groups["pour"]["cards"] == []


@pytest.mark.parametrize(
    ("cookie", "told"),
    [
        ("", ("middle", 120)), ("small.228", ("small", 228)), ("large.7", ("large", 12)),
        ("small.99999", ("small", 240)), ("huge.20", ("middle", 120)), ("small.-3", ("small", 240)),
        ("small.9999", ("small", 400)), ("<b>.1", ("middle", 120)),
    ],
)  # fmt: skip
def test_what_a_browser_says_of_its_size_is_taken_with_care(cookie: str, told: tuple[str, int]) -> None:
    assert asked_size(cookie) == told


# ---- finish ------------------------------------------------------------------------------------------------


def test_a_finished_picture_and_a_hero_chosen_since(root: Path) -> None:
    now = {s["name"]: s for s in finishing(root)["shots"]}
    assert now["one-bowl"]["picture"]["bytes"] == (root / "finished" / "one-bowl.tif").stat().st_size
    assert not now["one-bowl"]["another_select"]
    assert now["pour"]["picture"] is None
    press(root, "select", {"shot": "one-bowl", "frame": "a" * 32}, 99)
    again = {s["name"]: s for s in finishing(root)["shots"]}["one-bowl"]
    assert again["another_select"]
    assert again["select"] == "plate-1.jpg"


def test_a_record_that_leads_elsewhere_is_not_followed(root: Path) -> None:
    write_record(root, finished_row("one-bowl", "../shoot.toml", "f" * 32))
    assert read_finished(root)["pictures"] == []


def test_the_shown_picture_has_the_finished_ones_colours_and_old_ones_go(root: Path) -> None:
    picture = read_finished(root)["pictures"][0]
    folder = root / ".plateside" / "shown" / picture["file"]
    WORK["shown"](asked(root, size="row"), silent)
    with Image.open(folder / f"{picture['version']}-view.jpg") as shown:
        assert shown.size == (WIDE, HIGH)
        # 0.35, 0.7, 0.2 of 255, within what JPEG quality 88 costs
        assert np.allclose(np.asarray(shown)[MIDDLE[1], MIDDLE[0]], (89, 178, 51), atol=4)
    with Image.open(folder / f"{picture['version']}-row.jpg") as small:
        assert small.size == (720, 480)
    os.utime(root / "finished" / "one-bowl.tif", ns=(1, 1))
    WORK["shown"](asked(root, size="view"), silent)
    versions = {p.name.split("-")[0] for p in folder.iterdir()}
    assert versions == {read_finished(root)["pictures"][0]["version"]}
    assert picture["version"] not in versions


# ---- crops -------------------------------------------------------------------------------------------------


def test_the_dish_is_where_the_disc_was_drawn_and_every_crop_has_its_channels_shape(root: Path) -> None:
    told = as_json(WORK["crops"](asked(root), silent))
    x, y, w, h = told["dish"]
    assert x + w / 2 == pytest.approx(MIDDLE[0] / WIDE, abs=0.06)
    assert y + h / 2 == pytest.approx(MIDDLE[1] / HIGH, abs=0.09)
    assert set(told["channels"]) == {"page-classic", "page-square", "tall"}
    shapes = {c.name: c.width_px / c.height_px for c in load_shoot(root).channels}
    for name, crop in told["channels"].items():
        _x, _y, wide, high = crop["box"]
        # a pixel either way is rounding
        assert wide * WIDE / (high * HIGH) == pytest.approx(shapes[name], rel=0.003)
        assert crop["whole"]


def test_what_is_said_of_a_crop_that_cuts_the_dish(root: Path) -> None:
    cut = as_json(WORK["crop"](asked(root, channel="page-square", box=[0.0, 0.0, 0.4, 0.6]), silent))
    assert not cut["whole"]
    assert {"cut", "too few pixels"} <= {r["code"] for r in cut["remarks"]}
    with pytest.raises(InputError, match="no channel"):
        WORK["crop"](asked(root, channel="vertical", box=[0, 0, 1, 1]), silent)


def test_her_crop_counts_and_is_taken_away_again(root: Path) -> None:
    press(root, "crop", {"shot": "one-bowl", "channel": "tall", "box": [0.1, 0.1, 0.4, 0.75]}, 99)
    assert read_state(root).crops == {("one-bowl", "tall"): (0.1, 0.1, 0.4, 0.75)}
    assert {s["name"]: s["crops"] for s in delivering(root)["shots"]}["one-bowl"] == {
        "tall": [0.1, 0.1, 0.4, 0.75]
    }
    press(root, "crop", {"shot": "one-bowl", "channel": "tall", "box": None}, 99)
    assert read_state(root).crops == {}


# ---- words, held back, open --------------------------------------------------------------------------------


def test_words_are_checked_as_deliver_checks_them(root: Path) -> None:
    shoot = load_shoot(root)
    shot = next(s for s in shoot.shots if s.name == "one-bowl")
    assert said_of(shoot, shot, {})["remarks"] == []
    # WCAG 2.2 technique G94 and the IPTC alt text guide: no "picture of", aim at 125 characters, under 250
    needless = said_of(shoot, shot, {"alt_text": "A photo of a green soup in a bowl."})["remarks"]
    assert [r.what for r in needless] == ["needless"]
    long = said_of(shoot, shot, {"alt_text": "x" * 251})["remarks"]
    assert [(r.what, r.got) for r in long] == [("too long", (251,))]
    title = said_of(shoot, shot, {"title": "Soup", "alt_text": "soup."})["remarks"]
    assert [r.what for r in title] == ["title"]


def test_a_person_without_release_is_held_back_and_terms_are_asked_for(root: Path) -> None:
    update_shoot(
        root,
        [
            Put(("shots", "pour", "model_release"), False),
            Put(("creator", "usage_terms"), ""),
            Put(("creator", "licence_url"), ""),
        ],
    )
    told = delivering(root)
    assert [s["name"] for s in told["shots"] if s["withheld"]] == ["pour"]
    assert told["licensed"] is False
    assert told["delivery"] is None


# ---- files handed out --------------------------------------------------------------------------------------


@pytest.fixture
def delivery(tmp_path: Path) -> Path:
    folder = tmp_path / "shoot" / "delivery"
    (folder / "page-wide").mkdir(parents=True)
    (folder / "page-wide" / "soup.jpg").write_bytes(b"jpeg")
    (folder / "preview.html").write_text("<p>soup", encoding="utf-8")
    (folder / ".hidden.txt").write_text("no", encoding="utf-8")
    (folder / "tool.py").write_text("no", encoding="utf-8")
    (tmp_path / "shoot" / "shoot.toml").write_text("no", encoding="utf-8")
    (tmp_path / "shoot" / "note.txt").write_text("no", encoding="utf-8")
    (folder / "link.txt").symlink_to(tmp_path / "shoot" / "note.txt")
    return folder


@pytest.mark.parametrize(
    "name",
    [
        "../note.txt", "page-wide/../../note.txt", "/etc/hostname.txt", "//etc/passwd.txt", "./preview.html", "..", "",
        "page-wide", ".hidden.txt", "tool.py", "link.txt", "..\\note.txt", "page-wide/\0.jpg", "C:/note.txt",
        "gone.jpg",
    ],
)  # fmt: skip
def test_nothing_but_plain_files_of_the_folder_is_handed_out(delivery: Path, name: str) -> None:
    assert download(delivery, name).status_code == 404


def test_a_made_page_can_do_nothing(delivery: Path) -> None:
    page = download(delivery, "preview.html")
    assert page.status_code == 200
    policy = page.headers["content-security-policy"]
    assert policy == POWERLESS
    rules = dict(part.strip().partition(" ")[::2] for part in policy.split(";"))
    assert "allow-scripts" not in rules["sandbox"]
    assert rules["default-src"] == "'none'"
    assert "script-src" not in rules
    picture = download(delivery, "page-wide/soup.jpg")
    assert (picture.status_code, picture.headers["content-type"]) == (200, "image/jpeg")
