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
from plateside.files.settings.mistakes import Mistake
from plateside.model.errors import InputError, SettingsError
from tests.unit.settings.sample_settings import SHOOT, STUDIO, spoiled


def mistakes(text: str) -> tuple[Mistake, ...]:
    return tuple(judge_studio(text, "studio.toml").mistakes)


def the_mistake(text: str) -> Mistake:
    found = mistakes(text)
    assert len(found) == 1, [m.text() for m in found]
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


# (line, what it becomes, fragment of what is said, line to paste)
ONE_SLIP = [
    # another unit
    ("width_m = 4.2", "width_m = 420", "Did you mean 4.2 (420 cm)?", "width_m = 4.2"),
    ("sill_m = 0.78", "sill_m = 78", "Did you mean 0.78 (78 cm)?", "sill_m = 0.78"),
    ("sill_m = 0.78", "sill_m = 780", "Did you mean 0.78 (780 mm)?", "sill_m = 0.78"),
    ("width_m = 1.2", "width_m = 1200", "Did you mean 1.2 (1200 mm)?", "width_m = 1.2"),
    ("bearing_deg = 20", "bearing_deg = -340", "from 0 to 360 deg", "bearing_deg = 20"),
    # a text where a number is
    ("width_m = 4.2", 'width_m = "4.2"', "allowed: a number from 1 to 30 m", "width_m = 4.2"),
    ("width_m = 4.2", 'width_m = "4,2 m"', "Write the number alone, in m", "width_m = 4.2"),
    ("width_m = 4.2", 'width_m = "420 cm"', "Write the number alone, in m", "width_m = 4.2"),
    ("bearing_deg = 20", 'bearing_deg = "NNE"', "from 0 to 360 deg", "bearing_deg = 22.5"),
    ("width_m = 4.2", "width_m = true", "width_m is true", "width_m = 4.2  # for example"),
    ("width_m = 4.2", "width_m = nan", "width_m is nan", "width_m = 4.2  # for example"),
    ("width_m = 4.2", "width_m = [4, 2]", "width_m is [4, 2]", "width_m = 4.2  # for example"),
    # a number where a text is
    ('name = "white"', "name = 12", "a text in quotes", 'name = "12"'),
    # a slip of the pen in a key
    ("sill_m = 0.78", "sil_m = 0.78", "Did you mean sill_m?", "sill_m = 0.78"),
    ("sill_m = 0.78", "sill = 0.78", "Did you mean sill_m?", "sill_m = 0.78"),
    ("sill_m = 0.78", "Sill_M = 0.78", "Did you mean sill_m?", "sill_m = 0.78"),
    ("light_factor = 1.1", "light_facter = 1.1", "Did you mean light_factor?", "light_factor = 1.1"),
    # a key in the wrong table
    ("light_factor = 1.1", "sill_m = 0.8", "it belongs in [[windows]]", ""),
    ("light_factor = 1.1", "aperture = 8", "Allowed here: date, light_factor", ""),
    # left out
    ("sill_m = 0.78", "", "sill_m is missing: height of its lower edge above the floor.", "sill_m = 0.78"),
    # the heads
    ("[[boards]]", "[[bords]]", "Did you mean boards?", "[[boards]]"),
    ("[[boards]]", "[boards]", "write double brackets", "[[boards]]"),
    ("[fit]", "[[fit]]", "write single brackets", "[fit]"),
    # decimal commas, quotes and the like: TOML itself refuses these
    ("width_m = 4.2", "width_m = 4,2", "decimal comma", "width_m = 4.2"),
    ("width_m = 4.2", "width_m = 4.2 m", "Write the number alone, in m", "width_m = 4.2"),
    ("width_m = 4.2", "width_m = .9", "allowed: a number from 1 to 30 m", "width_m = 4.2  # for example"),
    ("sill_m = 0.78", "sill_m = .78", "a number is written as 0.78", "sill_m = 0.78"),
    ("sill_m = 0.78", "sill_m 0.78", "lacks its equals sign", "sill_m = 0.78"),
    ("sill_m = 0.78", "sill_m: 0.78", "write an equals sign", "sill_m = 0.78"),
    ('name = "white"', "name = white", "a text stands in quotes", 'name = "white"'),
    ('name = "white"', 'name = "white', "a quote at both ends", 'name = "white"'),
    ('name = "white"', "name = “white”", "curly", 'name = "white"'),
    ('name = "white"', 'name = "the "best" one"', "single quotes", "name = 'the \"best\" one'"),
    ("[[boards]]", "[[boards]", "brackets", "[[boards]]"),
    ("light_factor = 1.1", "light_factor =", "has no value", "# light_factor ="),
    ("light_factor = 1.1", "light_factor = 110 %", "Write the number alone", "light_factor = 1.1"),
]


@pytest.mark.parametrize(("old", "new", "said", "paste"), ONE_SLIP)
def test_one_slip_is_told_once_with_line_and_mend(old: str, new: str, said: str, paste: str) -> None:
    text = spoiled(STUDIO, old, new)
    mistake = the_mistake(text)
    assert said in mistake.said, mistake.text()
    assert mistake.paste == paste
    if new:
        assert mistake.line == line_of(text, new)


@pytest.mark.parametrize(
    ("old", "new", "said", "paste"), [row for row in ONE_SLIP if row[3] and "example" not in row[3]]
)
def test_pasting_the_line_mends_the_file(old: str, new: str, said: str, paste: str) -> None:
    # law: the line handed over is right where it is pasted
    assert mistakes(spoiled(STUDIO, old, paste)) == ()


def test_all_mistakes_of_a_file_are_told_at_once_in_the_order_of_lines() -> None:
    text = STUDIO
    for old, new in (
        ("width_m = 4.2", "width_m = 4,2 m"),
        ('timezone = "Europe/Lisbon"      # on the mainland', 'timezone = "Europe/Lisbn"'),
        ("sill_m = 0.78", "sil_m = 78"),
        ("distance_m = 12", "distance_m = twelve"),
        ('name = "white"', 'naem = "white"'),
        ("illuminance_lx = 900            # lamps off", "illuminance_lx = 9e9"),
    ):
        text = spoiled(text, old, new)
    with pytest.raises(SettingsError) as caught:
        parse_studio(text)
    told = caught.value.mistakes
    assert len(told) == 6, str(caught.value)
    lines = [m.line for m in told if isinstance(m, Mistake) and m.line]
    assert lines == sorted(lines)
    assert str(caught.value).startswith("6 things to mend in studio.toml:")


def test_a_doubtful_field_does_not_bring_further_complaints() -> None:
    # the room's width is unknown, so whether the window fits its wall cannot be said
    text = spoiled(STUDIO, "width_m = 4.2", 'width_m = "wide"')
    assert "width_m" in the_mistake(text).said


def test_written_twice() -> None:
    mistake = the_mistake(spoiled(STUDIO, "depth_m = 3.1", "depth_m = 3.1\ndepth_m = 3.2"))
    assert "written twice" in mistake.said
    assert mistake.line == line_of(STUDIO, "depth_m = 3.1") + 1


def test_a_list_left_open_is_blamed_on_its_own_line() -> None:
    text = spoiled(STUDIO, "depth_m = 3.1", "depth_m = 3.1\nfloor_reflectance = [0.4, 0.3, 0.2")
    mistake = the_mistake(text)
    assert mistake.line == line_of(text, "floor_reflectance")
    assert mistake.paste == "floor_reflectance = [0.4, 0.3, 0.2]"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (STUDIO.replace("format = 1\n", ""), "the format number is missing"),
        (STUDIO.replace("format = 1\n", 'format = "1"\n'), "without quotes"),
        (STUDIO.replace("format = 1\n", "format = 0\n"), "format is 0"),
        (STUDIO.replace("format = 1\n", "format = 2\n"), "Update Plateside"),
    ],
)
def test_format_number(text: str, said: str) -> None:
    assert said in the_mistake(text).said


def test_a_newer_format_is_not_judged_further() -> None:
    text = STUDIO.replace("format = 1\n", "format = 2\nnew_thing = true\n").replace(
        "width_m = 4.2", "width = 4.2"
    )
    assert "Update" in the_mistake(text).said


def test_a_missing_table_is_handed_over_whole() -> None:
    text = STUDIO.replace("[room]\nwidth_m = 4.2\ndepth_m = 3.1\n", "")
    assert the_mistake(text).paste == "[room]\nwidth_m = 4.2\ndepth_m = 3.1"


def test_reflectance_is_one_number_or_three() -> None:
    one = spoiled(STUDIO, "depth_m = 3.1", "depth_m = 3.1\nfloor_reflectance = 0.4")
    three = spoiled(STUDIO, "depth_m = 3.1", "depth_m = 3.1\nfloor_reflectance = [0.4, 0.3, 0.2]")
    two = spoiled(STUDIO, "depth_m = 3.1", "depth_m = 3.1\nfloor_reflectance = [0.4, 0.3]")
    percent = spoiled(STUDIO, "depth_m = 3.1", "depth_m = 3.1\nfloor_reflectance = [40, 30, 20]")
    assert parse_studio(one).room.floor_reflectance == 0.4
    assert parse_studio(three).room.floor_reflectance == (0.4, 0.3, 0.2)
    assert "or three as [red, green, blue]" in the_mistake(two).said
    assert the_mistake(percent).paste == "floor_reflectance = [0.4, 0.3, 0.2]"


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
    with pytest.raises(InputError, match=r"line 1: not UTF-8"):
        load_shoot(tmp_path)


def test_both_files_are_told_of_together(tmp_path: Path) -> None:
    (tmp_path / "studio.toml").write_text(spoiled(STUDIO, "sill_m = 0.78", "sill_m = 78"), encoding="utf-8")
    (tmp_path / "shoot.toml").write_text(
        spoiled(SHOOT, 'takes = "PT8M"', 'takes = "8 min"'), encoding="utf-8"
    )
    with pytest.raises(SettingsError) as caught:
        open_shoot(tmp_path)
    assert str(caught.value).startswith("2 things to mend in studio.toml and shoot.toml:")


def test_a_shoot_finds_its_studio_elsewhere(tmp_path: Path) -> None:
    (tmp_path / "home.toml").write_text(STUDIO, encoding="utf-8")
    (tmp_path / "soup").mkdir()
    text = SHOOT.replace('date = "2027-07-15"', 'date = "2027-07-15"\nstudio = "../home.toml"')
    (tmp_path / "soup" / "shoot.toml").write_text(text, encoding="utf-8")
    opened = open_shoot(tmp_path / "soup")
    assert opened.studio.spots[0].name == "by the window"
    assert opened.folder.frames_dir == (tmp_path / "soup" / "frames").resolve()


@pytest.mark.parametrize(
    ("old", "new", "said", "paste"),
    [
        (
            'spot = "by the window"',
            'spot = "By the windows"',
            'Did you mean "by the window"?',
            'spot = "by the window"',
        ),
        ('lens = "35"', 'lens = "50"', 'It has: "35"', ""),
        ('board = "white"', 'board = "whit"', 'Did you mean "white"?', 'board = "white"'),
        ('channels = ["wide"]', 'channels = ["wide", "narrow"]', 'names the channel "narrow"', ""),
        ('lens = "35"', 'camera = "camera"', 'Did you mean "the camera"?', 'camera = "the camera"'),
        ('lens = "35"', 'surface = "oak"', "It has: none", ""),
        ('lens = "35"', 'props = ["spoon"]', 'names the prop "spoon"', ""),
        ('side = "left"', 'side = "lft"', 'Did you mean "left"?', 'side = "left"'),
        (
            'side = "left"',
            'side = "behind"',
            'one of "left", "right", "far", "near"',
            'side = "far"',
        ),
        ('name = "whole"', 'name = "whole soup!"', "letters a to z", 'name = "whole-soup"'),
        ('lens = "35"', 'deliberate = "blur"', "a list of any of", 'deliberate = ["blur"]'),
        ('lens = "35"', 'from_time = "16:00"\nto_time = "12:30"', "must come after the start", ""),
        ('lens = "35"', 'from_time = "12:30"\nto_time = "12:30"', "must come after the start", ""),
        ('lens = "35"', "glossy = yes", "true or false", "glossy = true"),
        ('lens = "35"', "from_time = 12:30", "in quotes", 'from_time = "12:30"'),
    ],
)
def test_slips_in_a_shoot(old: str, new: str, said: str, paste: str) -> None:
    found = judge_shoot(spoiled(SHOOT, old, new), "shoot.toml", parse_studio(STUDIO)).mistakes
    assert len(found) == 1, [m.text() for m in found]
    assert said in found[0].said, found[0].text()
    assert found[0].paste == paste


def test_names_are_told_apart_without_capitals_and_accents() -> None:
    text = STUDIO + '\n[[boards]]\nname = "WHITE"\n'
    mistake = the_mistake(text)
    assert "is taken by the one in line" in mistake.said
    first = line_of(STUDIO, 'name = "white"')
    assert f"in line {first};" in mistake.said
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
            found = [m for m in error.mistakes if isinstance(m, Mistake)]
            assert found
        lines = text.count("\n") + 1
        assert all(m.line is None or 1 <= m.line <= lines for m in found)


def test_a_misspelt_table_is_read_as_the_right_one() -> None:
    text = spoiled(spoiled(STUDIO, "[place]", "[Place]"), "latitude_deg = 38.7223", "lat = 38,7")
    found = mistakes(text)
    assert [m.paste for m in found] == ["[place]", "latitude_deg = 38.7"]
    single = spoiled(spoiled(STUDIO, "[[spots]]", "[spot]"), "from_left_m = 2.1", "from_left_m = 210")
    found = mistakes(single)
    assert [m.paste for m in found] == ["[[spots]]", "from_left_m = 2.1"]
    assert [m.line for m in found] == [line_of(single, "[spot]"), line_of(single, "from_left_m = 210")]


def test_trade_words_are_understood() -> None:
    for old, new, paste in (
        ('spot = "by the window"', 'angle = "flat lay"', 'angle = "overhead"'),
        ('spot = "by the window"', 'orientation = "portrait"', 'orientation = "upright"'),
        ('name = "wide"', 'name = "wide"\nformats = "jpg, webp"', 'formats = ["jpeg", "webp"]'),
        ('name = "wide"', 'name = "wide"\nformats = ["jpg", "jpeg", "gif"]', 'formats = ["jpeg"]'),
        # nothing is near: an example, and never a list of nothing
        ('name = "wide"', 'name = "wide"\nformats = ["gif"]', 'formats = ["jpeg", "webp"]  # for example'),
        ('name = "wide"', 'name = "wide"\nformats = [7]', 'formats = ["jpeg", "webp"]  # for example'),
        ('title = "Soup"', 'title = "Soup"\nservings = "4"', 'serves = "4"'),
    ):
        (mistake,) = judge_shoot(spoiled(SHOOT, old, new), "shoot.toml", None).mistakes
        assert mistake.paste == paste


def test_a_list_where_tables_belong_is_handed_over_as_tables() -> None:
    text = SHOOT.replace('[[recipe.steps]]\nname = "cook"\ntakes = "PT8M"\n', 'steps = ["chop", "boil"]\n')
    (mistake,) = judge_shoot(text, "shoot.toml", None).mistakes
    assert mistake.paste == '[[recipe.steps]]\nname = "chop"\n\n[[recipe.steps]]\nname = "boil"'
