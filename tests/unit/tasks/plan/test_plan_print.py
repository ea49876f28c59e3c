"""The call sheet's PDF holds what the printed page holds: each word, each drawing, whatever it is."""

import re
import shutil
import subprocess
from pathlib import Path

import pytest
from lxml import html

from plateside.demo.data import copy_demo
from plateside.files.printing import make_pdf
from plateside.files.settings.write import Put, update_shoot, update_studio
from plateside.paper.paper_tree import tree_of, words_of
from plateside.tasks.plan.planned import Memory, sheet
from plateside.tasks.plan.print_pdf import print_call_sheet

POPPLER = pytest.mark.skipif(
    shutil.which("pdftotext") is None, reason="pdftotext (poppler-utils) reads the PDF"
)


def letters(text: str) -> str:
    """Only what is printed, without spaces: line ends and columns break words apart in a PDF."""
    return re.sub(r"\s|\xad", "", text)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str, Path]:
    root = tmp_path_factory.mktemp("paper") / "shoot"
    root.mkdir()
    copy_demo(root)
    # words that would be markup in a page, and in Typst
    update_shoot(root, [Put(("recipe", "title"), 'Soup <b>& "#bread" $x$ *hot* _now_')])
    memory, out = Memory(), root / "call-sheet.pdf"
    told = print_call_sheet(root, memory, out)
    assert (told.paper, told.path) == ("A4", str(out))
    return out, sheet(root, memory).body, root


def test_the_tree_holds_every_word_and_every_drawing_of_the_page(made: tuple[Path, str, Path]) -> None:
    body = made[1]
    tree, page = tree_of(body), html.fromstring(f"<main>{body}</main>")
    for drawing in page.iter("svg"):
        drawing.tail, tail = None, drawing.tail
        for kid in list(drawing):
            drawing.remove(kid)
        drawing.text, drawing.tail = None, tail
    assert letters("".join(words_of(tree))) == letters(str(page.text_content()))

    def drawings(node: object) -> int:
        if not isinstance(node, dict):
            return 0
        return ("svg" in node) + sum(drawings(k) for k in node["kids"])

    assert drawings(tree) == body.count("<svg ") > 5


@POPPLER
def test_the_pdf_holds_every_word_in_its_place(made: tuple[Path, str, Path]) -> None:
    pdf, body, _ = made
    text = subprocess.run(
        ["pdftotext", "-layout", str(pdf), "-"],
        capture_output=True, check=True,
    ).stdout.decode()  # fmt: skip
    printed = letters(text)
    missing = [
        word for piece in words_of(tree_of(body)) for word in piece.split() if letters(word) not in printed
    ]
    # a word that ends a line may be parted: by a hyphen of its own only
    assert [w for w in missing if "-" not in w] == []
    assert 'Soup <b>& "#bread" $x$ *hot* _now_' in text
    pages = text.count("\f")
    assert f"{pages} of {pages}" in text


def test_letter_where_paper_is_letter(made: tuple[Path, str, Path]) -> None:
    root = made[2]
    update_studio(root, [Put(("place", "country"), "US")])
    out = root / "letter.pdf"
    assert print_call_sheet(root, Memory(), out).paper == "Letter"
    assert out.read_bytes().startswith(b"%PDF")


def test_letters_with_a_halo_stay_whole_on_paper() -> None:
    """Each letter's halo would be drawn over the letter before: the halo is a text of its own, below."""
    halo = 'stroke="#fff" stroke-width="4" paint-order="stroke" stroke-linejoin="round"'
    drawn = f'<svg><text x="1" fill="#111" {halo}>2.10 m</text></svg>'
    (svg,) = tree_of(f"<figure>{drawn}</figure>")["kids"][0]["kids"]
    below, above = re.findall(r"<text([^>]*)>2\.10 m</text>", svg["svg"])
    assert 'fill="#fff"' in below
    assert 'fill="#111"' in above
    assert "stroke" not in above


def test_an_empty_day_is_a_sheet_too() -> None:
    pdf = make_pdf(
        "call-sheet.typ", {"tree": tree_of("<h1>Nothing</h1>"), "title": "x", "language": "pt", "paper": "a4"}
    )
    assert pdf.startswith(b"%PDF")
