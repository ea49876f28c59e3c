"""The contact sheet: every delivered picture small, with what was done to it. Never a mark for beauty.

It is handed over with the pictures, so nothing of what is still open stands in it: that stays in the shoot.
"""

from dataclasses import dataclass
from datetime import date
from html import escape

from plateside.deliver.renditions import ShotFiles
from plateside.paper.page_style import SHEET
from plateside.words.deliver.papers import contact_sheet_title, contact_sheet_when


@dataclass(frozen=True)
class SheetShot:
    """One shot on the sheet."""

    files: ShotFiles
    frame: str
    """name of the original"""
    finished: tuple[str, ...]
    """what finishing did, in sentences"""


def contact_sheet(title: str, day: str, shots: list[SheetShot], language: str) -> str:
    """The sheet as one HTML page beside the pictures it shows."""
    parts = [
        f'<!DOCTYPE html>\n<html lang="{escape(language)}">\n<head>\n<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{escape(contact_sheet_title(title))}</title>\n<style>\n{SHEET}</style>\n</head>\n<body>\n<main>",
        f"<h1>{escape(title)}</h1>",
        f'<p class="when">{escape(contact_sheet_when(date.fromisoformat(day)))}</p>',
    ]
    for shot in shots:
        parts += _section(shot)
    parts.append("</main>\n</body>\n</html>")
    return "\n".join(parts) + "\n"


def _section(shot: SheetShot) -> list[str]:
    name = shot.files.shot.name
    parts = [f'<section lang="en">\n<h2>{escape(name)}</h2>']
    parts += [f"<p>{escape(sentence)}</p>" for sentence in shot.finished]
    parts.append('<div class="sheet">')
    for rendition in shot.files.renditions:
        # a smaller size where there is one: a sheet of thirty pictures must open at once, and print whole
        main = min(rendition.of_kind(rendition.main.kind), key=lambda f: (f.width_px < 400, f.width_px))
        kinds = [
            max(rendition.of_kind(k), key=lambda f: f.width_px)
            for k in dict.fromkeys(f.kind for f in rendition.files)
        ]
        weights = ", ".join(
            f"{f.kind.upper() if f.kind != 'webp' else 'WebP'} {f.bytes / 1000:.0f} kB" for f in kinds
        )
        parts.append(
            f'<figure><img src="{escape(main.path)}" '
            f'width="{main.width_px}" height="{main.height_px}" '
            f'alt="{escape(shot.files.words.alt_text)}"><figcaption><b>{escape(rendition.channel.name)}</b> '
            f"{rendition.width_px} × {rendition.height_px}<span>{weights}</span></figcaption></figure>"
        )
    parts.append("</div>\n</section>")
    return parts
