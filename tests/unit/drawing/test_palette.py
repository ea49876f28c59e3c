"""One palette: what pages, papers and drawings are coloured with are the same values, and its words can be read."""

import re
from pathlib import Path

import plateside
from plateside.drawing import palette
from plateside.drawing.kit import element, escape, number

PACKAGE = Path(plateside.__file__).parent
KINDS = ("*.css", "*.py", "*.js", "*.html", "*.j2", "*.typ")
OWN = ("palette.py", "ground.css")
STYLED = [p for kind in KINDS for p in PACKAGE.rglob(kind) if p.name not in OWN]


def test_the_pages_have_the_same_values() -> None:
    """Style sheets cannot import: the ground of all pages repeats the palette."""
    ground = (PACKAGE / "web" / "static" / "css" / "ground.css").read_text(encoding="utf-8")
    assert palette.PROPERTIES.items() <= dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6});", ground)).items()


def test_no_program_has_colours_of_its_own() -> None:
    """A palette colour as a literal in a program, page or paper is a second place for one fact."""
    colours = {c.lower() for c in palette.PROPERTIES.values()}
    assert len(STYLED) > 500
    for path in STYLED:
        found = set(re.findall(r"#[0-9a-f]{6}\b", path.read_text(encoding="utf-8").lower()))
        assert not found & colours, path


def _luminance(colour: str) -> float:
    """Relative luminance (WCAG 2.2, relative luminance of sRGB)."""
    shares = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    r, g, b = (s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4 for s in shares)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def test_words_can_be_read_on_paper_card_and_wash() -> None:
    """4.5 to 1 for words (WCAG 2.2, success criterion 1.4.3)."""
    for words in (palette.INK, palette.SOFT, palette.ACCENT):
        for ground in (palette.PAPER, palette.CARD, palette.WASH):
            assert (_luminance(ground) + 0.05) / (_luminance(words) + 0.05) >= 4.5


def test_nothing_a_person_wrote_is_markup() -> None:
    """XML 1.0, 2.4: < and & are escaped; 2.2: control characters are no characters."""
    assert escape('<a href="x">&\x00') == "&lt;a href=&quot;x&quot;&gt;&amp;�"
    assert element("text", escape("<b>"), data_name='"><script>') == (
        '<text data-name="&quot;&gt;&lt;script&gt;">&lt;b&gt;</text>'
    )
    assert [number(v) for v in (1.0, -0.001, 2.345, 10.5)] == ["1", "0", "2.35", "10.5"]
