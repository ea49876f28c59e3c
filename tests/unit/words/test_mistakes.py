"""Mistakes and remarks in sentences: what you typed, what is allowed, the fix; no name of the code on a page."""

import ast
import re
from pathlib import Path

import pytest

from plateside.files.settings.load import judge_shoot, judge_studio
from plateside.files.settings.remarks import Remark, shoot_remarks, studio_remarks
from plateside.model.mistakes import Mistake
from plateside.words import remarks
from plateside.words.mistakes import SAID, all_said, heading, on_page, place, said, text
from tests.unit.settings.sample_settings import SHOOT, STUDIO, spoiled

SRC = Path(__file__).parents[3] / "src" / "plateside"

SILL = Mistake(
    "out of range", "studio.toml", 17, "[[windows]]", "kitchen window", ("windows", 0, "sill_m"), "Sill height", "78",
    0, 5, "m", meant="0.78 (78 cm)", fix="sill_m = 0.78", facts={"kind": "number"},
)  # fmt: skip
SIDE = Mistake(
    "not one of", "shoot.toml", 30, "[[shots.boards]]", "", ("shots", 0, "boards", 1, "side"), "Side, from the camera",
    '"lft"', allowed=("left", "right"), meant='"left"', fix='side = "left"', facts={"kind": "text"},
)  # fmt: skip
MISSING = Mistake(
    "missing", "studio.toml", 12, "[[windows]]", "kitchen window", ("windows", 0, "sill_m"), "Sill height",
    fix="sill_m = 0.78", facts={"doc": "height of its lower edge above the floor"},
)  # fmt: skip
NOT_THERE = Mistake(
    "not there", "shoot.toml", 40, "[[shots]]", "whole", ("shots", 0, "lens"), "Lens", "50",
    facts={"table": "lenses", "known": ["35", "60"], "home": "studio.toml"},
)  # fmt: skip
SYNTAX = Mistake(
    "syntax", "studio.toml", 9, "[room]", got="width_m = 4,2", fix="width_m = 4.2", example=True
)  # fmt: skip

SENTENCES = [
    (SILL, "sill_m is 78; allowed: a number from 0 to 5 m. Did you mean 0.78 (78 cm)?", None),
    (SILL, None, "Sill height is 78; allowed: a number from 0 to 5 m. Did you mean 0.78 (78 cm)?"),
    (SIDE, None, 'Side, from the camera is "lft"; allowed: one of "left", "right". Did you mean "left"?'),
    (MISSING, None, "Sill height is missing: height of its lower edge above the floor."),
    (NOT_THERE, 'There is no lens called "50" in studio.toml; allowed: "35", "60".', None),
    (NOT_THERE, None, 'There is no lens called "50" in the studio; allowed: "35", "60".'),
]


@pytest.mark.parametrize(("mistake", "in_file", "on_a_page"), SENTENCES)
def test_sentences(mistake: Mistake, in_file: str | None, on_a_page: str | None) -> None:
    if in_file is not None:
        assert said(mistake) == in_file
    if on_a_page is not None:
        assert said(mistake, page=True) == on_a_page


def test_places_and_the_lines_to_paste() -> None:
    assert place(SILL) == 'studio.toml, line 17, [[windows]] "kitchen window"'
    assert place(SILL, page=True) == 'Window "kitchen window"'
    assert place(SIDE) == "shoot.toml, line 30, [[shots.boards]] number 2"
    assert text(SILL).splitlines()[-1] == "    sill_m = 0.78"
    assert text(SYNTAX).splitlines()[-1] == "    width_m = 4.2  # for example"
    assert all_said([SILL, SIDE]).startswith("2 things to fix in studio.toml and shoot.toml:\n")
    assert heading([SILL], page=True) == "One thing to fix in the studio:"
    # of a change or an answer, which is in no file, only the sentence
    assert all_said([Mistake("no day", path=("date",))]) == "Choose a day."
    answer = Mistake(
        "out of range", path=("width_m",), label="Along the window wall", got="-3", lowest=1, highest=30, unit="m",
        facts={"kind": "number"},
    )  # fmt: skip
    assert said(answer, page=True) == "-3 is not possible here; allowed: a number from 1 to 30 m."
    assert all_said([answer]).startswith("Along the window wall: -3 is not possible here;")


BROKEN = {
    "width_m = 4.2": [
        "width_m = 420",
        'width_m = "wide"',
        "widht_m = 4.2",
        "sill_m = 1",
        "width_m = 4,2",
        "",
    ],
    "width_m = 1.2": ["width_m = 4.3", "width_m = -3"],
    "sill_m = 0.78": ["sill_m = 1.31", "sill_m = 0.78\nfrom_left_m = 3.1"],
    "from_left_m = 2.1": ["from_left_m = 4.3", "from_left_m = true"],
    "bearing_from_deg = 340": ["bearing_from_deg = 120", "bearing_from_deg = 60"],
    'name = "the camera"': ['name = "the camera"\npixels_high = 3000', "nmae = 1"],
    'spot = "by the window"': ['spot = "attic"'],
    "[[boards]]": ["[boards]", "[[bords]]", "[[boards"],
    "[room]": ["[rooms]", "[[room]]"],
    "[fit]": ["[[fit]]", "[fit]\n[fit]"],
    "format = 1": ["format = 2", ""],
    'at = "2027-07-10T13:30"': ['at = "noon"'],
}
IN_SHOOT = {
    'side = "left"': ['side = "behind"', "side = 3"],
    'lens = "35"': [
        'lens = "50"',
        'deliberate = "blur"',
        "glossy = 1",
        'from_time = "16:00"\nto_time = "12:30"',
    ],
    'name = "whole"': ['name = "whole soup"', 'name = ""'],
    'date = "2027-07-15"': ['date = "soon"', 'date = "1899-01-01"', ""],
    "[creator]": ["[[creator]]", "[maker]"],
}


def test_no_mistake_shows_a_key_or_a_heading_on_a_page() -> None:
    found = [m for old, news in BROKEN.items() for new in news
             for m in judge_studio(spoiled(STUDIO, old, new), "studio.toml").mistakes]  # fmt: skip
    found += [m for old, news in IN_SHOOT.items() for new in news
              for m in judge_shoot(spoiled(SHOOT, old, new), "shoot.toml", None).mistakes]  # fmt: skip
    assert len({m.code for m in found}) > 20
    for mistake in found:
        told = on_page(mistake)
        if mistake.code in ("syntax", "syntax in a head", "written twice"):
            continue  # what was typed is a line of the file
        for words in (told["where"], told["said"]):
            yours = re.sub(r"\"[^\"]*\"|'[^']*'", "", words)
            assert not re.search(r"\[|\]|\.toml|[a-z]_[a-z]", yours.replace("[red, green, blue]", "")), words
            assert words[:1] == words[:1].upper()


def test_every_code_has_its_sentence() -> None:
    """Each code that a module of settings or of the studio's tasks gives to a mistake, found in its source."""
    makers = {"Mistake": 0, "wrong": 2, "_too": 2, "_cannot": 2, "_refuse": 0, "_mistake": 0, "_about": 0}
    used: set[str] = set()
    for folder in ("files/settings", "tasks/studio"):
        for path in sorted((SRC / folder).glob("*.py")):
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in makers:
                    at = makers[node.func.id]
                    arg = node.args[at] if len(node.args) > at else None
                    if isinstance(arg, ast.Constant) and isinstance(arg.value, str):
                        used.add(arg.value)
    assert len(used) > 40
    assert used - {"no windows", "windows", "spots"} <= set(SAID), used - set(SAID)


def test_every_remark_has_its_sentence_for_file_and_page() -> None:
    tree = ast.parse((SRC / "files/settings/remarks.py").read_text(encoding="utf-8"))
    used = {
        node.args[0].value
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Name)
        and node.func.id in ("Remark", "remark")
        and node.args
        and isinstance(node.args[0], ast.Constant)
    }
    assert used <= set(remarks.SAID)
    assert set(remarks.PAGE) <= set(remarks.SAID)
    studio = judge_studio(spoiled(STUDIO, "bearing_deg = 20", "bearing_deg = 45"), "studio.toml").value
    shoot = judge_shoot(SHOOT, "shoot.toml", None).value
    for remark in (*studio_remarks(studio), *shoot_remarks(shoot, studio)):
        assert remarks.line(remark)
        assert "[[" not in remarks.said(remark, page=True)
    round_one = Remark("round bearing", "light", "windows", "kitchen", {"bearing": 45.0})
    assert remarks.line(round_one).startswith('window "kitchen": 45 degrees is a round compass direction.')
