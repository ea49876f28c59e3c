"""Several pictures side by side on one sheet, each with its caption."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

PAPER, INK, SOFT, HAIRLINE = (250, 247, 242), (35, 33, 30), (109, 103, 95), (217, 210, 199)


@dataclass(frozen=True)
class Panel:
    """One picture, its name and what is to be known of it."""

    picture: NDArray[np.uint8]
    title: str
    note: str


def sheet_of(panels: Sequence[Panel], title: str, note: str = "", *, columns: int = 2) -> NDArray[np.uint8]:
    """The sheet as sRGB (height x width x 3): a heading, then the pictures in rows."""
    columns = min(columns, len(panels))
    rows = -(-len(panels) // columns)
    height, width = panels[0].picture.shape[:2]
    scale = width / 480
    margin, gap, head = round(28 * scale), round(20 * scale), round(74 * scale)
    under = round(58 * scale)
    sheet_w = 2 * margin + columns * width + (columns - 1) * gap
    sheet_h = head + rows * (height + under) + round(14 * scale)
    sheet = Image.new("RGB", (sheet_w, sheet_h), PAPER)
    draw = ImageDraw.Draw(sheet)
    large, plain, small = (ImageFont.load_default(round(s * scale)) for s in (24, 16, 14))
    draw.text((margin, round(18 * scale)), title, INK, large)
    draw.text((margin, round(48 * scale)), note, SOFT, small)
    for k, panel in enumerate(panels):
        x = margin + (k % columns) * (width + gap)
        y = head + (k // columns) * (height + under)
        sheet.paste(Image.fromarray(panel.picture), (x, y))
        draw.rectangle((x, y, x + width - 1, y + height - 1), outline=HAIRLINE)
        draw.text((x, y + height + round(8 * scale)), panel.title, INK, plain)
        draw.text((x, y + height + round(29 * scale)), panel.note, SOFT, small)
    return np.asarray(sheet, dtype=np.uint8)
