"""The plain-text files of a delivery: the words to paste, and what is what."""

from collections.abc import Mapping, Sequence
from typing import Any

from plateside.deliver.renditions import ShotFiles
from plateside.deliver.rights import Rights
from plateside.deliver.words import Words
from plateside.model.shoot import Channel, Recipe, Shot


def words_sheet(recipe: Recipe, words: list[tuple[Shot, Words]], rights: Rights) -> str:
    """Title, caption and alt text of every shot, and the credit line, to copy from."""
    lines = [recipe.title, "=" * len(recipe.title), ""]
    for shot, said in words:
        lines += [
            shot.name,
            "-" * len(shot.name),
            f"Title:       {said.title}",
            f"Description: {said.description}",
            f"Alt text:    {said.alt_text}",
            "",
        ]
    lines += [f"Credit:      {rights.credit}", f"Copyright:   {rights.copyright}"]
    for name, value in (
        ("Licence:     ", rights.licence_url),
        ("Ask here:    ", rights.acquire_url),
        ("Terms:       ", rights.usage_terms),
    ):
        if value:
            lines.append(name + value)
    return "\n".join(lines) + "\n"


def read_me(
    recipe: Recipe,
    shots: list[ShotFiles],
    done: Mapping[str, Sequence[str]],
    first: Sequence[str],
    remarks: Sequence[str],
    ready: bool,
) -> str:
    """What lies in the folder, what was done to the pictures, and what stands open.

    done     shot -> what was done to its picture and always travels with it
    first    what keeps it from being ready
    remarks  what would only make it better
    """
    channels = {r.channel.name: r.channel for s in shots for r in s.renditions}
    lines = [f"{recipe.title}: pictures to publish", ""]
    for name, channel in channels.items():
        sizes = {
            s.shot.name: (r.width_px, r.height_px)
            for s in shots
            for r in s.renditions
            if r.channel.name == name
        }
        page = "; also smaller sizes for the page" if channel.on_page else ""
        lines.append(_folder_line(name, len(sizes), _sizes(sizes, channel), channel.formats, page))
    lines += ["", *_PAPERS.values(), "", _CARRIED, *_done_lines(done)]
    for head, points in (("Fix these before you publish:", first), ("These would make it better:", remarks)):
        lines += ["", head, *(f"- {p}" for p in points)] if points else []
    lines += ["", ready_words(ready, len(remarks))]
    return "\n".join(lines) + "\n"


def package_note(
    title: str,
    pictures: Sequence[Mapping[str, Any]],
    documents: Sequence[str],
    done: Mapping[str, Sequence[str]],
) -> str:
    """What lies in a package, for whoever gets it: what is there and what was done, and nothing of what is open.

    pictures  rows of the delivery's list: channel, shot, kind, width_px, height_px
    """
    lines = [f"{title}: pictures", ""]
    for channel in dict.fromkeys(str(row["channel"]) for row in pictures):
        rows = [row for row in pictures if row["channel"] == channel]
        largest: dict[str, tuple[int, int]] = {}
        for row in rows:
            size = int(row["width_px"]), int(row["height_px"])
            largest[str(row["shot"])] = max(size, largest.get(str(row["shot"]), (0, 0)))
        sizes = ", ".join(f"{shot} {wide} x {high}" for shot, (wide, high) in largest.items())
        kinds = tuple(dict.fromkeys(str(row["kind"]) for row in rows))
        page = "; also smaller sizes for the page" if len(rows) > len(largest) * len(kinds) else ""
        lines.append(_folder_line(channel, len(largest), f"{sizes} px", kinds, page))
    lines += ["", *[line for name, line in _PAPERS.items() if name in documents], "", _CARRIED]
    lines += _done_lines(done)
    return "\n".join(lines) + "\n"


def unfinished_note(recipe: Recipe) -> str:
    """What stands in the place of READ-ME while the delivery is made, and after that was cut short."""
    return (
        f"{recipe.title}: this delivery is not finished\n\nIt is being made, or making it was stopped half-way: its "
        "files are not all of one time. Do not publish or hand over anything of it. Make it again.\n"
    )


_PAPERS = {
    "recipe.html": "recipe.html         the recipe with its pictures, to paste into your page; put the picture folders "
    "beside it",
    "preview.html": "preview.html        the same as a whole page, to look at or to publish as it is",
    "recipe.jsonld": "recipe.jsonld       the structured data alone (it is inside recipe.html as well)",
    "contact-sheet.html": "contact-sheet.html  every picture small, with what was done to it",
    "words.txt": "words.txt           titles, captions, alt texts, credit, to copy from",
    "manifest.json": "manifest.json       every file with its SHA-256",
}
_CARRIED = (
    "Each picture carries its colour profile (sRGB), title, description, alt text, maker, credit and licence. "
    "The place where it was taken is not in it."
)


def _folder_line(name: str, count: int, sizes: str, kinds: Sequence[str], more: str) -> str:
    return f"{name}/  {count} picture{'s' * (count != 1)}, {sizes}, {', '.join(kinds)}{more}"


def _done_lines(done: Mapping[str, Sequence[str]]) -> list[str]:
    """What was done to pictures beyond developing and matching them: whoever gets them is told."""
    rows = [f"- {shot}: {said}" for shot, all_said in done.items() for said in all_said]
    return ["", "What was done to the pictures:", *rows] if rows else []


def _sizes(sizes: dict[str, tuple[int, int]], channel: Channel) -> str:
    """The pixels that the files have; each shot's own where one is smaller than asked: nothing is enlarged."""
    asked = (channel.width_px, channel.height_px)
    smaller = {shot: size for shot, size in sizes.items() if size != asked}
    if not smaller:
        return f"{asked[0]} x {asked[1]} px"
    told = ", ".join(f"{shot} {wide} x {high}" for shot, (wide, high) in smaller.items())
    if len(smaller) == len(sizes):
        return f"{told} px ({asked[0]} x {asked[1]} asked, but the pictures have fewer)"
    return f"{asked[0]} x {asked[1]} px, but {told} (fewer in the picture)"


def ready_words(ready: bool, remarks: int) -> str:
    """Whether it may go out: what holds it back, or what would only make it better."""
    if not ready:
        return "Not ready to publish: see what to fix first."
    if remarks:
        return f"Ready to publish; {remarks} remark{'s' * (remarks != 1)}."
    return "Ready to publish."
