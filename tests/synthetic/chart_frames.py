"""Frames that show the chart of 24 patches, as a camera shows them, and things on a table that look like one.

The chart's colours are ISO 17321-1's reflectances in D65 through the eye (colour-science); the camera's rendering (a
tone curve, more colour, noise, JPEG) is ours.
"""

import io
import warnings

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from plateside.ground.srgb import FROM_XYZ, to_display
from tests.synthetic.charts import PATCHES, SHAPE

Picture = NDArray[np.uint8]
Array = NDArray[np.float64]
WIDE = 3000
"""Of a frame of 24 megapixels, as it is looked at [px]."""
_CELL = 60


def chart_colours() -> Array:
    """Linear sRGB of the 24 patches; a perfect white is 1."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

        light = colour.SDS_ILLUMINANTS["D65"].copy().align(SHAPE).values
        eye = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(SHAPE).values
    white = light @ eye
    return np.asarray((PATCHES * light) @ eye / white[1] @ FROM_XYZ.T)


def chart_flat(gap: float = 0.15) -> Array:
    """The chart from straight above, in a black frame: linear, `_CELL` pixels a patch, `gap` of that between them."""
    flat = np.full((5 * _CELL, 7 * _CELL, 3), 0.025)
    side = round(_CELL * (1 - gap))
    for number, colour in enumerate(np.clip(chart_colours(), 0, None)):
        row, column = divmod(number, 6)
        y, x = round((row + 0.5) * _CELL), round((column + 0.5) * _CELL)
        flat[y : y + side, x : x + side] = colour
    return flat


def seen_on(
    table: Array, thing: Array, rng: np.random.Generator, width: float, turn_deg: float = 0, slant: float = 0
) -> Array:
    """A flat thing laid on a table, seen at an angle.

    width  of the thing, share of the picture's
    slant  its far edge is so much shorter than its near one
    """
    high, wide = thing.shape[:2]
    span = width * table.shape[1]
    tall = span * high / wide * (1 - 0.7 * slant)
    far = span * (1 - slant)
    corners = np.array([[-far, -tall], [far, -tall], [span, tall], [-span, tall]]) / 2
    turn = np.radians(turn_deg)
    corners = corners @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    reach = np.abs(corners).max(axis=0)
    room = np.maximum(np.array(table.shape[1::-1]) / 2 - reach - 4, 0)
    corners = corners + np.array(table.shape[1::-1]) / 2 + rng.uniform(-1, 1, 2) * room
    before = np.array([[0, 0], [wide, 0], [wide, high], [0, high]], np.float32)
    fit = cv2.getPerspectiveTransform(before, corners.astype(np.float32))
    size = table.shape[1], table.shape[0]
    cover = cv2.warpPerspective(np.ones((high, wide)), fit, size)[..., None]
    laid = cv2.warpPerspective(thing, fit, size)
    return np.asarray(table * (1 - cover) + laid)


def as_shown(linear: Array, rng: np.random.Generator, stops: float = 0, noise: float = 0.006) -> Picture:
    """As a camera's JPEG shows it: brighter by so many stops, a window's slope, more colour, a tone curve, noise."""
    across = np.linspace(-0.5, 0.5, linear.shape[1])[None, :, None]
    lit = linear * 2.0 ** (stops + rng.uniform(-0.8, 0.8) * across)
    lit = lit * 2.0 ** rng.uniform(-0.15, 0.15, 3)
    grey = lit.mean(axis=2, keepdims=True)
    shown = to_display(np.clip(grey + rng.uniform(1, 1.25) * (lit - grey), 0, None))
    contrast = rng.uniform(0, 0.5)
    shown = np.clip(shown, 0, 1)
    shown = shown + contrast * (shown * shown * (3 - 2 * shown) - shown)
    shown = shown + rng.normal(0, noise, shown.shape)
    picture = np.asarray(np.clip(shown * 255 + 0.5, 0, 255), np.uint8)
    data = io.BytesIO()
    Image.fromarray(picture).save(data, "JPEG", quality=88)
    return np.asarray(Image.open(data), np.uint8)


def table(rng: np.random.Generator, wide: int = WIDE) -> Array:
    """Linear light of a wooden or stone table with plates on it, 3 to 2."""
    high = wide * 2 // 3
    tone = np.array([(0.12, 0.08, 0.05), (0.3, 0.28, 0.26), (0.55, 0.53, 0.5), (0.05, 0.05, 0.055)])[
        rng.integers(4)
    ]
    grain = cv2.resize(
        rng.normal(0, 1, (high // 6, wide // 120)), (wide, high), interpolation=cv2.INTER_CUBIC
    )
    linear = tone * np.exp(0.15 * grain)[..., None]
    for _ in range(rng.integers(1, 4)):
        x, y, r = wide * rng.uniform(0, 1), high * rng.uniform(0, 1), wide * rng.uniform(0.06, 0.17)
        for share, colour in ((1.0, np.full(3, 0.7)), (0.75, rng.uniform(0.05, 0.6, 3))):
            cover = np.zeros((high, wide))
            cv2.circle(cover, (int(x), int(y)), int(share * r), 1.0, -1, cv2.LINE_AA)
            linear = linear * (1 - cover[..., None]) + colour * cover[..., None]
    return np.asarray(linear)


LOOK_ALIKES = ("napkin", "macarons", "muffin tin", "chocolate", "spices", "petits fours", "tiles")


def look_alike(kind: str, rng: np.random.Generator) -> Array:
    """What lies in rows and columns on a table, from straight above: linear light."""
    rows, columns = (4, 6) if rng.random() < 0.6 else (int(rng.integers(3, 7)), int(rng.integers(4, 9)))
    some, brown = rng.uniform(0.05, 0.8, (8, 3)), np.array([0.09, 0.045, 0.025])
    # a row of tiles goes from light to dark, as the chart's greys do
    shades = np.linspace(0.8, 0.05, columns)
    ground = {
        "napkin": some[0] * 0.5, "macarons": 0.6, "muffin tin": 0.2, "chocolate": brown * 0.4, "spices": 0.05,
        "petits fours": 0.8, "tiles": 0.02,
    }[kind]  # fmt: skip
    flat = np.zeros((rows * _CELL + 20, columns * _CELL + 20, 3)) + ground
    for row, column in np.ndindex(rows, columns):
        cell = flat[
            10 + row * _CELL : 10 + (row + 1) * _CELL, 10 + column * _CELL : 10 + (column + 1) * _CELL
        ]
        match kind:
            case "napkin":
                cell[2:-2, 2:-2] = some[(row + column) % 2]
            case "macarons":
                _disc(cell, some[rng.integers(8)])
            case "muffin tin":
                _disc(cell, some[0] * rng.uniform(0.8, 1.2))
            case "chocolate":
                cell[2:-2, 2:-2], cell[10:-10, 10:-10] = brown, brown * rng.uniform(1.3, 1.6)
            case "spices":
                cell[5:-5, 5:-5] = rng.uniform(0.03, 0.8, 3)
            case "petits fours":
                cell[5:-5, 5:-5] = 0.35 + 0.75 * rng.dirichlet([2, 2, 2])
            case "tiles":
                cell[5:-5, 5:-5] = shades[column] * (0.7 + 0.3 * some[row % 8])
    return np.asarray(flat)


def _disc(cell: Array, colour: Array) -> None:
    for share in np.linspace(1, 0.3, 6):
        shade = tuple(float(v) for v in colour * (0.6 + 0.4 * (1 - share)))
        cv2.circle(cell, (_CELL // 2, _CELL // 2), int(share * (_CELL // 2 - 4)), shade, -1, cv2.LINE_AA)
