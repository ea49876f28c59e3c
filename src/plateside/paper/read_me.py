"""The plain-text files of a delivery: the words to paste, and what is what."""

from collections.abc import Mapping, Sequence
from typing import Any

from plateside.deliver.renditions import ShotFiles
from plateside.deliver.rights import Rights
from plateside.deliver.words import Words
from plateside.model.shoot import Recipe, Shot
from plateside.words.deliver import papers


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
    """What is in the folder, what was done to the pictures, and what is left to fix.

    done     shot -> what was done to its picture and always travels with it
    first    what keeps it from being ready
    remarks  what would only make it better
    """
    channels = {r.channel.name: r.channel for s in shots for r in s.renditions}
    lines = [papers.title_line(recipe.title), ""]
    for name, channel in channels.items():
        sizes = {
            s.shot.name: (r.width_px, r.height_px)
            for s in shots
            for r in s.renditions
            if r.channel.name == name
        }
        pixels = papers.sizes_phrase(sizes, (channel.width_px, channel.height_px))
        lines.append(papers.folder_line(name, len(sizes), pixels, channel.formats, channel.on_page))
    lines += ["", *papers.PAPERS.values(), "", papers.CARRIED, *papers.done_lines(done)]
    lines += papers.left_lines(first, remarks, ready)
    return "\n".join(lines) + "\n"


def package_note(
    title: str,
    pictures: Sequence[Mapping[str, Any]],
    documents: Sequence[str],
    done: Mapping[str, Sequence[str]],
) -> str:
    """What is in a package, for whoever gets it: what is there and what was done, and nothing of what is left to fix.

    pictures  rows of the delivery's list: channel, shot, kind, width_px, height_px
    """
    lines = [papers.title_line(title, packed=True), ""]
    for channel in dict.fromkeys(str(row["channel"]) for row in pictures):
        rows = [row for row in pictures if row["channel"] == channel]
        largest: dict[str, tuple[int, int]] = {}
        for row in rows:
            size = int(row["width_px"]), int(row["height_px"])
            largest[str(row["shot"])] = max(size, largest.get(str(row["shot"]), (0, 0)))
        kinds = tuple(dict.fromkeys(str(row["kind"]) for row in rows))
        smaller = len(rows) > len(largest) * len(kinds)
        lines.append(
            papers.folder_line(channel, len(largest), f"{papers.shots_phrase(largest)} px", kinds, smaller)
        )
    lines += ["", *[line for name, line in papers.PAPERS.items() if name in documents], "", papers.CARRIED]
    lines += papers.done_lines(done)
    return "\n".join(lines) + "\n"


def unfinished_note(recipe: Recipe) -> str:
    """READ-ME while the delivery is made, and after that was cut short."""
    return "\n".join(papers.unfinished_lines(recipe.title)) + "\n"
