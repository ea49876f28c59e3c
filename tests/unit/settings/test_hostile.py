"""What nobody means, in a settings file: refused with its line and what is allowed; the rest is judged."""

import json
import os
import sys
from pathlib import Path

import pytest

from plateside.files.settings.load import judge_shoot, judge_studio, open_shoot, parse_studio
from plateside.model.errors import InputError, PlatesideError
from plateside.words.mistakes import on_page, said
from tests.shoots.small import SHOOT, STUDIO

NUMBERS = [
    "1e308",
    "-1e308",
    "nan",
    "inf",
    "-inf",
    "1e999",
    "9" * 400,
    "-" + "9" * 400,
    "9" * 5_000,
    "0x" + "f" * 4_000,
    "0x" + "f" * 300,
    "1e-400",
    "[" * 3_000 + "]" * 3_000,
    "[" * 200 + "]" * 200,
    "[" + "0," * 20_000 + "]",
    "{" + "a={" * 500 + "}" * 501,
    "5e-324",
    '"' + "9" * 5_000 + '"',
    '"\\u0000"',
    "[{}]",
    "[nan, inf, 1e308]",
    "0001-01-01",
    "9999-12-31T23:59:59Z",
    "true",
]


@pytest.mark.parametrize("value", NUMBERS, ids=range(len(NUMBERS)))
def test_a_number_that_nobody_means_is_told_with_its_line_beside_the_other_mistakes(value: str) -> None:
    text = STUDIO.replace("sill_m = 0.8", f"sill_m = {value}").replace("width_m = 4.0", "width_m = 400.0")
    line = text[: text.index("sill_m")].count("\n") + 1
    found = judge_studio(text, "studio.toml").mistakes
    small = value in ("1e-400", "5e-324")  # nought, as near as a number can be to it, is allowed
    assert (line in [m.line for m in found]) is not small
    # what cannot even be parsed is told alone: nothing below it was read
    if not {m.code for m in found} & {"syntax", "line too deep", "file too deep"}:
        assert ("room", "width_m") in [m.path for m in found]
    assert all(len(said(m)) < 500 and len(m.got) < 100 and len(m.fix) < 2_000 for m in found)
    json.dumps([on_page(m) for m in found], allow_nan=False).encode("utf-8")
    if value in ("1e308", "nan", "inf", "-inf", "9" * 400):
        (mine,) = [m for m in found if m.line == line]
        assert (mine.lowest, mine.highest) == (0, 5)


def test_no_zero_has_a_minus() -> None:
    studio = parse_studio(STUDIO.replace("sill_m = 0.8", "sill_m = -0.0"))
    assert str(studio.windows[0].sill_m) == "0.0"


@pytest.mark.parametrize("value", NUMBERS, ids=range(len(NUMBERS)))
@pytest.mark.parametrize("field", ["date", "frames", "title", "allergens", "format", "name"])
def test_a_text_field_that_holds_anything_is_judged(field: str, value: str) -> None:
    old = (
        next(line for line in SHOOT.splitlines() if line.startswith(f"{field} ="))
        if field != "frames"
        else "format = 1"
    )
    new = f"{field} = {value}" if field != "frames" else f"format = 1\nframes = {value}"
    reading = judge_shoot(SHOOT.replace(old, new, 1), "shoot.toml", None)
    assert all(len(said(m)) < 500 for m in reading.mistakes)


@pytest.mark.parametrize(
    "data",
    [
        b"\xff\xfef\x00",
        b"\x00" * 300,
        b"format = 1\rdate = 1\r",
        b"[" * 50_000,
        b"a" * 100_000,
        b"\xed\xa0\x80",
        b"a." * 5_000 + b"a = 1",
    ],
    ids=range(7),
)
def test_a_file_that_is_none_is_one_sentence(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "shoot.toml").write_bytes(data)
    (tmp_path / "studio.toml").write_text(STUDIO, encoding="utf-8")
    with pytest.raises(InputError):
        open_shoot(tmp_path)


@pytest.mark.parametrize(
    "path", ["\\u0000", "..", "/", "x" * 300, "x/" * 3_000, "shoot.toml", "frames\\u0000"]
)
@pytest.mark.parametrize("field", ["frames", "studio"])
def test_a_folder_that_cannot_be_is_told(tmp_path: Path, field: str, path: str) -> None:
    (tmp_path / "shoot.toml").write_text(
        SHOOT.replace("format = 1", f'format = 1\n{field} = "{path}"'), encoding="utf-8"
    )
    (tmp_path / "studio.toml").write_text(STUDIO, encoding="utf-8")
    try:
        open_shoot(tmp_path)
    except PlatesideError as error:
        assert "\0" not in str(error)
    else:
        assert field == "frames"


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such files")
@pytest.mark.parametrize("what", ["folder", "pipe", "link to itself"])
def test_a_studio_that_is_no_file_is_told(tmp_path: Path, what: str) -> None:
    (tmp_path / "shoot.toml").write_text(SHOOT, encoding="utf-8")
    studio = tmp_path / "studio.toml"
    match what:
        case "folder":
            studio.mkdir()
        case "pipe":
            os.mkfifo(studio)
        case _:
            studio.symlink_to(studio)
    with pytest.raises(PlatesideError):
        open_shoot(tmp_path)
