"""Settings changed from a page: all or none, never over another's change, undone step by step, names that follow.

Over 400 lines: one list of what may happen between two writers of one file; they share its two texts.
"""

import contextlib
import json
import re
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from plateside.files.settings.load import load_shoot, load_studio, open_shoot
from plateside.files.settings.write import Add, Put, Take
from plateside.model.errors import CouldNotError, InputError, SettingsError
from plateside.tasks.report import as_json
from plateside.tasks.studio import edit
from plateside.tasks.studio.edit import (
    ChangedElsewhereError,
    Edited,
    change_settings,
    read_settings,
    undo_change,
)
from plateside.tasks.studio.edit_mend import mend_line, to_mend
from plateside.tasks.studio.fields import by_path
from tests.unit.settings.sample_settings import SHOOT, STUDIO


@pytest.fixture
def root(tmp_path: Path) -> Path:
    (tmp_path / "studio.toml").write_text(STUDIO, encoding="utf-8")
    (tmp_path / "shoot.toml").write_text(SHOOT, encoding="utf-8")
    return tmp_path


def change(root: Path, *changes: Any, which: str = "studio") -> Edited:
    return change_settings(root, which, changes, read_settings(root, which).version)


def undo(root: Path, which: str = "studio") -> Edited:
    return undo_change(root, which, read_settings(root, which).version)


def text(root: Path, name: str = "studio.toml") -> str:
    return (root / name).read_text(encoding="utf-8")


WIDTH = ("room", "width_m")
OUTSIDE = {"bearing_from_deg": 1, "bearing_to_deg": 2, "distance_m": 1, "top_above_ground_m": 1}


def test_a_change_is_saved_and_taken_back_to_the_letter(root: Path) -> None:
    edited = change(root, Put(WIDTH, 5))
    assert edited.value.room.width_m == 5
    assert edited.can_undo
    assert text(root) == STUDIO.replace("width_m = 4.2", "width_m = 5")
    back = undo(root)
    assert text(root) == STUDIO
    assert back.value.room.width_m == 4.2
    assert not back.can_undo


def test_steps_are_taken_back_in_order_also_by_another_process(root: Path) -> None:
    # nothing is kept in memory: each call reads the disk, as after a restart
    texts = [text(root)]
    for width in (5, 5.5, 6):
        change(root, Put(WIDTH, width))
        texts.append(text(root))
    for before in reversed(texts[:-1]):
        assert read_settings(root, "studio").can_undo
        undo(root)
        assert text(root) == before
    assert not undo(root).can_undo
    assert text(root) == STUDIO


def test_a_change_after_an_undo_begins_a_new_line_of_steps(root: Path) -> None:
    change(root, Put(WIDTH, 5))
    undo(root)
    change(root, Put(WIDTH, 6))
    undo(root)
    assert text(root) == STUDIO


def test_a_change_that_changes_nothing_is_no_step(root: Path) -> None:
    assert not change(root, Put(WIDTH, 4.2)).can_undo


def test_several_changes_are_one_step_and_all_or_none(root: Path) -> None:
    with pytest.raises(SettingsError):
        change(root, Put(WIDTH, 5), Put(("room", "depth_m"), 900))
    assert text(root) == STUDIO
    change(root, Put(WIDTH, 5), Put(("room", "depth_m"), 4))
    undo(root)
    assert text(root) == STUDIO


def test_what_another_changed_is_told_and_stays(root: Path) -> None:
    seen = read_settings(root, "studio").version
    (root / "studio.toml").write_text(STUDIO.replace("4.2", "4.3"), encoding="utf-8")
    with pytest.raises(ChangedElsewhereError) as told:
        change_settings(root, "studio", [Put(WIDTH, 5)], seen)
    assert "changed elsewhere" in str(told.value)
    assert told.value.version == read_settings(root, "studio").version != seen
    with pytest.raises(ChangedElsewhereError):
        undo_change(root, "studio", seen)
    assert text(root) == STUDIO.replace("4.2", "4.3")


def test_of_many_at_the_same_moment_one_wins_and_the_others_are_told(root: Path) -> None:
    seen = read_settings(root, "studio").version
    start = threading.Barrier(6)

    def one(number: int) -> str:
        start.wait()
        try:
            change_settings(root, "studio", [Put(WIDTH, 5 + number / 10)], seen)
        except ChangedElsewhereError:
            return "told"
        return "saved"

    with ThreadPoolExecutor(6) as pool:
        ends = list(pool.map(one, range(6)))
    assert sorted(ends) == ["saved", *["told"] * 5]
    assert load_studio(root).room.width_m == 5 + ends.index("saved") / 10
    undo(root)
    assert text(root) == STUDIO


def test_a_change_sent_twice_because_its_answer_was_lost_is_made_once(root: Path) -> None:
    seen = read_settings(root, "studio").version
    item = {"name": "by the wall", "from_left_m": 1, "from_front_m": 1}
    for changes in (
        [Add(("spots",), item)],
        [Put(("spots", 0, "name"), "at the sill")],
        [Take(("spots", 1))],
    ):
        first = change_settings(root, "studio", changes, seen)
        again = change_settings(root, "studio", changes, seen)
        assert (again.version, again.value, again.can_undo) == (first.version, first.value, True)
        # another change of the same page is another's, as far as the file can tell
        with pytest.raises(ChangedElsewhereError):
            change_settings(root, "studio", [Put(WIDTH, 5)], seen)
        seen = first.version
    for _ in range(3):
        undo(root)
    assert text(root) == STUDIO


def test_a_change_says_what_it_did_to_the_other_file(root: Path) -> None:
    renamed = change(root, Put(("spots", 0, "name"), "at the sill"))
    assert renamed.also == read_settings(root, "shoot")
    assert change(root, Put(WIDTH, 5)).also is None
    undo(root)
    assert undo(root).also == read_settings(root, "shoot")


def test_undo_never_goes_over_a_text_editors_change(root: Path) -> None:
    change(root, Put(WIDTH, 5))
    typed = text(root).replace("width_m = 5", "width_m = 5.25")
    (root / "studio.toml").write_text(typed, encoding="utf-8")
    now = read_settings(root, "studio")
    assert not now.can_undo
    assert undo_change(root, "studio", now.version).value.room.width_m == 5.25
    assert text(root) == typed
    # what is changed from here on can be taken back to what was typed
    change(root, Put(WIDTH, 6))
    undo(root)
    assert text(root) == typed


def test_a_step_whose_change_was_never_written_is_passed_over(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    change(root, Put(WIDTH, 5))

    def cut(path: Path, data: bytes) -> None:
        if path.name == "studio.toml":
            raise CouldNotError("the power went")
        path.write_bytes(data)

    monkeypatch.setattr(edit, "write_bytes", cut)
    with pytest.raises(CouldNotError):
        change(root, Put(WIDTH, 6))
    monkeypatch.undo()
    assert read_settings(root, "studio").value.room.width_m == 5
    undo(root)
    assert text(root) == STUDIO


def test_only_so_many_steps_are_kept(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(edit, "MOST_STEPS", 3)
    for width in (5, 6, 7, 8, 9):
        change(root, Put(WIDTH, width))
    assert len(list((root / "undo").glob("studio-*.toml"))) == 3
    while read_settings(root, "studio").can_undo:
        undo(root)
    assert load_studio(root).room.width_m == 6


def test_line_ends_stay_through_change_and_undo(root: Path) -> None:
    raw = b"\xef\xbb\xbf" + STUDIO.replace("\n", "\r\n").encode()
    (root / "studio.toml").write_bytes(raw)
    change(
        root,
        Put(WIDTH, 5),
        Add(("boards",), {"name": "black", "reflectance": 0.05}),
        Take(("boards", "black")),
    )
    after = (root / "studio.toml").read_bytes()
    assert after.startswith(b"\xef\xbb\xbf")
    assert after.count(b"\n") == after.count(b"\r\n")
    undo(root)
    assert (root / "studio.toml").read_bytes() == raw


def test_both_files_have_their_own_steps(root: Path) -> None:
    change(root, Put(WIDTH, 5))
    change(root, Put(("recipe", "title"), "Broth"), which="shoot")
    undo(root)
    assert text(root) == STUDIO
    assert load_shoot(root).recipe.title == "Broth"
    undo(root, "shoot")
    assert text(root, "shoot.toml") == SHOOT


# ---- items as JSON ----------------------------------------------------------------------------------


def test_an_item_comes_as_plain_json(root: Path) -> None:
    window = {
        "name": "side", "bearing_deg": 110, "width_m": 1, "height_m": 1.2, "sill_m": 0.9, "from_left_m": None,
        "ground_reflectance": [0.2, 0.2, 0.1],
        "opposite": [{"bearing_from_deg": 90, "bearing_to_deg": 120, "distance_m": 8, "top_above_ground_m": 5}],
    }  # fmt: skip
    edited = change(root, Add(("windows",), window))
    side = edited.value.windows[1]
    assert (side.name, side.ground_reflectance, side.opposite[0].distance_m) == ("side", (0.2, 0.2, 0.1), 8)
    assert load_studio(root) == edited.value
    change(root, Add(("windows", "side", "opposite"), {**window["opposite"][0], "distance_m": 20}))  # type: ignore[index]
    assert [o.distance_m for o in load_studio(root).windows[1].opposite] == [8, 20]


@pytest.mark.parametrize(
    ("item", "path", "code"),
    [
        ({"name": "b", "width_m": "wide"}, ("boards", 0, "width_m"), "not a number"),
        ({"name": "b", "width_m": 70}, ("boards", 0, "width_m"), "out of range"),
        ({"width_m": 0.7}, ("boards", 0, "name"), "missing"),
        ({"name": "b", "colour": "red"}, ("boards", 0, "colour"), "unknown key"),
        ({"name": "b", "reflectance": [1, 2]}, ("boards", 0, "reflectance"), "not shares"),
        ({"name": ["b"]}, ("boards", 0, "name"), "not a text"),
    ],
)
def test_nonsense_in_an_item_is_told_at_its_field(root: Path, item: Any, path: Any, code: str) -> None:
    with pytest.raises(SettingsError) as told:
        change(root, Add(("boards",), item))
    assert (code, path) in [(m.code, m.path) for m in told.value.mistakes]
    assert text(root) == STUDIO
    json.dumps(as_json(told.value.mistakes))


@pytest.mark.parametrize(
    "wrong",
    [
        Add(("boards",), None),
        Add(("boards",), "white"),
        Add(("boards",), [1]),
        Add(("room",), {"width_m": 3}),
        Add(("room", "width_m"), {}),
        Add(("nothing",), {}),
        Add(("windows", 5, "opposite"), OUTSIDE),
        Put(("room",), 5),
        Put(("room",), [1, 2]),
        Put(("room", "width_m"), {"a": 1}),
        Put(("room", "width_m"), 10**400),
        Put(("room", "width_m"), float("nan")),
        Put(("room", "width_m"), float("inf")),
        Put(("room", "width_m"), True),
        Put(("room", "width_m"), [4]),
        Put(("room", "width_m", "more"), 4),
        Put((), 4),
        Put(("boards", 0, "name"), "half a letter \ud800"),
        Put(("boards", 0, "name"), "x" * 30_000),
        Put(("boards", 0), {"name": {"name": {"name": {"name": {"name": {"name": 1}}}}}}),
        Take(("room",)),
        Take(("boards", 9)),
        Take(()),
    ],
)  # fmt: skip
def test_what_makes_no_sense_is_refused_in_words_and_changes_nothing(root: Path, wrong: Any) -> None:
    with pytest.raises(InputError) as told:
        change(root, wrong)
    assert str(told.value)
    assert text(root) == STUDIO
    assert not read_settings(root, "studio").can_undo


def test_a_whole_table_comes_as_json_too(root: Path) -> None:
    change(root, Put(("boards", "white"), {"name": "white", "width_m": 0.9}))
    assert load_studio(root).boards[0].width_m == 0.9


def test_a_text_may_hold_anything_a_person_types(root: Path) -> None:
    for name in (
        'a "quoted" one',
        "back\\slash",
        "<script>alert(1)</script>",
        "# no comment",
        "[[windows]]",
        "żółty 🌿",
    ):
        change(root, Put(("boards", 0, "name"), name))
        assert load_studio(root).boards[0].name == name


# ---- names ------------------------------------------------------------------------------------------


def test_a_new_name_goes_to_all_who_use_the_old_one(root: Path) -> None:
    change(root, Put(("spots", 0, "name"), "at the sill"))
    opened = open_shoot(root)
    assert opened.studio.readings[0].spot == "at the sill"
    assert opened.shoot.shots[0].spot == "at the sill"
    change(root, Put(("boards", "white", "name"), "foam"), Put(("lenses", 0, "name"), "the lens"))
    opened = open_shoot(root)
    assert (opened.shoot.shots[0].boards[0].board, opened.shoot.shots[0].lens) == ("foam", "the lens")
    undo(root)
    undo(root)
    assert text(root) == STUDIO
    assert text(root, "shoot.toml") == SHOOT


def test_an_undone_name_leaves_what_was_changed_in_the_shoot_since(root: Path) -> None:
    change(root, Put(("spots", 0, "name"), "at the sill"))
    change(root, Put(("recipe", "title"), "Broth"), which="shoot")
    undo(root)
    opened = open_shoot(root)
    assert opened.shoot.recipe.title == "Broth"
    assert opened.shoot.shots[0].spot == "by the window"


def test_names_change_places(root: Path) -> None:
    spot = {"name": "other", "from_left_m": 1, "from_front_m": 1}
    change(root, Add(("spots",), spot))
    change(
        root,
        Put(("spots", 0, "name"), "x"),
        Put(("spots", 1, "name"), "by the window"),
        Put(("spots", 0, "name"), "other"),
    )
    opened = open_shoot(root)
    assert [s.name for s in opened.studio.spots] == ["other", "by the window"]
    # whoever stood at the first still stands there
    assert (opened.shoot.shots[0].spot, opened.studio.readings[0].spot) == ("other", "other")


def test_a_sheet_follows_its_window(root: Path) -> None:
    change(root, Add(("diffusers",), {"name": "sheer", "window": "kitchen window"}))
    change(root, Put(("windows", 0, "name"), "big one"))
    assert load_studio(root).diffusers[0].window == "big one"


@contextlib.contextmanager
def refused(code: str, **facts: Any) -> Iterator[None]:
    """One mistake of this code, with these facts."""
    with pytest.raises(SettingsError) as told:
        yield
    (mistake,) = told.value.mistakes
    assert mistake.code == code
    assert facts.items() <= dict(mistake.facts).items()


SIDE = {"name": "side", "bearing_deg": 110, "width_m": 1, "height_m": 1.2, "sill_m": 0.9}


def test_the_last_window_and_the_last_table_spot_stay(root: Path) -> None:
    for taken, code in ((("windows", 0), "last window"), (("spots", 0), "readings here")):
        with refused(code):
            change(root, Take(taken))
    (root / "studio.toml").write_text(re.sub(r"(?s)\[\[readings.*lamps off\n", "", STUDIO), encoding="utf-8")
    (root / "shoot.toml").write_text(SHOOT.replace('spot = "by the window"', 'spot = ""'), encoding="utf-8")
    with refused("last spot"):
        change(root, Take(("spots", 0)))
    # one for another, in one change
    assert [w.name for w in change(root, Add(("windows",), SIDE), Take(("windows", 0))).value.windows] == [
        "side"
    ]


def test_the_room_does_not_turn_when_its_first_window_is_taken_out(root: Path) -> None:
    change(root, Add(("windows",), SIDE))
    for window in (0, "kitchen window"):
        studio = change(root, Take(("windows", window))).value
        assert studio.front_bearing_deg == 20  # where the kitchen window looked
        assert studio.wall_of(studio.windows[0]) == "right"
        undo(root)
    # taking the other one out says nothing about the room
    assert change(root, Take(("windows", "side"))).value.room.front_bearing_deg is None


def test_a_sheet_is_let_go_with_its_window_and_a_spot_with_readings_stays(root: Path) -> None:
    change(root, Add(("diffusers",), {"name": "sheer", "window": "kitchen window"}), Add(("windows",), SIDE))
    change(root, Take(("windows", "kitchen window")))
    assert ([w.name for w in load_studio(root).windows], load_studio(root).diffusers[0].window) == (
        ["side"],
        "",
    )
    with refused("readings here"):
        change(root, Take(("spots", 0)))


def test_what_a_shot_uses_is_not_taken_away(root: Path) -> None:
    for table in ("boards", "lenses"):
        with refused("used by shots", shots=["whole"]):
            change(root, Take((table, 0)))
    assert text(root) == STUDIO
    change(root, Add(("boards",), {"name": "black", "reflectance": 0.05}))
    change(root, Take(("boards", "black")))
    assert [b.name for b in load_studio(root).boards] == ["white"]


def test_the_table_spot_where_shots_stand_that_name_none_is_not_taken_away(root: Path) -> None:
    plain = re.sub(r"(?s)\[\[readings.*lamps off\n", "", STUDIO)
    (root / "studio.toml").write_text(plain, encoding="utf-8")
    (root / "shoot.toml").write_text(SHOOT.replace('spot = "by the window"\n', ""), encoding="utf-8")
    change(root, Add(("spots",), {"name": "shelf", "from_left_m": 1, "from_front_m": 1}))
    for taken in (0, "by the window"):
        with refused("first spot", shots=["whole"]):
            change(root, Take(("spots", taken)))
    change(root, Put(("spots", 0, "name"), "at the sill"))  # a new name moves nothing
    change(root, Take(("spots", "shelf")))  # nobody stands there
    undo(root)
    change(root, Put(("shots", 0, "spot"), "shelf"), which="shoot")
    assert [s.name for s in change(root, Take(("spots", 0))).value.spots] == ["shelf"]


def test_an_undo_does_not_take_away_what_a_shot_uses_since(root: Path) -> None:
    change(root, Add(("spots",), {"name": "shelf", "from_left_m": 1, "from_front_m": 1}))
    change(root, Put(("shots", 0, "spot"), "shelf"), which="shoot")
    with refused("used by shots", shots=["whole"]):
        undo(root)
    assert open_shoot(root).shoot.shots[0].spot == "shelf"


def test_a_mistake_in_the_shoot_does_not_hold_up_the_studio(root: Path) -> None:
    (root / "shoot.toml").write_text(SHOOT.replace('"2027-07-15"', '"soon"'), encoding="utf-8")
    assert change(root, Put(WIDTH, 5)).value.room.width_m == 5
    with pytest.raises(SettingsError):
        change(root, Put(("spots", 0, "name"), "at the sill"))
    assert load_studio(root).spots[0].name == "by the window"


# ---- fields and mending -----------------------------------------------------------------------------


@pytest.mark.parametrize("which", ["studio", "shoot"])
def test_every_field_has_words_and_its_example_may_be_written(which: str, root: Path) -> None:
    tables = by_path(which)
    json.dumps(as_json(tables), allow_nan=False)
    for path, fields in tables.items():
        for field in fields:
            assert field.doc, (path, field.name)
            assert field.label
            assert "_" not in field.label
            value = field.example_value
            if isinstance(value, int | float) and not isinstance(value, bool):
                assert field.low is None or field.low <= value, (path, field.name)
                assert field.high is None or value <= field.high, (path, field.name)


def test_a_broken_file_is_mended_line_by_line(root: Path) -> None:
    broken = (
        STUDIO.replace("width_m = 4.2", "width_m = '4,2'")
        .replace("sill_m = 0.78", "sil = 0.78")
        .replace("from_left_m = 2.1\n", "")
    )
    (root / "studio.toml").write_text(broken, encoding="utf-8")
    version, name, lines = to_mend(root, "studio")
    assert name == "studio.toml"
    assert len(lines) == 3
    left = len(lines)
    while lines:
        first = lines[0]
        left = mend_line(root, "studio", first.line, first.meant, version, below=first.below)
        assert left == len(lines) - 1
        version, _, lines = to_mend(root, "studio")
    studio = load_studio(root)
    assert (studio.room.width_m, studio.windows[0].sill_m, studio.spots[0].from_left_m) == (4.2, 0.78, 2.1)
    assert "# the light" in text(root)


def test_mending_is_not_done_over_another_change(root: Path) -> None:
    (root / "studio.toml").write_text(STUDIO.replace("width_m = 4.2", "width_m = '4,2'"), encoding="utf-8")
    version, _, lines = to_mend(root, "studio")
    (root / "studio.toml").write_text(STUDIO, encoding="utf-8")
    with pytest.raises(ChangedElsewhereError):
        mend_line(root, "studio", lines[0].line, lines[0].meant, version)
    assert text(root) == STUDIO
    with pytest.raises(InputError):
        mend_line(root, "studio", 999, "x", to_mend(root, "studio")[0])
