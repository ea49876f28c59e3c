"""Reading both files: every mistake at once, with line, range, nearest key and the line to paste."""

import random
from pathlib import Path

import pytest

from plateside.files.settings.load import (
    judge_shoot,
    judge_studio,
    load_shoot,
    load_studio,
    open_shoot,
    parse_shoot,
    parse_studio,
)
from plateside.model.errors import InputError, SettingsError
from plateside.model.mistakes import Mistake
from tests.unit.settings.sample_settings import SHOOT, STUDIO, spoiled


def mistakes(text: str) -> tuple[Mistake, ...]:
    return tuple(judge_studio(text, "studio.toml").mistakes)


def the_mistake(text: str) -> Mistake:
    found = mistakes(text)
    assert len(found) == 1, [m.code for m in found]
    return found[0]


def line_of(text: str, start: str) -> int:
    return next(n for n, line in enumerate(text.split("\n"), 1) if line.startswith(start))


def test_a_right_studio_is_read_with_its_values() -> None:
    studio = parse_studio(STUDIO)
    assert studio.place.longitude_deg == -9.1393
    assert studio.windows[0].opposite[0].bearing_to_deg == 60
    assert studio.room.height_m == 2.5  # left out: the default
    assert studio.fit.light_factor == 1.1
    assert studio.front_bearing_deg == 20


def test_a_right_shoot_is_read_with_its_values() -> None:
    shoot = parse_shoot(SHOOT, studio=parse_studio(STUDIO))
    assert shoot.recipe.steps[0].takes == "PT8M"
    assert shoot.shots[0].boards[0].side == "left"
    assert shoot.channels[0].formats == ("jpeg", "webp")


# (line, what it becomes, the mistake's code, what was probably meant, line to paste)
ONE_SLIP = [
    # another unit
    ("width_m = 4.2", "width_m = 420", "out of range", "4.2 (420 cm)", "width_m = 4.2"),
    ("sill_m = 0.78", "sill_m = 78", "out of range", "0.78 (78 cm)", "sill_m = 0.78"),
    ("sill_m = 0.78", "sill_m = 780", "out of range", "0.78 (780 mm)", "sill_m = 0.78"),
    ("width_m = 1.2", "width_m = 1200", "out of range", "1.2 (1200 mm)", "width_m = 1.2"),
    (
        "bearing_deg = 20",
        "bearing_deg = -340",
        "out of range",
        "20 (-340 turned into 0 to 360)",
        "bearing_deg = 20",
    ),
    # a text where a number is
    ("width_m = 4.2", 'width_m = "4.2"', "number with words", "", "width_m = 4.2"),
    ("width_m = 4.2", 'width_m = "4,2 m"', "number with words", "", "width_m = 4.2"),
    ("width_m = 4.2", 'width_m = "420 cm"', "number with words", "", "width_m = 4.2"),
    ("bearing_deg = 20", 'bearing_deg = "NNE"', "not a number", "", "bearing_deg = 22.5"),
    # a number where a text is
    ('name = "white"', "name = 12", "not a text", "", 'name = "12"'),
    # a slip of the pen in a key
    ("sill_m = 0.78", "sil_m = 0.78", "unknown key", '"sill_m"', "sill_m = 0.78"),
    ("sill_m = 0.78", "sill = 0.78", "unknown key", '"sill_m"', "sill_m = 0.78"),
    ("sill_m = 0.78", "Sill_M = 0.78", "unknown key", '"sill_m"', "sill_m = 0.78"),
    ("light_factor = 1.1", "light_facter = 1.1", "unknown key", '"light_factor"', "light_factor = 1.1"),
    # left out
    ("sill_m = 0.78", "", "missing", "", "sill_m = 0.78"),
    # the heads
    ("[[boards]]", "[[bords]]", "unknown table", '"boards"', "[[boards]]"),
    ("[[boards]]", "[boards]", "several", "", "[[boards]]"),
    ("[fit]", "[[fit]]", "one only", "", "[fit]"),
]

# the same, where nobody can tell what was meant: the line that is shown is an example
NOBODY_KNOWS = [
    ("width_m = 4.2", "width_m = true", "not a number"),
    ("width_m = 4.2", "width_m = nan", "not a number"),
    ("width_m = 4.2", "width_m = [4, 2]", "not a number"),
    ("width_m = 4.2", "width_m = 0.9", "out of range"),
]

# what TOML itself refuses: (line, what it becomes, code, the right form of a line, whether it is an example)
REFUSED = [
    ("width_m = 4.2", "width_m = 4,2", "syntax", "width_m = 4.2", True),
    ("width_m = 4.2", "width_m = 4.2 m", "syntax", "width_m = 4.2", True),
    ("sill_m = 0.78", "sill_m = .78", "syntax", "sill_m = 0.78", True),
    ("sill_m = 0.78", "sill_m 0.78", "syntax", "sill_m = 0.78", True),
    ("sill_m = 0.78", "sill_m: 0.78", "syntax", "sill_m = 0.78", True),
    ('name = "white"', "name = white", "syntax", 'name = "white"', True),
    ('name = "white"', 'name = "white', "syntax", 'name = "white"', True),
    ('name = "white"', "name = “white”", "syntax", 'name = "white"', True),
    ('name = "white"', 'name = "the "best" one"', "syntax", 'name = "white"', True),
    ("[[boards]]", "[[boards]", "syntax in a head", "[[boards]]", False),
    ("[fit]", "[fit", "syntax in a head", "[fit]", False),
    ("light_factor = 1.1", "light_factor =", "syntax", "light_factor = 1", True),
    ("light_factor = 1.1", "light_factor = 110 %", "syntax", "light_factor = 1", True),
    ("depth_m = 3.1", "# note\ndepth_m = 3.1\nnot a line", "syntax", "", False),
]


@pytest.mark.parametrize(("old", "new", "code", "meant", "fix"), ONE_SLIP)
def test_one_slip_is_one_mistake_with_line_and_fix(
    old: str, new: str, code: str, meant: str, fix: str
) -> None:
    text = spoiled(STUDIO, old, new)
    mistake = the_mistake(text)
    assert (mistake.code, mistake.meant, mistake.fix, mistake.example) == (code, meant, fix, False)
    if new:
        assert mistake.line == line_of(text, new)
    # law: the line handed over is right where it is pasted
    assert mistakes(spoiled(STUDIO, old, fix)) == ()


@pytest.mark.parametrize(("old", "new", "code"), NOBODY_KNOWS)
def test_where_nobody_can_tell_an_example_is_shown(old: str, new: str, code: str) -> None:
    mistake = the_mistake(spoiled(STUDIO, old, new))
    assert (mistake.code, mistake.example, mistake.fix) == (code, True, old)
    assert (mistake.lowest, mistake.highest, mistake.unit) == (1, 30, "m")  # a room, in model/room.py
    assert mistake.got == new.split(" = ")[1]


@pytest.mark.parametrize(("old", "new", "code", "fix", "example"), REFUSED)
def test_what_cannot_be_parsed_is_shown_with_its_line_and_the_right_form(
    old: str, new: str, code: str, fix: str, example: bool
) -> None:
    text = spoiled(STUDIO, old, new)
    mistake = the_mistake(text)
    assert (mistake.code, mistake.fix, mistake.example) == (code, fix, example)
    assert mistake.line == line_of(text, new.split("\n")[-1])
    assert mistake.got == new.split("\n")[-1]


def test_a_key_in_the_wrong_table_is_shown_its_home() -> None:
    mistake = the_mistake(spoiled(STUDIO, "light_factor = 1.1", "sill_m = 0.8"))
    assert (mistake.code, mistake.got, mistake.head) == ("wrong table", "sill_m", "[fit]")
    assert mistake.facts["homes"] == ["[[windows]]"]
    unknown = the_mistake(spoiled(STUDIO, "light_factor = 1.1", "aperture = 8"))
    assert (unknown.code, unknown.meant, unknown.allowed[:2]) == ("unknown key", "", ("date", "light_factor"))


def test_all_mistakes_of_a_file_are_told_at_once_in_the_order_of_lines() -> None:
    text = STUDIO
    for old, new in (
        ("width_m = 4.2", 'width_m = "4,2 m"'),
        ('timezone = "Europe/Lisbon"      # on the mainland', 'timezone = "Europe/Lisbn"'),
        ("sill_m = 0.78", "sil_m = 78"),
        ("distance_m = 12", 'distance_m = "twelve"'),
        ('name = "white"', 'naem = "white"'),
        ("illuminance_lx = 900            # lamps off", "illuminance_lx = 9e9"),
    ):
        text = spoiled(text, old, new)
    with pytest.raises(SettingsError) as caught:
        parse_studio(text)
    found = caught.value.mistakes
    assert len(found) == 6, str(caught.value)
    lines = [m.line for m in found if m.line]
    assert len(lines) == 6
    assert lines == sorted(lines)


def test_of_what_cannot_be_parsed_the_first_line_alone_is_told() -> None:
    text = spoiled(spoiled(STUDIO, "depth_m = 3.1", "depth_m = 3,1"), "sill_m = 0.78", "sill_m: 78")
    mistake = the_mistake(text)
    assert mistake.line == line_of(text, "depth_m")
    # that line put right, the next one is told
    assert the_mistake(text.replace("3,1", "3.1")).line == line_of(text, "sill_m")


def test_a_doubtful_field_does_not_bring_further_complaints() -> None:
    # the room's width is unknown, so whether the window fits its wall cannot be said
    text = spoiled(STUDIO, "width_m = 4.2", 'width_m = "wide"')
    assert the_mistake(text).path == ("room", "width_m")


@pytest.mark.parametrize(
    ("old", "new"),
    [("depth_m = 3.1", "depth_m = 3.1\ndepth_m = 3.2"), ("[fit]", "[fit]\nlight_factor = 1.2\n\n[fit]")],
)
def test_written_twice(old: str, new: str) -> None:
    text = spoiled(STUDIO, old, new)
    mistake = the_mistake(text)
    assert mistake.code == "written twice"
    assert mistake.line == len(text[: text.index(new)].split("\n")) + new.count("\n")


def test_a_list_left_open_is_blamed_on_its_own_line() -> None:
    text = spoiled(STUDIO, "depth_m = 3.1", "depth_m = 3.1\nfloor_reflectance = [0.4, 0.3, 0.2")
    mistake = the_mistake(text)
    assert mistake.line == line_of(text, "floor_reflectance")
    assert (mistake.code, mistake.head) == ("syntax", "[room]")


def test_a_fault_inside_a_long_list_is_blamed_on_its_line() -> None:
    text = SHOOT.replace('title = "Soup"', 'title = "Soup"\nkeywords = [\n  "pear",\n  pie,\n]')
    (mistake,) = judge_shoot(text, "shoot.toml", None).mistakes
    assert mistake.line == line_of(text, "  pie,")


@pytest.mark.parametrize(
    ("text", "code"),
    [
        (STUDIO.replace("format = 1\n", ""), "no format"),
        (STUDIO.replace("format = 1\n", 'format = "1"\n'), "wrong format"),
        (STUDIO.replace("format = 1\n", "format = 0\n"), "wrong format"),
        (STUDIO.replace("format = 1\n", "format = 2\n"), "newer format"),
    ],
)
def test_format_number(text: str, code: str) -> None:
    assert the_mistake(text).code == code


def test_a_newer_format_is_not_judged_further() -> None:
    text = STUDIO.replace("format = 1\n", "format = 2\nnew_thing = true\n").replace(
        "width_m = 4.2", "width = 4.2"
    )
    assert the_mistake(text).code == "newer format"


def test_a_missing_table_is_handed_over_whole() -> None:
    text = STUDIO.replace("[room]\nwidth_m = 4.2\ndepth_m = 3.1\n", "")
    assert the_mistake(text).fix == "[room]\nwidth_m = 4.2\ndepth_m = 3.1"


def test_reflectance_is_one_number_or_three() -> None:
    one = spoiled(STUDIO, "depth_m = 3.1", "depth_m = 3.1\nfloor_reflectance = 0.4")
    three = spoiled(STUDIO, "depth_m = 3.1", "depth_m = 3.1\nfloor_reflectance = [0.4, 0.3, 0.2]")
    two = spoiled(STUDIO, "depth_m = 3.1", "depth_m = 3.1\nfloor_reflectance = [0.4, 0.3]")
    percent = spoiled(STUDIO, "depth_m = 3.1", "depth_m = 3.1\nfloor_reflectance = [40, 30, 20]")
    assert parse_studio(one).room.floor_reflectance == 0.4
    assert parse_studio(three).room.floor_reflectance == (0.4, 0.3, 0.2)
    assert the_mistake(two).code == "not shares"
    assert the_mistake(percent).fix == "floor_reflectance = [0.4, 0.3, 0.2]"


def test_dates_of_toml_itself_are_taken_too() -> None:
    assert parse_shoot(spoiled(SHOOT, 'date = "2027-07-15"', "date = 2027-07-15")).date == "2027-07-15"
    text = spoiled(STUDIO, 'at = "2027-07-10T13:30"', "at = 2027-07-10T13:30:00")
    assert parse_studio(text).readings[0].at == "2027-07-10T13:30"


def test_windows_line_ends_and_byte_order_mark(tmp_path: Path) -> None:
    path = tmp_path / "studio.toml"
    path.write_bytes(b"\xef\xbb\xbf" + STUDIO.replace("\n", "\r\n").encode())
    assert load_studio(tmp_path) == parse_studio(STUDIO)
    spoilt = spoiled(STUDIO, "sill_m = 0.78", "sill_m = 78").replace("\n", "\r\n")
    assert the_mistake(spoilt).line == line_of(STUDIO, "sill_m")


def test_a_file_that_is_not_there_or_not_text(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="plateside new"):
        load_studio(tmp_path / "studio.toml")
    with pytest.raises(InputError, match=r"No shoot\.toml"):
        open_shoot(tmp_path)
    (tmp_path / "shoot.toml").write_bytes('title = "Crème"'.encode("latin-1"))
    with pytest.raises(InputError, match=r"shoot\.toml, line 1:"):
        load_shoot(tmp_path)


def test_both_files_are_told_of_together(tmp_path: Path) -> None:
    (tmp_path / "studio.toml").write_text(spoiled(STUDIO, "sill_m = 0.78", "sill_m = 78"), encoding="utf-8")
    (tmp_path / "shoot.toml").write_text(
        spoiled(SHOOT, 'takes = "PT8M"', 'takes = "8 min"'), encoding="utf-8"
    )
    with pytest.raises(SettingsError) as caught:
        open_shoot(tmp_path)
    assert [m.file for m in caught.value.mistakes] == ["studio.toml", "shoot.toml"]


def test_a_shoot_finds_its_studio_elsewhere(tmp_path: Path) -> None:
    (tmp_path / "home.toml").write_text(STUDIO, encoding="utf-8")
    (tmp_path / "soup").mkdir()
    text = SHOOT.replace('date = "2027-07-15"', 'date = "2027-07-15"\nstudio = "../home.toml"')
    (tmp_path / "soup" / "shoot.toml").write_text(text, encoding="utf-8")
    opened = open_shoot(tmp_path / "soup")
    assert opened.studio.spots[0].name == "by the window"
    assert opened.folder.frames_dir == (tmp_path / "soup" / "frames").resolve()


@pytest.mark.parametrize(
    ("old", "new", "code", "meant", "fix"),
    [
        (
            'spot = "by the window"',
            'spot = "By the windows"',
            "not there",
            '"by the window"',
            'spot = "by the window"',
        ),
        ('lens = "35"', 'lens = "50"', "not there", "", ""),
        ('board = "white"', 'board = "whit"', "not there", '"white"', 'board = "white"'),
        ('channels = ["wide"]', 'channels = ["wide", "narrow"]', "not there", "", ""),
        ('lens = "35"', 'camera = "camera"', "not there", '"the camera"', 'camera = "the camera"'),
        ('lens = "35"', 'surface = "oak"', "not there", "", ""),
        ('lens = "35"', 'props = ["spoon"]', "not there", "", ""),
        ('side = "left"', 'side = "lft"', "not one of", '"left"', 'side = "left"'),
        ('side = "left"', 'side = "behind"', "not one of", '"far"', 'side = "far"'),
        ('name = "whole"', 'name = "whole soup!"', "form", '"whole-soup"', 'name = "whole-soup"'),
        ('lens = "35"', 'deliberate = "blur"', "not texts", "", 'deliberate = ["blur"]'),
        ('lens = "35"', 'from_time = "16:00"\nto_time = "12:30"', "ends before start", "", ""),
        ('lens = "35"', 'from_time = "12:30"\nto_time = "12:30"', "ends before start", "", ""),
        ('lens = "35"', 'glossy = "yes"', "not a flag", "", "glossy = true"),
    ],
)
def test_slips_in_a_shoot(old: str, new: str, code: str, meant: str, fix: str) -> None:
    (found,) = judge_shoot(spoiled(SHOOT, old, new), "shoot.toml", parse_studio(STUDIO)).mistakes
    assert (found.code, found.meant, found.fix) == (code, meant, fix)


def test_a_channel_of_no_file_format_is_told_and_nothing_left_out_on_purpose_is_right() -> None:
    none = SHOOT + '\n[[channels]]\nname = "no-file"\nformats = []\n'
    (found,) = judge_shoot(none, "shoot.toml", parse_studio(STUDIO)).mistakes
    assert (found.code, found.fix) == ("not texts", 'formats = ["jpeg", "webp"]')
    meant = spoiled(SHOOT, 'lens = "35"', "deliberate = []")
    assert not judge_shoot(meant, "shoot.toml", parse_studio(STUDIO)).mistakes


def test_names_are_told_apart_without_capitals_and_accents() -> None:
    text = STUDIO + '\n[[boards]]\nname = "WHITE"\n'
    mistake = the_mistake(text)
    assert mistake.code == "name taken"
    assert mistake.facts["line_of_first"] == line_of(STUDIO, 'name = "white"')
    assert mistake.line == len(text.split("\n")) - 1


def test_a_spoilt_file_is_told_of_and_never_breaks_the_reader() -> None:
    # a fixed seed: letters changed, put in and taken out anywhere
    rng = random.Random(20270715)
    letters = "[]{}\"'=.,#\n 0129abcxyz\\_-:“”é\t%°"
    for _ in range(150):
        spoilt = list(rng.choice((STUDIO, SHOOT)))
        for _ in range(rng.randint(1, 5)):
            at = rng.randrange(len(spoilt))
            what = rng.random()
            if what < 0.4:
                spoilt[at] = rng.choice(letters)
            elif what < 0.7:
                spoilt.insert(at, rng.choice(letters))
            else:
                del spoilt[at : at + rng.randint(1, 12)]
        text = "".join(spoilt)
        try:
            found = (
                judge_studio(text, "a.toml").mistakes
                if "latitude" in text
                else judge_shoot(text, "a.toml", None).mistakes
            )
        except SettingsError as error:
            found = list(error.mistakes)
            assert found
        lines = text.count("\n") + 1
        assert all(m.line is None or 1 <= m.line <= lines for m in found)


def test_a_misspelt_table_is_read_as_the_right_one() -> None:
    text = spoiled(spoiled(STUDIO, "[place]", "[Place]"), "latitude_deg = 38.7223", "lat = '38,7'")
    found = mistakes(text)
    assert [m.fix for m in found] == ["[place]", "latitude_deg = 38.7"]
    single = spoiled(spoiled(STUDIO, "[[spots]]", "[spot]"), "from_left_m = 2.1", "from_left_m = 210")
    found = mistakes(single)
    assert [m.fix for m in found] == ["[[spots]]", "from_left_m = 2.1"]
    assert [m.line for m in found] == [line_of(single, "[spot]"), line_of(single, "from_left_m = 210")]


def test_trade_words_are_understood() -> None:
    for old, new, paste in (
        ('spot = "by the window"', 'angle = "flat lay"', 'angle = "overhead"'),
        ('spot = "by the window"', 'orientation = "upright"', 'orientation = "portrait"'),
        ('name = "wide"', 'name = "wide"\nformats = "jpg, webp"', 'formats = ["jpeg", "webp"]'),
        ('name = "wide"', 'name = "wide"\nformats = ["jpg", "jpeg", "gif"]', 'formats = ["jpeg"]'),
        # nothing is near: an example, and never a list of nothing
        ('name = "wide"', 'name = "wide"\nformats = ["gif"]', 'formats = ["jpeg", "webp"]'),
        ('name = "wide"', 'name = "wide"\nformats = [7]', 'formats = ["jpeg", "webp"]'),
        ('title = "Soup"', 'title = "Soup"\nservings = "4"', 'serves = "4"'),
    ):
        (mistake,) = judge_shoot(spoiled(SHOOT, old, new), "shoot.toml", None).mistakes
        assert mistake.fix == paste


def test_a_list_where_tables_belong_is_handed_over_as_tables() -> None:
    text = SHOOT.replace('[[recipe.steps]]\nname = "cook"\ntakes = "PT8M"\n', 'steps = ["chop", "boil"]\n')
    (mistake,) = judge_shoot(text, "shoot.toml", None).mistakes
    assert mistake.fix == '[[recipe.steps]]\nname = "chop"\n\n[[recipe.steps]]\nname = "boil"'
