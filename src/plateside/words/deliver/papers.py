"""READ-ME of a delivery and of a package, and the words to paste."""

from collections.abc import Mapping, Sequence
from datetime import date

from plateside.words.counting import day, plural
from plateside.words.deliver.report import ready_sentence

PAPERS = {
    "recipe.html": "recipe.html         the recipe with its pictures, to paste into your page; put the picture folders "
    "beside it",
    "preview.html": "preview.html        the same as a whole page, to look at or to publish as it is",
    "recipe.jsonld": "recipe.jsonld       the structured data alone (recipe.html has it as well)",
    "contact-sheet.html": "contact-sheet.html  every picture small, with what was done to it",
    "words.txt": "words.txt           titles, captions, alt texts, credit, to copy from",
    "manifest.json": "manifest.json       every file with its SHA-256",
}
CARRIED = (
    "Each picture carries its colour profile (sRGB), title, description, alt text, maker, credit and licence. "
    "It does not say where it was taken."
)
DONE = "What was done to the pictures:"
FIX_FIRST = "Fix these before you publish:"
BETTER = "These would make it better:"


def contact_sheet_title(title: str) -> str:
    """In the browser's tab."""
    return f"{title}: contact sheet"


def contact_sheet_when(on: date) -> str:
    """Under the dish's name."""
    return f"Contact sheet, {day(on)}"


def title_line(title: str, packed: bool = False) -> str:
    return f"{title}: pictures" if packed else f"{title}: pictures to publish"


def unfinished_lines(title: str) -> list[str]:
    """What READ-ME says while the delivery is made, and after that was stopped."""
    return [
        f"{title}: this delivery is not finished",
        "",
        "It is being made, or making it was stopped half-way, so old and new files are mixed. Do not publish or hand "
        "over any of it. Make it again.",
    ]


def folder_line(name: str, count: int, sizes: str, kinds: Sequence[str], smaller: bool) -> str:
    """One channel's folder: how many pictures, their pixels, their formats."""
    more = "; also smaller sizes for the page" if smaller else ""
    return f"{name}/  {plural(count, 'picture')}, {sizes}, {', '.join(kinds)}{more}"


def sizes_phrase(sizes: Mapping[str, tuple[int, int]], asked: tuple[int, int]) -> str:
    """The pixels that the files have; each shot's own where one is smaller than asked: nothing is enlarged."""
    smaller = {shot: size for shot, size in sizes.items() if size != asked}
    if not smaller:
        return f"{asked[0]} x {asked[1]} px"
    if len(smaller) == len(sizes):
        return f"{shots_phrase(smaller)} px ({asked[0]} x {asked[1]} asked, but the pictures have fewer)"
    return f"{asked[0]} x {asked[1]} px, but {shots_phrase(smaller)} (fewer in the picture)"


def shots_phrase(sizes: Mapping[str, tuple[int, int]]) -> str:
    """'cup 120 x 480, near 320 x 180'."""
    return ", ".join(f"{shot} {wide} x {high}" for shot, (wide, high) in sizes.items())


def left_lines(first: Sequence[str], remarks: Sequence[str], ready: bool) -> list[str]:
    """What to fix first, what would make it better, and whether it may go out."""
    lines: list[str] = []
    for head, sentences in ((FIX_FIRST, first), (BETTER, remarks)):
        lines += ["", head, *(f"- {sentence}" for sentence in sentences)] if sentences else []
    return [*lines, "", ready_sentence(ready, len(remarks))]


def done_lines(done: Mapping[str, Sequence[str]]) -> list[str]:
    """What was done to pictures beyond developing and matching them: it goes to whoever gets them."""
    rows = [f"- {shot}: {sentence}" for shot, sentences in done.items() for sentence in sentences]
    return ["", DONE, *rows] if rows else []
