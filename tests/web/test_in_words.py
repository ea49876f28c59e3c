"""Mistakes in her files as the pages tell them: labels for keys, no grammar of a file, her own words untouched."""

import re
from pathlib import Path

import pytest

from plateside.demo.data import copy_demo
from plateside.files.settings.load import open_shoot
from plateside.model.errors import SettingsError
from plateside.tasks.report import as_json
from plateside.tasks.studio.fields import ROOTS, schema_of
from plateside.web.in_words import in_words, mistakes_in_words, trouble_words

FIELDS = {f.name for which in ROOTS for table in schema_of(which).tables.values() for f in table}
BROKEN = {
    "frame_width_mm = 700": "frame_width_mm = 5",
    "width_m = 1.2": "width_m = -3",
    'sky = "clear"': 'sky = "blue"',
    "from_front_m = 0.65": "from_frnt_m = 0.65",
    'board = "white"': 'board = "pink_board"',
}


def test_no_mistake_shows_a_key_or_a_heading(tmp_path: Path) -> None:
    copy_demo(tmp_path)
    for name in ("studio.toml", "shoot.toml"):
        text = (tmp_path / name).read_text(encoding="utf-8")
        for right, wrong in BROKEN.items():
            text = text.replace(right, wrong, 1)
        (tmp_path / name).write_text(text, encoding="utf-8")
    with pytest.raises(SettingsError) as told:
        open_shoot(tmp_path)
    found = mistakes_in_words(as_json(told.value.mistakes))
    assert len(found) >= 3
    for mistake in found:
        for words in (mistake["where"], mistake["said"]):
            hers = re.sub(r"\"[^\"]*\"|'[^']*'", "", words)
            assert not re.search(r"\[|\]|\.toml|[a-z]_[a-z]", hers), words
            assert words[:1] == words[:1].upper()
    assert any(m["said"].startswith("Frame width is 5;") for m in found)
    assert any('"pink_board"' in m["said"] for m in found), "what she wrote stays as she wrote it"
    assert trouble_words(told.value.words, found).endswith("to mend in the studio and the shoot:")


def test_only_fields_of_the_two_files_are_put_into_words() -> None:
    assert in_words("porto_2027.epw is no weather file.") == "porto_2027.epw is no weather file."
    assert in_words("'my_bowl' of [[props]] needs width_mm") == "'my_bowl' of prop needs width"
    assert in_words("highest_iso is 5") == "highest ISO is 5"
    assert in_words("the camera's widest_f_number and the lens's name") == (
        "the camera's widest f-number and the lens's name"
    )
    assert all("_" not in in_words(name) for name in FIELDS)
