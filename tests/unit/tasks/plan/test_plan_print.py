"""The call sheet's PDF holds what the printed page holds: each word, each drawing, whatever it is."""

import json
import re
import shutil
import subprocess
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest
from lxml import html

from plateside.demo.data import copy_demo
from plateside.files.printing import make_pdf
from plateside.files.settings.write import Put, update_shoot, update_studio
from plateside.paper.sections import Drawing, Heading, Run, Section, Settings, ShotSheet, as_data
from plateside.tasks.plan.planned import Memory, Sheet, sheet
from plateside.tasks.plan.print_pdf import print_call_sheet

POPPLER = pytest.mark.skipif(
    shutil.which("pdftotext") is None, reason="pdftotext (poppler-utils) reads the PDF"
)


def letters(text: str) -> str:
    """Only what is printed, without spaces: line ends and columns break words apart in a PDF."""
    return re.sub(r"\s|\xad", "", text)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Sheet, Path]:
    root = tmp_path_factory.mktemp("paper") / "shoot"
    root.mkdir()
    copy_demo(root)
    # words that would be markup in a page, and in Typst
    update_shoot(root, [Put(("recipe", "title"), 'Soup <b>& "#bread" $x$ *hot* _now_')])
    memory, out = Memory(), root / "call-sheet.pdf"
    told = print_call_sheet(root, memory, out)
    assert (told.paper, told.path) == ("A4", str(out))
    return out, sheet(root, memory), root


def words_in(data: object) -> Iterator[str]:
    """What is said on the sheet, drawings left out."""
    if isinstance(data, dict):
        for name, value in data.items():
            if name not in ("is", "svg", "kind", "role", "short", "shot"):
                yield from words_in(value)
    elif isinstance(data, list):
        for each in data:
            yield from words_in(each)
    elif isinstance(data, str):
        yield data


def test_page_and_paper_hold_the_same_words_and_drawings(made: tuple[Path, Sheet, Path]) -> None:
    sheet = made[1]
    data, page = as_data(sheet.sections), html.fromstring(f"<main>{sheet.body}</main>")
    for drawing in page.iter("svg"):
        drawing.tail, tail = None, drawing.tail
        for kid in list(drawing):
            drawing.remove(kid)
        drawing.text, drawing.tail = None, tail
    on_page = letters(str(page.text_content()))
    # the page has the marks between settings, and the colon behind a hero's shot
    assert Counter(letters("".join(words_in(data)))) == Counter(on_page) - Counter(
        on_page_only(sheet.sections)
    )
    assert json.dumps(data).count('"svg"') == sheet.body.count("<svg ") > 5


def on_page_only(sections: Sequence[Section]) -> str:
    marks = ""
    for each in sections:
        if isinstance(each, ShotSheet):
            marks += on_page_only(each.each)
        if isinstance(each, Settings):
            marks += "/" * (len(each.words) - 1)
        if isinstance(each, Run):
            marks += ":" * sum(row.kind == "hero" for row in each.rows)
    return marks


@POPPLER
def test_the_pdf_holds_every_word_in_its_place(made: tuple[Path, Sheet, Path]) -> None:
    pdf, whole, _ = made
    text = subprocess.run(
        ["pdftotext", "-layout", str(pdf), "-"],
        capture_output=True, check=True,
    ).stdout.decode()  # fmt: skip
    printed = letters(text)
    missing = [
        word
        for piece in words_in(as_data(whole.sections))
        for word in piece.split()
        if letters(word) not in printed
    ]
    # a word that ends a line may be parted: by a hyphen of its own only
    assert [w for w in missing if "-" not in w] == []
    assert 'Soup <b>& "#bread" $x$ *hot* _now_' in text
    pages = text.count("\f")
    assert f"{pages} of {pages}" in text


def test_letter_where_paper_is_letter(made: tuple[Path, Sheet, Path]) -> None:
    root = made[2]
    update_studio(root, [Put(("place", "country"), "US")])
    out = root / "letter.pdf"
    assert print_call_sheet(root, Memory(), out).paper == "Letter"
    assert out.read_bytes().startswith(b"%PDF")


def test_letters_with_a_halo_stay_whole_on_paper() -> None:
    """Each letter's halo would be drawn over the letter before: the halo is a text of its own, below."""
    halo = 'stroke="#fff" stroke-width="4" paint-order="stroke" stroke-linejoin="round"'
    drawn = f'<svg><text x="1" fill="#111" {halo}>2.10 m</text></svg>'
    svg = as_data(Drawing(drawn))
    below, above = re.findall(r"<text([^>]*)>2\.10 m</text>", svg["svg"])
    assert 'fill="#fff"' in below
    assert 'fill="#111"' in above
    assert "stroke" not in above


def test_an_empty_day_is_a_sheet_too() -> None:
    data = {"sections": as_data([Heading("Nothing", 1)]), "title": "x", "language": "pt", "paper": "a4"}
    pdf = make_pdf("call-sheet.typ", data)
    assert pdf.startswith(b"%PDF")
