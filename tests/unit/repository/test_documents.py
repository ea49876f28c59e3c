"""The documents lead where they say, and every word of theirs that needs a glossary has a line in it."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[3]
PAGES = [
    ROOT / "README.md",
    ROOT / "CONTRIBUTING.md",
    *sorted((ROOT / "docs").glob("*.md")),
    *sorted((ROOT / "docs/decisions").glob("*.md")),
]
LINK = re.compile(r"\]\(([^)\s]+)\)")

# another name for a thing that has one (planned picture, simulated camera), or the reader spoken of, not to
OTHER_NAMES = re.compile(
    r"\b(test (shot|picture)s?|made (frame|camera)s?|she|hers?|somebody)\b", re.IGNORECASE
)


def anchors(page: Path) -> set[str]:
    """What may follow a #: headings as the usual Markdown pages name them, and anchors set by hand."""
    text = page.read_text(encoding="utf-8")
    headings = [
        re.sub(r"[`*\\]", "", found).lower() for found in re.findall(r"^#+ (.+)$", text, re.MULTILINE)
    ]
    named = {re.sub(r"[^\w\- ]", "", heading).strip().replace(" ", "-") for heading in headings}
    return named | set(re.findall(r'<a id="([^"]+)">', text))


@pytest.mark.parametrize("page", PAGES, ids=lambda p: str(p.relative_to(ROOT)))
def test_every_link_leads_somewhere(page: Path) -> None:
    for link in LINK.findall(page.read_text(encoding="utf-8")):
        if link.startswith(("http://", "https://")):
            continue
        path, _, anchor = link.partition("#")
        target = (page.parent / path).resolve() if path else page
        assert target.exists(), link
        if anchor and target.suffix == ".md":
            assert anchor in anchors(target), link


def test_the_glossary_is_led_to_by_the_line_that_is_meant() -> None:
    for page in PAGES:
        for link in re.findall(r"\]\((?:docs/)?glossary\.md(#[^)]+)?\)", page.read_text(encoding="utf-8")):
            assert link or page.name in ("README.md", "CONTRIBUTING.md", "measured.md"), page.name


@pytest.mark.parametrize(
    # files.md is made from the model's own words
    "page",
    [p for p in PAGES if p.name not in ("architecture.md", "files.md")],
    ids=lambda p: str(p.relative_to(ROOT)),
)
def test_one_thing_has_one_name_and_the_reader_is_spoken_to(page: Path) -> None:
    text = re.sub(r"`[^`]*`", "", page.read_text(encoding="utf-8"))
    assert [found[0] for found in OTHER_NAMES.finditer(text)] == []
