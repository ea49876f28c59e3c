"""What is said of a delivery, by table: every kind of point, of crop, of fault; reports; READ-ME."""

import json
import re
from dataclasses import asdict, replace

import pytest

from plateside.deliver.facts import (
    DeliveredCrop,
    DeliverFacts,
    FileFault,
    NotPacked,
    PackFacts,
    VerifyFacts,
)
from plateside.deliver.points import CODES, Point, point_from
from plateside.deliver.renditions import File
from plateside.model.crop import CropRemark
from plateside.words.deliver import papers, report
from plateside.words.deliver.checks import (
    INTERRUPTED,
    KEEP_COPIES,
    checked_sentences,
    fault_sentence,
    pack_lines,
    packed_sentences,
    verify_lines,
)
from plateside.words.deliver.crops import crop_sentence
from plateside.words.deliver.points import FIX, in_files_sentence, in_full, point_sentence, source_phrase
from tests.unit.words.delivered import SAMPLES

OF_FILES = re.compile(r"\.toml|\[|\w_\w|\w = |plateside |--\w")
"""What no page and no note says: names of files and fields, commands and options."""
OLD_VOICE = re.compile(r"\b(hero|she|her|hers|told|lies|stands|mend\w*|shut|the tool|letters|matched set)\b")


def test_every_kind_is_said_and_read_back_without_the_words_of_files() -> None:
    assert set(SAMPLES) == set(CODES) == set(FIX)
    for point in SAMPLES.values():
        words = point_sentence(point)
        assert words.endswith(".")
        assert not OF_FILES.search(words.replace("298 x 167 = ", "")), words
        assert not OLD_VOICE.search(words), words
        line = in_files_sentence(point, "my shoot")
        assert not line or OF_FILES.search(line), line
        assert in_full(point, "my shoot") == f"{words} {line}".strip()
        assert point_from(json.loads(json.dumps(asdict(point)))) == replace(
            point, got=tuple(map(float, point.got)), asked=tuple(map(float, point.asked))
        )


@pytest.mark.parametrize(
    "row", [{}, {"code": "unknown"}, {"code": "stale", "names": 3}, {"code": "words", "text": 3}]
)
def test_what_is_no_point_is_not_read(row: dict[str, object]) -> None:
    with pytest.raises((KeyError, TypeError, ValueError)):
        point_from(row)


@pytest.mark.parametrize(
    ("code", "said"),
    [
        ("no release", "pour is held back until everyone recognisable in it has signed a model release (or it is you). "
         "Tick it when they have."),
        ("recipe placeholder", "The recipe's title is still “My dish”: write your own."),
        ("another select", "The select of pour has changed since its picture was finished: finish again, "
         "then deliver again."),
        ("look off", "cup is 1.5 stops darker than its test frame, and so is every picture matched to it. Choose "
         "another frame of it, or match to another shot; then finish again."),
        ("better again", "Better shoot pour again: one stop darker."),
        ("words", "The alt text of pour has 251 characters; at most 250, better 125."),
        ("food cut", "pour: the food is cut in wide and tall; the reason is beside each crop."),
        ("too few pixels", "pour: too few pixels for tall, which asks for 200 x 800; the crop has 120 x 480. To hand "
         "it over smaller, mark the shot “fewer pixels” on the Plan page."),
        ("too heavy", "tall/pour.png is 612 kB, and tall takes 500 kB: ask for fewer pixels there, or allow more."),
        ("no shape", "No 4:3 picture of pour, which search engines ask for: add a channel of that shape, such as 1200 "
         "x 900 pixels."),
        ("small for search", "wide/pour.jpg has 298 x 167 = 49,766 pixels; search engines want 50,000 or more, so "
         "they are not offered it."),
        ("stale", "Changed since this delivery was made: the finished picture of cup, the crop of cup in tall, your "
         "name, licence or terms, the recipe and 1 more. Make it again."),
    ],
)  # fmt: skip
def test_what_a_point_says(code: str, said: str) -> None:
    assert point_sentence(SAMPLES[code]) == said


@pytest.mark.parametrize(
    ("point", "line"),
    [
        (SAMPLES["no release"], "In shoot.toml: model_release = true under the shot."),
        (SAMPLES["look off"], 'Run: plateside finish "my shoot" --match-to SHOT'),
        (SAMPLES["not finished"], 'Run: plateside finish "my shoot". In shoot.toml: deliberate = ["left out"] '
         "under the shot."),
        (SAMPLES["no shape"], "In shoot.toml: [[channels]] with width_px = 1200, height_px = 900."),
        (Point("words", "pour", what="stand-in"), 'In shoot.toml: alt_text = "..." under the shot.'),
        (Point("words", "pour", what="empty"), ""),
    ],
)  # fmt: skip
def test_what_to_write_in_your_files(point: Point, line: str) -> None:
    assert in_files_sentence(point, "my shoot") == line


def test_a_source_of_a_later_version_is_said_by_its_name() -> None:
    assert source_phrase("dish cup") == "where the dish is in cup"
    assert source_phrase("weather") == "weather"
    assert source_phrase("crop") == "crop"


@pytest.mark.parametrize(
    ("remark", "said"),
    [
        (CropRemark("runs out", names=("left", "top")), "The food runs out of frame at the left and top: step back, or "
         "move the dish."),
        (CropRemark("larger", got=(1.52,)), "The food fills 1.5 times as much of the frame as the shot list says: you "
         "framed tighter, or the widths of dish and frame there need a fix."),
        (CropRemark("cut", "landscape", got=(12.4,)), "About 12 % of the food is outside this crop: shoot this one "
         "landscape, or step back."),
        (CropRemark("cut", "as placed", got=(3,)), "About 3 % of the food is outside this crop: as you placed it."),
        (CropRemark("text third taken", "top"), "The food reaches into the top third, where the text goes: step back, "
         "or leave that third empty."),
        (CropRemark("text third busy", "left"), "The left third is free of food but busy: check that text can be read "
         "there."),
        (CropRemark("too few pixels", got=(2400, 1600, 2400, 1600), asked=(3000, 2000)), "Too few pixels: 3000 x 2000 "
         "asked, the crop has 2400 x 1600; delivered at 2400 x 1600, not enlarged."),
        (CropRemark("too heavy", names=("a.png",), got=(12.6,), asked=(5,)), "a.png: 13 kB at the lowest quality used, "
         "5 kB allowed: ask for fewer pixels."),
        (CropRemark("squeezed", names=("a.jpg",), got=(0.9,), asked=(5,)), "a.jpg: squeezed under 5 kB it shows "
         "damage: fewer pixels or a larger limit look better."),
    ],
)  # fmt: skip
def test_what_a_crop_could_not_give(remark: CropRemark, said: str) -> None:
    assert crop_sentence(remark) == said


@pytest.mark.parametrize(
    ("fault", "said"),
    [
        (FileFault("missing", "data/a.txt"), "data/a.txt is missing."),
        (FileFault("changed", "a.jpg", "delivered"), "a.jpg has changed since it was delivered."),
        (FileFault("added", "data/b", "list.txt"), "data/b is not in list.txt: it was added later."),
        (FileFault("unread", "a", text="I/O error"), "a could not be read: I/O error."),
        (FileFault("size", "bag-info.txt", got=(1200, 1), asked=(12345, 2)), "bag-info.txt promises 12 345 bytes in 2 "
         "files, there are 1 200 bytes in 1 file: files are missing, cut short or added."),
        (FileFault("size", "bag-info.txt", text="many", got=(0, 0)), "bag-info.txt promises 'many', there are 0 bytes "
         "in 0 files: files are missing, cut short or added."),
        (FileFault("line", "m.txt", line=3, text="zz"), "m.txt, line 3, cannot be read: 'zz'."),
        (FileFault("outside", "m.txt", line=3, text="../x"), "m.txt, line 3: '../x' leads out of the package and is "
         "not read."),
        (FileFault("outside", "../x"), "../x leads out of the folder and is not read."),
        (FileFault("no version", "bagit.txt"), "bagit.txt does not begin with BagIt-Version."),
        (FileFault("elsewhere", "fetch.txt"), "fetch.txt names files that are elsewhere: they are not checked."),
        (FileFault("no manifest", text="sha512, md5"), "No list of checksums that can be read (sha512, md5)."),
    ],
)  # fmt: skip
def test_what_is_wrong_with_a_file(fault: FileFault, said: str) -> None:
    assert fault_sentence(fault) == said


FILE = File("wide/cup.jpg", "jpeg", 300, 200, 6_100_000)
CROP = DeliveredCrop(
    "cup", "wide", 300, 200, (320, 180), True, (FILE,), (CropRemark("text third busy", "left"),)
)


def test_what_delivering_answers() -> None:
    facts = DeliverFacts(
        crops=(CROP,), written=1, removed=2, documents=(), withheld=(), ready=False,
        fix_first=(SAMPLES["no frame"],), remarks=(SAMPLES["left out"],),
    )  # fmt: skip
    assert report.deliver_lines(facts, "soup/delivery", "soup", ("a.html", "b.html")) == [
        "1 crop, 1 file (6.1 MB), in soup/delivery: 1 made, 0 unchanged, 2 removed.",
        "cup, wide: 300 x 200",
        "  The left third is free of food but busy: check that text can be read there.",
        f"fix first: {in_full(SAMPLES['no frame'], 'soup')}",
        "remark: pour is left out on purpose.",
        "Look at it: a.html and b.html",
        "Not ready to publish: see what to fix first.",
    ]


def test_the_page_s_headline_and_presses() -> None:
    assert report.headline_sentence(14, 77, True, 2) == (
        "14 crops, 77 files, in the delivery folder. Ready to publish; 2 remarks."
    )
    assert report.ready_sentence(True, 1) == "Ready to publish; 1 remark."
    assert report.ready_sentence(True, 0) == "Ready to publish."
    assert report.made_sentence(14, 77, 340_000, 70, 1) == (
        "14 crops, 77 files, 340 kB: 70 made, 7 unchanged, 1 no longer wanted and removed."
    )
    assert report.greyed_out("") == ""
    assert report.greyed_out("no licence") == "Greyed out: needs your terms."
    assert report.before_packing([]) == ""
    assert report.before_packing(["stale", "not ready"]) == (
        "The delivery is older than your last changes: make it again first. It is not ready to publish: see what to "
        "fix first, at the top of the page."
    )


def test_what_packing_answers() -> None:
    facts = PackFacts(
        kind="archive", files=3, bytes=2_000_000, left_out=(NotPacked("no journal"), NotPacked("empty", "finished")),
        renamed=(("con.txt", "con_.txt"),),
    )  # fmt: skip
    assert pack_lines(facts, "out/soup", "soup") == [
        "Archive packed: 3 files (2.0 MB), in out/soup.",
        "There is no journal yet, so none is packed.",
        "finished is empty, so nothing of it is packed.",
        "'con.txt' is called con_.txt in the package: other computers refuse that name.",
        "Every file was read back and compared. Check it again any time: plateside verify out/soup",
        KEEP_COPIES,
    ]
    assert packed_sentences(facts, "soup")[-2] == (
        "1 name changed, because other computers refuse such names: see renamed-files.txt."
    )
    held = replace(
        facts, kind="delivery", left_out=(), renamed=(), ready=False, not_ready=(SAMPLES["no licence"],)
    )
    assert pack_lines(held, "out", "soup")[-1] == in_full(SAMPLES["no licence"], "soup")


def test_what_checking_answers() -> None:
    whole = VerifyFacts(kind="package", files=3, bytes=2_000_000, algorithms=("sha512",), faults=())
    assert verify_lines(whole, "p") == ["All 3 files (2.0 MB) there and unchanged (sha512): p"]
    faults = tuple(FileFault("missing", name) for name in "abcdefg")
    assert verify_lines(replace(whole, faults=faults), "p")[::8] == [
        "7 faults in p:",
        "Copy these files again from another copy.",
    ]
    assert len(checked_sentences(replace(whole, faults=faults))) == 7
    assert verify_lines(replace(whole, interrupted=True), "p") == [f"p: {INTERRUPTED}"]
    assert checked_sentences(replace(whole, not_ready=(SAMPLES["left out"],)))[1:] == [
        "Not ready to publish:",
        "pour is left out on purpose.",
    ]


@pytest.mark.parametrize(
    ("sizes", "said"),
    [
        ({"cup": (320, 180)}, "320 x 180 px"),
        ({"cup": (120, 480)}, "cup 120 x 480 px (320 x 180 asked, but the pictures have fewer)"),
        ({"cup": (320, 180), "near": (160, 90)}, "320 x 180 px, but near 160 x 90 (fewer in the picture)"),
    ],
)
def test_the_pixels_in_the_note(sizes: dict[str, tuple[int, int]], said: str) -> None:
    assert papers.sizes_phrase(sizes, (320, 180)) == said


def test_the_note_tells_apart_what_to_fix_first() -> None:
    assert papers.left_lines(["One."], ["Two."], False) == [
        "", papers.FIX_FIRST, "- One.", "", papers.BETTER, "- Two.", "", "Not ready to publish: see what to fix first.",
    ]  # fmt: skip
    assert papers.left_lines([], [], True) == ["", "Ready to publish."]
