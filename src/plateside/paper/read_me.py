"""The plain-text files of a delivery: the words to paste, and what is what."""

from plateside.deliver.renditions import ShotFiles
from plateside.deliver.rights import Rights
from plateside.deliver.words import Words
from plateside.model.shoot import Channel, Recipe, Shot


def words_sheet(recipe: Recipe, words: list[tuple[Shot, Words]], rights: Rights) -> str:
    """Title, caption and alt text of every shot, and the credit line, to copy from."""
    lines = [recipe.title, "=" * len(recipe.title), ""]
    for shot, said in words:
        whose = "" if said.alt_is_hers else ", a stand-in: to be written"
        lines += [
            shot.name,
            "-" * len(shot.name),
            f"Title:       {said.title}",
            f"Description: {said.description}",
            f"Alt text:    {said.alt_text}  ({len(said.alt_text)} letters{whose})",
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
    recipe: Recipe, shots: list[ShotFiles], held: list[str], open_points: list[str], ready: bool
) -> str:
    """What lies in the folder, and what stands open."""
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
        lines.append(
            f"{name}/  {len(sizes)} picture{'s' * (len(sizes) != 1)}, {_sizes(sizes, channel)}, "
            f"{', '.join(channel.formats)}{page}"
        )
    lines += [
        "",
        "recipe.html         the recipe with its pictures, to paste into your page; put the picture folders beside it",
        "preview.html        the same as a whole page, to look at or to publish as it is",
        "recipe.jsonld       the structured data alone (it is inside recipe.html as well)",
        "contact-sheet.html  every picture small, with what was measured",
        "words.txt           titles, captions, alt texts, credit, to copy from",
        "manifest.json       every file with its SHA-256",
        "",
        "Each picture carries its colour profile (sRGB), title, description, alt text, maker, credit and licence. "
        "The place where it was taken is not in it.",
    ]
    if held or open_points:
        lines += ["", "Before you publish:", *[f"- {p}" for p in (*held, *open_points)]]
    lines += ["", ready_words(ready, len(open_points))]
    return "\n".join(lines) + "\n"


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


def ready_words(ready: bool, open_points: int) -> str:
    """Whether it may go out: what holds it back, or what would only make it better."""
    if not ready:
        return "Not ready to publish: see what is held back or open."
    if open_points:
        return f"Ready to publish; {open_points} open point{'s' * (open_points != 1)} would make it better."
    return "Ready to publish."
